/* SPDX-License-Identifier: MIT */
/* MacAdam's 25 ellipses, and steps by the one interpolated to a centre. */
#include <metamer/tolerance.h>

#include "base/error.h"
#include "colour/check.h"

#include <math.h>

#define ELLIPSES 25
#define PI 3.14159265358979323846

/* Centre, semi-axes of one step in units of 1e-5, angle of the major axis from the x axis.
 * D. L. MacAdam, J. Opt. Soc. Am. 32, 247 (1942), observer PGN; as in Wyszecki & Stiles, Color
 * Science (1982), table 2(5.4.1), observed. */
static const struct ellipse {
    double x, y, a, b, angle_deg;
} ellipses[ELLIPSES] = {
    {0.160, 0.057, 85, 35, 62.5},    {0.187, 0.118, 220, 55, 77.0},
    {0.253, 0.125, 250, 50, 55.5},   {0.150, 0.680, 960, 230, 105.0},
    {0.131, 0.521, 470, 200, 112.5}, {0.212, 0.550, 580, 230, 100.0},
    {0.258, 0.450, 500, 200, 92.0},  {0.152, 0.365, 380, 190, 110.0},
    {0.280, 0.385, 400, 150, 75.5},  {0.380, 0.498, 440, 120, 70.0},
    {0.160, 0.200, 210, 95, 104.0},  {0.228, 0.250, 310, 90, 72.0},
    {0.305, 0.323, 230, 90, 58.0},   {0.385, 0.393, 380, 160, 65.5},
    {0.472, 0.399, 320, 140, 51.0},  {0.527, 0.350, 260, 130, 20.0},
    {0.475, 0.300, 290, 110, 28.5},  {0.510, 0.236, 240, 120, 29.5},
    {0.596, 0.283, 260, 130, 13.0},  {0.344, 0.284, 230, 90, 60.0},
    {0.390, 0.237, 250, 100, 47.0},  {0.441, 0.198, 280, 95, 34.5},
    {0.278, 0.223, 240, 55, 57.5},   {0.300, 0.163, 290, 60, 54.0},
    {0.365, 0.153, 360, 95, 40.0},
};

/* steps^2 = g11 dx^2 + g12 dx dy + g22 dy^2 (g12 is the whole mixed coefficient). */
struct metric {
    double g11, g12, g22;
};

static struct metric metric_of(const struct ellipse *e)
{
    double c = cos(e->angle_deg * PI / 180);
    double s = sin(e->angle_deg * PI / 180);
    double aa = 1e10 / (e->a * e->a);
    double bb = 1e10 / (e->b * e->b);

    return (struct metric){(aa * c * c) + (bb * s * s), 2 * c * s * (aa - bb),
                           (aa * s * s) + (bb * c * c)};
}

/* A mean with positive weights, so the form stays positive. */
static struct metric metric_at(mtm_xy centre)
{
    struct metric sum = {0, 0, 0};
    double weights = 0;

    for (size_t i = 0; i < ELLIPSES; i++) {
        struct metric m = metric_of(&ellipses[i]);
        double distance = hypot(centre.x - ellipses[i].x, centre.y - ellipses[i].y);

        if (distance < 1e-9)
            return m;
        double weight = 1 / (distance * distance * distance);
        sum.g11 += weight * m.g11;
        sum.g12 += weight * m.g12;
        sum.g22 += weight * m.g22;
        weights += weight;
    }
    return (struct metric){sum.g11 / weights, sum.g12 / weights, sum.g22 / weights};
}

mtm_result mtm_macadam_steps(mtm_xy centre, mtm_xy xy, double *steps, mtm_error *error)
{
    if (steps == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the steps was given");
    mtm_result result = mtmi_check_xy("the centre", centre, error);
    if (result == MTM_OK)
        result = mtmi_check_xy("the colour", xy, error);
    if (result != MTM_OK)
        return result;

    struct metric m = metric_at(centre);
    double dx = xy.x - centre.x;
    double dy = xy.y - centre.y;
    *steps = sqrt((m.g11 * dx * dx) + (m.g12 * dx * dy) + (m.g22 * dy * dy));
    return MTM_OK;
}
