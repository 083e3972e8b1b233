/* SPDX-License-Identifier: MIT */
/* Curve: what a fixture makes of the code it is sent (code -> linear light) and back. */
#ifndef METAMER_CURVE_H
#define METAMER_CURVE_H

#include <metamer/base.h>

MTM_BEGIN

/** A dimming curve: never falling, 0 -> 0 and 1 -> 1 unless a measured table says otherwise.
 *  Immutable once made; may be shared by threads. */
typedef struct mtm_curve mtm_curve;

/** One type of curve that has a name. */
typedef struct mtm_curve_type {
    const char *name;        /**< as written in a fixture file */
    const char *description; /**< one line */
} mtm_curve_type;

/** Number of named types. */
MTM_API size_t mtm_curve_type_count(void);
/**
 * One of them; static storage. NULL past the last. With c the code and y the level:
 * linear, y = c; square, y = c^2; lightness, CIE L* = 100 c gives y (ISO/CIE 11664-4);
 * s, y = 3 c^2 - 2 c^3: flat at both ends, steepest in the middle (a definition of our own).
 */
MTM_API const mtm_curve_type *mtm_curve_type_at(size_t index);

/** A curve by name; MTM_NOT_FOUND names the nearest. The caller frees it. */
MTM_API MTM_CHECKED mtm_result mtm_curve_create_named(const char *name, mtm_curve **out,
                                                      mtm_error *error);
/** level = code ^ exponent, exponent 0.1..10, else MTM_INVALID; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_curve_create_power(double exponent, mtm_curve **out,
                                                      mtm_error *error);
/**
 * A measured table of count (2..65536) points: code 0..1 strictly rising, level 0..1 never falling,
 * the last one above 0. Straight lines between; the end levels go on outside. Copies its input.
 * @return MTM_OK; MTM_INVALID for a table that is not so; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_curve_create_table(const double *code, const double *level,
                                                      size_t count, mtm_curve **out,
                                                      mtm_error *error);
/** A copy of a curve. The caller frees it. MTM_OK or MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_curve_clone(const mtm_curve *curve, mtm_curve **out,
                                               mtm_error *error);
/** True if two curves have the same type and figures. */
MTM_API bool mtm_curve_equal(const mtm_curve *a, const mtm_curve *b);
/** Frees a curve; NULL is allowed. */
MTM_API void mtm_curve_free(mtm_curve *curve);

/** What a curve is: a name of mtm_curve_type_at, "power" or "table". Static storage. */
MTM_API const char *mtm_curve_type_name(const mtm_curve *curve);
/** The exponent of a power curve; 1 for linear, 2 for square; 0 for the others. */
MTM_API double mtm_curve_exponent(const mtm_curve *curve);
/** The points of a table, borrowed; returns their number, 0 for the other types. */
MTM_API size_t mtm_curve_points(const mtm_curve *curve, const double **code, const double **level);

/** Linear light (0..1) for a code (0..1, clamped; what is no number counts as 0). */
MTM_API double mtm_curve_level(const mtm_curve *curve, double code);
/** The code (0..1) for a level (0..1, clamped as there): inverse of mtm_curve_level; on a flat
 * part, its lowest code. */
MTM_API double mtm_curve_code(const mtm_curve *curve, double level);

MTM_END
#endif
