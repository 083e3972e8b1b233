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

mtm_xyz mtm_ucs_to_xyz(const mtm_viewer *viewer, mtm_ucs ucs)
{
    if (viewer == NULL)
        return (mtm_xyz){0, 0, 0};
    const double cos_2 = -0.41614683654714239; /* of 2 radians */
    const double sin_2 = 0.90929742682568170;
    double lightness = ucs.j / (1.7 - 0.007 * ucs.j);
    double length = sqrt(ucs.a * ucs.a + ucs.b * ucs.b);
    double m = expm1(UCS_STEEPNESS * length) / UCS_STEEPNESS;
    double c = length > 0 ? ucs.a / length : 1; /* cosine and sine of the hue */
    double s = length > 0 ? ucs.b / length : 0;
    double eccentricity = (c * cos_2 - s * sin_2 + 3.8) / 4;

    if (!(lightness > 0))
        return (mtm_xyz){0, 0, 0};
    double chroma = m / viewer->fl_root;
    double t = pow(chroma / (sqrt(lightness / 100) * viewer->chroma_gain), 1 / 0.9);
    double p1 = 50000.0 / 13 * viewer->nc * viewer->nbb * eccentricity;
    double p2 = viewer->aw * pow(lightness / 100, 1 / (viewer->c * viewer->z)) / viewer->nbb;
    /* appendix B, steps 3 and 4, with the hue's direction in place of four cases */
    double opponent = 23 * (p2 + 0.305) * t / (23 * p1 + 11 * t * c + 108 * t * s);
    double a = opponent * c;
    double b = opponent * s;
    mtm_xyz cone = {
        expand(viewer, (460 * p2 + 451 * a + 288 * b) / 1403) / viewer->gain[0],
        expand(viewer, (460 * p2 - 891 * a - 261 * b) / 1403) / viewer->gain[1],
        expand(viewer, (460 * p2 - 220 * a - 6300 * b) / 1403) / viewer->gain[2],
    };
    return mtm_matrix_apply(&mtmi_cat16_back, cone);
}
