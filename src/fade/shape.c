/* SPDX-License-Identifier: MIT */
/* Shape: how light goes from one output to another in time. */
#include "fade/shape.h"

#include <math.h>

/* CIE 1976 lightness, ISO/CIE 11664-4: below the knee it is straight. */
#define KAPPA (24389.0 / 27)
#define KNEE_LIGHT (216.0 / 24389)
#define KNEE_LIGHTNESS 8.0

static const mtm_shape_info shapes[] = {
    {MTM_SHAPE_LIGHTNESS, "lightness", "even in CIE L*: even to the eye"},
    {MTM_SHAPE_LINEAR, "linear", "even in light"},
    {MTM_SHAPE_SQUARE, "square", "even in the square root of light: the square law"},
    {MTM_SHAPE_S, "s", "gently away and gently home"},
    {MTM_SHAPE_OWN, "own", "even in the fixture's own dimming curve"},
};

size_t mtm_shape_type_count(void)
{
    return sizeof shapes / sizeof shapes[0];
}

const mtm_shape_info *mtm_shape_type_at(size_t index)
{
    return index < mtm_shape_type_count() ? &shapes[index] : NULL;
}

static double lightness(double light)
{
    return light > KNEE_LIGHT ? 116 * cbrt(light) - 16 : KAPPA * light;
}

static double light_of(double lightness)
{
    if (lightness <= KNEE_LIGHTNESS)
        return lightness / KAPPA;
    double root = (lightness + 16) / 116;
    return root * root * root;
}

double mtmi_lightness_slope(double light)
{
    return light > KNEE_LIGHT ? 116.0 / 3 / pow(light, 2.0 / 3) : KAPPA;
}

double mtmi_shape_bend(mtm_shape_type type, double from, double to)
{
    if (type != MTM_SHAPE_LIGHTNESS || (from - KNEE_LIGHT) * (to - KNEE_LIGHT) >= 0)
        return -1;
    return (KNEE_LIGHTNESS - lightness(from)) / (lightness(to) - lightness(from));
}

double mtm_shape_at(mtm_shape_type type, const mtm_curve *own, double from, double to, double part)
{
    double eased = part * part * (3 - 2 * part);
    double a;
    double b;

    if (isnan(part) || (unsigned)type > MTM_SHAPE_OWN)
        return NAN;
    if (!(part > 0))
        return from;
    if (part >= 1)
        return to;
    switch (type) {
    case MTM_SHAPE_LIGHTNESS:
        a = lightness(from);
        b = lightness(to);
        return light_of(a + part * (b - a));
    case MTM_SHAPE_SQUARE:
        a = sqrt(from);
        b = sqrt(to);
        return (a + part * (b - a)) * (a + part * (b - a));
    case MTM_SHAPE_OWN:
        if (own == NULL)
            break;
        a = mtm_curve_code(own, from);
        b = mtm_curve_code(own, to);
        return mtm_curve_level(own, a + part * (b - a));
    case MTM_SHAPE_S:
        return from + eased * (to - from);
    case MTM_SHAPE_LINEAR:
        break;
    }
    return from + part * (to - from);
}
