/* SPDX-License-Identifier: MIT */
/* CAM16 backwards: XYZ from a place in its uniform space. */
#include <metamer/appearance.h>

#include "colour/adapt.h"

#include <math.h>

#define UCS_STEEPNESS 0.0228 /* of colourfulness, and 0.007 of lightness: Luo, Cui, Li, 2006 */

static double expand(const mtm_viewer *viewer, double response)
{
    double size = fabs(response);

    if (!(size < 400)) /* no light answers so strongly */
        size = 400 - 1e-9;
    return copysign(100 / viewer->fl * pow(27.13 * size / (400 - size), 1 / 0.42), response);
}

/* a and b of the cone responses, from the achromatic response p2, t and the hue. Li et al. 2017,
 * appendix B, steps 3 and 4, with the hue's direction in place of four cases. */
static void opponent(double p2, double t, double hue, double eccentricity, const mtm_viewer *viewer,
                     double *a, double *b)
{
    double p1 = 50000.0 / 13 * viewer->nc * viewer->nbb * eccentricity;
    double c = cos(hue);
    double s = sin(hue);
    double length = 23 * (p2 + 0.305) * t / (23 * p1 + 11 * t * c + 108 * t * s);

    *a = length * c;
    *b = length * s;
}

mtm_xyz mtm_ucs_to_xyz(const mtm_viewer *viewer, mtm_ucs ucs)
{
    double lightness = ucs.j / (1.7 - 0.007 * ucs.j);
    double m = expm1(UCS_STEEPNESS * hypot(ucs.a, ucs.b)) / UCS_STEEPNESS;
    double hue = atan2(ucs.b, ucs.a);
    double eccentricity = (cos(hue + 2) + 3.8) / 4;
    double a = 0;
    double b = 0;

    if (!(lightness > 0))
        return (mtm_xyz){0, 0, 0};
    double chroma = m / pow(viewer->fl, 0.25);
    double t =
        pow(chroma / (sqrt(lightness / 100) * pow(1.64 - pow(0.29, viewer->n), 0.73)), 1 / 0.9);
    double p2 = viewer->aw * pow(lightness / 100, 1 / (viewer->c * viewer->z)) / viewer->nbb;
    opponent(p2, t, hue, eccentricity, viewer, &a, &b);
    mtm_xyz cone = {
        expand(viewer, (460 * p2 + 451 * a + 288 * b) / 1403) / viewer->gain[0],
        expand(viewer, (460 * p2 - 891 * a - 261 * b) / 1403) / viewer->gain[1],
        expand(viewer, (460 * p2 - 220 * a - 6300 * b) / 1403) / viewer->gain[2],
    };
    return mtm_matrix_apply(&mtmi_cat16_back, cone);
}
