/* SPDX-License-Identifier: MIT */
/* The one mix that all units of a kind are trimmed about. */
#ifndef METAMER_TRIM_RECIPE_H
#define METAMER_TRIM_RECIPE_H

#include "trim/near.h"

#include <metamer/trim.h>

/**
 * One recipe for the units of each kind: what the goal makes of the mean of its calibrated units,
 * each emitter as weak as the weakest of them (then all can give it). Sets the goal of each unit to
 * the one it goes by: MTM_GOAL_LIGHT where the one asked for needs spectra or a colour temperature
 * that are not there.
 *
 * @param recipe count places, in the order of units
 */
MTM_CHECKED mtm_result mtmi_trim_recipes(const mtm_calibration *calibration, const mtm_rig *rig,
                                         const mtm_trim_request *request, mtm_trim_unit *units,
                                         size_t count, mtmi_recipe *recipe, mtm_error *error);

#endif
