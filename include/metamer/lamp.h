/* SPDX-License-Identifier: MIT */
/* Lamp: how a tungsten lamp's light and colour follow its voltage. */
#ifndef METAMER_LAMP_H
#define METAMER_LAMP_H

#include <metamer/base.h>

MTM_BEGIN

#define MTM_LAMP_LIGHT_POWER 3.4 /**< light goes with the voltage to this power; source below */

/** A lamp at some voltage, beside itself at its rated one. A plain value. */
typedef struct mtm_lamp {
    double cct_k;       /**< colour temperature at the rated voltage, 1000..25000 */
    double light_share; /**< its light there is 1; 0 < share <= 1 */
} mtm_lamp;

/**
 * The colour temperature of a dimmed lamp, K: light goes with the voltage to the power of 3.4, the
 * temperature to the power of 0.42, so the temperature goes with the light to the power of 0.1235.
 *
 * Powers fit a lamp near its rated voltage, and differ a little from lamp to lamp; far below it (a
 * few per cent of the light) they are an extrapolation.
 * Source: D. G. Fink, H. W. Beaty, Standard Handbook for Electrical Engineers, 11th ed., 1978,
 * p. 22-8, as open encyclopedias cite it (light 3.4 to 3.5, temperature 0.42).
 * @return K; 0 for a share outside 0..1 or a temperature that is not above 0
 */
MTM_API double mtm_lamp_dimmed_cct_k(mtm_lamp lamp);

/** The share of its light that a lamp of full_cct_k gives when it is dimmed to cct_k: the inverse
 * of mtm_lamp_dimmed_cct_k. 1 for a temperature of the full one or more; NaN for one that is not
 * above 0. */
MTM_API double mtm_lamp_share_at(double full_cct_k, double cct_k);

/** The share of its watts that a lamp takes at a share of its light, 0..1: watts go with the
 * voltage to the power of 1.6, so with the light to the power of 0.47. Source as above. NaN outside
 * 0..1. */
MTM_API double mtm_lamp_watts_share(double light_share);

/** The share of its light that a lamp gives at a share of its watts, 0..1: the inverse of
 * mtm_lamp_watts_share. */
MTM_API double mtm_lamp_light_at_watts(double watts_share);

MTM_END
#endif
