/* SPDX-License-Identifier: MIT */
/* Meter: its stated uncertainty, how that spreads, and one meter brought into line with another. */
#ifndef METAMER_METER_H
#define METAMER_METER_H

#include <metamer/base.h>
#include <metamer/colour.h>

MTM_BEGIN

#define MTM_METER_NAME_MAX 80 /**< bytes of a meter's name, its NUL among them */

/** A colour meter as its certificate describes it. A plain value; zeroed: nothing is known. */
typedef struct mtm_meter {
    char name[MTM_METER_NAME_MAX]; /**< for reports; may be empty */
    double xy;            /**< expanded uncertainty (k = 2) of x and of y, 0..0.1; 0: not stated */
    double output;        /**< expanded uncertainty (k = 2) of Y, relative, 0..1; 0: not stated */
    double repeat_xy;     /**< standard deviation of x and y when repeated, 0..0.1; 0: not stated */
    double repeat_output; /**< of Y when repeated, relative, 0..1; 0: not stated */
    char certificate[MTM_METER_NAME_MAX]; /**< its number, of whom and when; may be empty */
} mtm_meter;

/** A covariance of X, Y, Z, symmetric, row by row. A plain value. */
typedef struct mtm_covariance {
    double at[3][3]; /**< by X, Y, Z; the square of their unit */
} mtm_covariance;

/**
 * Covariance of X, Y, Z of one reading (mean of repeats), first order.
 *
 * What the certificate states is taken as common to all repeats, so that it does not shrink with
 * their number; the repeatability shrinks with its square root. x, y and Y are taken as
 * independent. Source: JCGM 100:2008, 5.1.2 and H.2; JCGM 102:2011, 6.2.
 *
 * @param repeats >= 1; for 0, or a meter out of range, all of the covariance is NAN
 */
MTM_API mtm_covariance mtm_meter_covariance(const mtm_meter *meter, mtm_xyz xyz, size_t repeats);

/**
 * Expanded uncertainty (k = 2) of the distance in u', v' between a colour of known covariance and
 * a target without any: the true distance lies no further from the stated one with a probability of
 * 95.45 %. Far from the target that is twice the standard uncertainty along the line that joins
 * them; near it, where the distance has no usable gradient, the distribution itself is added up.
 * JCGM 100:2008, 6.2 and G.1.3; JCGM 101:2008, 5.3.
 */
MTM_API double mtm_delta_uncertainty(mtm_xyz xyz, const mtm_covariance *covariance, mtm_uv target);

/** What a measured distance and its uncertainty allow to say of a tolerance. */
typedef enum mtm_verdict {
    MTM_VERDICT_UNSTATED = 0, /**< the meter's uncertainty is not known */
    MTM_VERDICT_INSIDE,       /**< inside even with the uncertainty added */
    MTM_VERDICT_OUTSIDE,      /**< outside even with the uncertainty taken off */
    MTM_VERDICT_OPEN,         /**< cannot be told with this meter */
    MTM_VERDICT_TO_MEASURE    /**< cannot be told before a reading, which may tell it */
} mtm_verdict;

/** The verdict; expanded <= 0 (or not a number) gives MTM_VERDICT_UNSTATED, a distance or tolerance
 *  that is not a number MTM_VERDICT_OPEN. JCGM 106:2012, 8.3 (guard bands). */
MTM_API mtm_verdict mtm_verdict_of(double distance, double expanded, double tolerance);
/** The verdict in words: "inside", "outside", "cannot be told with this meter", ... Static;
 *  NULL for none. */
MTM_API const char *mtm_verdict_text(mtm_verdict verdict);

/** A matrix that turns the XYZ of one meter into those of another. A plain value. */
typedef struct mtm_meter_match {
    char ours[MTM_METER_NAME_MAX];      /**< the meter that is corrected; may be empty */
    char reference[MTM_METER_NAME_MAX]; /**< the meter that is followed; may be empty */
    double matrix[3][3];                /**< reference XYZ = matrix times our XYZ */
    double xy;     /**< expanded uncertainty (k = 2) of x and y corrected by it, beside their own
                    *   scatter: the reference's, and what the matrix leaves; 0: not stated */
    double output; /**< the same of Y, relative: the reference's; 0: not stated */
} mtm_meter_match;

/**
 * The four-colour method: three primaries and a white of the same light, read with both meters.
 * The matrix maps our four chromaticities exactly to the reference's, and the white's Y too.
 * Only the chromaticities of the primaries count, so that their output may have moved between
 * the two readings.
 *
 * @param ours, reference red, green, blue and white (any scale), in that order
 * @return MTM_OK; MTM_RANGE where the primaries lie on one line or the white is not a mixture of
 *         all three; match untouched then
 * Source: Y. Ohno and J. E. Hardis, Four-color matrix method for correction of tristimulus
 * colorimeters, Proc. IS&T 5th Color Imaging Conference, 301-305, 1997.
 */
MTM_API MTM_CHECKED mtm_result mtm_meter_match_four(const mtm_xyz ours[4],
                                                    const mtm_xyz reference[4],
                                                    mtm_meter_match *match, mtm_error *error);

/** Our XYZ as the reference would read them. */
MTM_API mtm_xyz mtm_meter_match_apply(const mtm_meter_match *match, mtm_xyz ours);

/** Reads a "meter/1" file. MTM_OK, or as all that reads a file (see mtm_result). */
MTM_API MTM_CHECKED mtm_result mtm_meter_match_load(const char *path, mtm_meter_match *match,
                                                    mtm_error *error);
/** The same from text in memory: length bytes; no NUL is needed behind them. MTM_OK, MTM_INVALID,
 *  MTM_PARSE or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_meter_match_parse(const char *text, size_t length,
                                                     const char *name_for_errors,
                                                     mtm_meter_match *match, mtm_error *error);
/** Writes a match as "meter/1" text: length bytes and a NUL. The caller frees *text with free().
 *  MTM_OK, MTM_INVALID for a matrix that no file may hold, or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_meter_match_to_json(const mtm_meter_match *match, char **text,
                                                       size_t *length, mtm_error *error);
/** Writes a "meter/1" file, whole or not at all. MTM_OK, MTM_INVALID for a matrix that no file may
 *  hold, MTM_IO or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_meter_match_write(const mtm_meter_match *match, const char *path,
                                                     mtm_error *error);

MTM_END
#endif
