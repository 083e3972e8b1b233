/* SPDX-License-Identifier: MIT */
/* Tolerance: the classes of ANSI C78.377, their quadrangles, and u', v' steps. */
#include <metamer/tolerance.h>

#include "base/error.h"
#include "base/number.h"
#include "colour/check.h"

#include <metamer/white.h>

#include <math.h>

#define DUV_TOLERANCE 0.006
#define FLEXIBLE_MIN_K 2700 /* the tolerance formula does not reach the rows below */
#define FLEXIBLE_MAX_K 6500

/* ANSI C78.377-2017, table 1. */
static const mtm_white_class classes[MTM_WHITE_CLASS_COUNT] = {
    {2200, 2238, 102, 0.0000}, {2500, 2460, 120, 0.0000}, {2700, 2725, 145, 0.0000},
    {3000, 3045, 175, 0.0001}, {3500, 3465, 245, 0.0005}, {4000, 3985, 275, 0.0010},
    {4500, 4503, 243, 0.0015}, {5000, 5029, 283, 0.0020}, {5700, 5667, 355, 0.0025},
    {6500, 6532, 510, 0.0031},
};

const mtm_white_class *mtm_white_classes(void)
{
    return classes;
}

/* Target of Duv by temperature, ANSI C78.377-2017; it crosses zero near 2870 K. */
static double duv_target(double cct_k)
{
    return cct_k < 2870 ? 0 : (57700 / (cct_k * cct_k)) - (44.6 / cct_k) + 0.00854;
}

/* Tolerance by temperature for flexible CCT, ANSI C78.377-2017; from memory; at 2800 K and
 * 3200 K between those of the neighbours in table 1. */
static double cct_tolerance(double t)
{
    return (((((1.1900e-8 * t) - 1.5434e-4) * t) + 0.7168) * t) - 902.55;
}

mtm_result mtm_white_class_flexible(int nominal_k, mtm_white_class *white_class, mtm_error *error)
{
    if (white_class == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the class was given");
    for (size_t i = 0; i < MTM_WHITE_CLASS_COUNT; i++)
        if (classes[i].nominal_k == nominal_k) {
            *white_class = classes[i];
            return MTM_OK;
        }
    if (nominal_k < FLEXIBLE_MIN_K || nominal_k > FLEXIBLE_MAX_K || nominal_k % 100 != 0)
        return mtmi_fail(error, MTM_INVALID,
                         "%d K names no class of white; 2200, 2500, and %d to %d in steps of 100 "
                         "are allowed",
                         nominal_k, FLEXIBLE_MIN_K, FLEXIBLE_MAX_K);
    *white_class =
        (mtm_white_class){nominal_k, nominal_k, cct_tolerance(nominal_k), duv_target(nominal_k)};
    return MTM_OK;
}

mtm_result mtm_white_class_centre(const mtm_white_class *white_class, mtm_xy *xy, mtm_error *error)
{
    if (white_class == NULL || xy == NULL)
        return mtmi_fail(error, MTM_INVALID, "no class, or no place for its centre, was given");
    return mtm_white_to_xy((mtm_white){white_class->cct_k, white_class->duv}, xy, error);
}

mtm_result mtm_white_class_corners(const mtm_white_class *white_class, double steps,
                                   mtm_xy corner[4], mtm_error *error)
{
    static const int side[4] = {-1, 1, 1, -1}; /* of temperature */
    static const int above[4] = {1, 1, -1, -1};
    mtm_xy found[4];

    if (white_class == NULL || corner == NULL)
        return mtmi_fail(error, MTM_INVALID, "no class, or no place for its corners, was given");
    if (!(steps >= 1 && steps <= MTM_QUADRANGLE_STEPS))
        return mtmi_fail(error, MTM_INVALID,
                         "a quadrangle of %.10g steps was asked; 1 to %.10g are "
                         "allowed",
                         steps, MTM_QUADRANGLE_STEPS);
    double scale = steps / MTM_QUADRANGLE_STEPS;
    for (size_t i = 0; i < 4; i++) {
        double cct_k = white_class->cct_k + (side[i] * scale * white_class->tolerance_k);
        double duv = duv_target(cct_k) + (above[i] * scale * DUV_TOLERANCE);

        mtm_result result = mtm_white_to_xy((mtm_white){cct_k, duv}, &found[i], error);
        if (result != MTM_OK)
            return result;
    }
    for (size_t i = 0; i < 4; i++)
        corner[i] = found[i];
    return MTM_OK;
}

/* An area in x, y below which a point lies on an edge, and is inside. */
#define ON_EDGE 1e-12

/* The corners run clockwise in x, y; inside, every edge has the point to its right. */
static bool quadrangle_holds(const mtm_xy corner[4], mtm_xy p)
{
    bool left = false;
    bool right = false;

    for (size_t i = 0; i < 4; i++) {
        mtm_xy a = corner[i];
        mtm_xy b = corner[(i + 1) % 4];
        double turn = ((b.x - a.x) * (p.y - a.y)) - ((b.y - a.y) * (p.x - a.x));

        left = left || turn > ON_EDGE;
        right = right || turn < -ON_EDGE;
    }
    return !(left && right);
}

mtm_result mtm_white_class_holds(const mtm_white_class *white_class, double steps, mtm_xy xy,
                                 bool *holds, mtm_error *error)
{
    mtm_xy corner[4] = {{0, 0}};

    if (holds == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the answer was given");
    mtm_result result = mtmi_check_xy("the colour", xy, error);
    if (result != MTM_OK)
        return result;
    result = mtm_white_class_corners(white_class, steps, corner, error);
    if (result != MTM_OK)
        return result;
    *holds = quadrangle_holds(corner, xy);
    return MTM_OK;
}

mtm_result mtm_steps(mtm_xy a, mtm_xy b, double *steps, mtm_error *error)
{
    if (steps == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the steps was given");
    mtm_result result = mtmi_check_xy("the first colour", a, error);
    if (result == MTM_OK)
        result = mtmi_check_xy("the second colour", b, error);
    if (result != MTM_OK)
        return result;
    *steps = mtm_uv_distance(mtm_uv_from_xy(a), mtm_uv_from_xy(b)) / MTM_STEP_UV;
    return MTM_OK;
}

mtm_result mtm_tolerance_from_xy(mtm_xy xy, mtm_tolerance *tolerance, mtm_error *error)
{
    mtm_tolerance found = {.steps = INFINITY};
    mtm_xy nearest = {0, 0};
    mtm_result result = MTM_OK;

    if (tolerance == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the tolerance was given");
    for (size_t i = 0; i < MTM_WHITE_CLASS_COUNT; i++) {
        mtm_xy centre = {0, 0};
        double steps = 0;
        bool holds = false;

        result = mtm_white_class_holds(&classes[i], MTM_QUADRANGLE_STEPS, xy, &holds, error);
        if (result == MTM_OK)
            result = mtm_white_class_centre(&classes[i], &centre, error);
        if (result == MTM_OK)
            result = mtm_steps(centre, xy, &steps, error);
        if (result != MTM_OK)
            return result;
        if (holds && found.within == NULL)
            found.within = &classes[i];
        if (mtmi_exceeds(found.steps, steps)) {
            found.nearest = &classes[i];
            found.steps = steps;
            nearest = centre;
        }
    }
    result = mtm_macadam_steps(nearest, xy, &found.macadam_steps, error);
    if (result != MTM_OK)
        return result;
    *tolerance = found;
    return MTM_OK;
}
