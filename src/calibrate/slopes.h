/* SPDX-License-Identifier: MIT */
/* Slopes of a unit's light by all that may be wrong of it. */
#ifndef METAMER_CALIBRATE_SLOPES_H
#define METAMER_CALIBRATE_SLOPES_H

#include <metamer/meter.h>
#include <metamer/unit_model.h>

enum { MTMI_KNOTS = 9 }; /* codes at which the error of a curve stands */

/** What may be wrong of one emitter, and what is known of it. */
typedef struct mtmi_known {
    mtm_xyz xyz;              /* at full */
    double curve[MTMI_KNOTS]; /* logarithm of its level over that of the base curve, at the knots */
    double dead;              /* share of the code that lights nothing, beyond the base curve's */
    mtm_uv drift;
    double droop;
} mtmi_known;

/** Codes at which the error of a curve stands; linear between in the logarithm, 0 at full. */
extern const double mtmi_knot_code[MTMI_KNOTS];

/** Places of an emitter's errors; at the end of all emitters' stand the meter's in x and y. */
enum {
    MTMI_AT_XYZ = 0,
    MTMI_AT_CURVE = 3,
    MTMI_AT_DEAD = MTMI_AT_CURVE + MTMI_KNOTS,
    MTMI_AT_DRIFT = MTMI_AT_DEAD + 1,
    MTMI_AT_BOW = MTMI_AT_DRIFT + 2,
    MTMI_AT_DROOP = MTMI_AT_BOW + 2,
    MTMI_AT_METER = MTMI_AT_DROOP + 1,
    MTMI_STRIDE = MTMI_AT_METER + 3
};

/** The level of a code by a base curve and what is known beyond it. */
double mtmi_known_level(const mtmi_known *known, const mtm_curve *base, double code);
/** Sets what is known of a curve to what makes this one of the base, at codes from least up. */
void mtmi_known_take_curve(mtmi_known *known, const mtm_curve *base, const mtm_curve *curve,
                           double least);

/** Slopes of the true light by all errors of the unit, 3 x n: of X, Y, Z; the meter's stay 0.
 *  dead: how much of a dead zone is likely. */
void mtmi_light_slopes(const mtm_unit_model *model, const double *code, double dimmer, double dead,
                       size_t n, double *slope);
/** Adds what a straight slope misses of curves that end in a dead zone. */
void mtmi_light_bends(const mtm_unit_model *model, const double *code, double dimmer, double dead,
                      mtm_covariance *spread);
/** product = slope times covariance; 3 x n, n x n. */
void mtmi_slopes_carry(const double *covariance, size_t n, const double *slope, double *product);
/** That times the slope again: the covariance of X, Y, Z. */
mtm_covariance mtmi_slopes_close(size_t n, const double *slope, const double *product);

#endif
