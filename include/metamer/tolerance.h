/* SPDX-License-Identifier: MIT */
/* Tolerance: nominal classes of white, quadrangles and steps, and the ellipses of 1942. */
#ifndef METAMER_TOLERANCE_H
#define METAMER_TOLERANCE_H

#include <metamer/base.h>
#include <metamer/colour.h>

MTM_BEGIN

/** Radius of one step in u', v' (CIE TN 001:2014). */
#define MTM_STEP_UV 0.0011
/** One step of output, a part of it: common practice, no source. */
#define MTM_STEP_OUTPUT 0.02
/** Steps that a full quadrangle of ANSI C78.377 stands for. */
#define MTM_QUADRANGLE_STEPS 7.0

/** A class of white as ANSI C78.377 names it: a target and its tolerance. A plain value. */
typedef struct mtm_white_class {
    int nominal_k;      /**< what it is called */
    double cct_k;       /**< target */
    double tolerance_k; /**< to either side, at 7 steps */
    double duv;         /**< target; the tolerance is 0.006 to either side, at 7 steps */
} mtm_white_class;

#define MTM_WHITE_CLASS_COUNT 10 /**< number of nominal classes */

/** The MTM_WHITE_CLASS_COUNT nominal classes, 2200..6500 K, rising; static storage.
 *  ANSI C78.377-2017, table 1. */
MTM_API const mtm_white_class *mtm_white_classes(void);

/**
 * A class of flexible CCT: a nominal one where nominal_k is nominal, otherwise a target of that
 * very temperature with duv and tolerance by formulas of ANSI C78.377-2017: that of duv is cited
 * with table 1 by an open colorimetry library; that of the tolerance is from memory, and
 * at 2800 K and 3200 K lies between the tolerances of its neighbours there. They give the figures
 * of table 1 to its digits in duv, to 40 K in tolerance.
 *
 * @param nominal_k 2700..6500 in steps of 100, or a nominal class
 * @return MTM_OK; MTM_INVALID for another nominal_k
 */
MTM_API MTM_CHECKED mtm_result mtm_white_class_flexible(int nominal_k, mtm_white_class *white_class,
                                                        mtm_error *error);

/** Chromaticity of a class's target. MTM_INVALID for a target that is no white (mtm_white_to_xy).
 */
MTM_API MTM_CHECKED mtm_result mtm_white_class_centre(const mtm_white_class *white_class,
                                                      mtm_xy *xy, mtm_error *error);

/**
 * Corners of a class's quadrangle in x, y: low temperature above the locus, high above, high below,
 * low below. At each edge duv is that of the edge's own temperature, plus and minus 0.006.
 *
 * @param steps 7 for the standard quadrangle; the tolerances shrink in proportion, 1..7
 * @return MTM_OK; MTM_INVALID for steps out of range, or a class of which a corner is no white
 */
MTM_API MTM_CHECKED mtm_result mtm_white_class_corners(const mtm_white_class *white_class,
                                                       double steps, mtm_xy corner[4],
                                                       mtm_error *error);

/** Whether a chromaticity lies in the quadrangle (or on its edge); steps and results as
 *  above, and MTM_INVALID for what is no chromaticity. */
MTM_API MTM_CHECKED mtm_result mtm_white_class_holds(const mtm_white_class *white_class,
                                                     double steps, mtm_xy xy, bool *holds,
                                                     mtm_error *error);

/** Number of u', v' steps between two chromaticities: their distance over 0.0011.
 *  MTM_INVALID for what is no chromaticity. */
MTM_API MTM_CHECKED mtm_result mtm_steps(mtm_xy a, mtm_xy b, double *steps, mtm_error *error);

/**
 * The same by MacAdam's ellipses, as a second opinion: the 25 of 1942 (J. Opt. Soc. Am. 32, 247;
 * one step is one standard deviation of matching), their metric coefficients interpolated in x, y
 * to the centre, each ellipse weighted by the inverse cube of its distance (our choice: common
 * practice, no source). At a centre of the 25 it is that ellipse. Far from all of them, near the
 * edge of the diagram, it is a guess.
 * @return MTM_OK; MTM_INVALID for what is no chromaticity
 */
MTM_API MTM_CHECKED mtm_result mtm_macadam_steps(mtm_xy centre, mtm_xy xy, double *steps,
                                                 mtm_error *error);

/** How a white stands to the nominal classes. */
typedef struct mtm_tolerance {
    const mtm_white_class *nearest; /**< whose centre is nearest in u', v'; static storage */
    double steps;                   /**< u', v' steps from that centre */
    double macadam_steps;           /**< the same by MacAdam's ellipses */
    const mtm_white_class *within;  /**< whose 7-step quadrangle holds it; NULL for none */
} mtm_tolerance;

/**
 * Compares a chromaticity with ANSI C78.377. A point on an edge that two quadrangles share belongs
 * to the one of the lower temperature.
 *
 * @return MTM_OK, also for a colour far from every class; MTM_INVALID for what is no chromaticity
 */
MTM_API MTM_CHECKED mtm_result mtm_tolerance_from_xy(mtm_xy xy, mtm_tolerance *tolerance,
                                                     mtm_error *error);

MTM_END
#endif
