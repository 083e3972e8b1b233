/* SPDX-License-Identifier: MIT */
/* A unit's mix as near to a recipe as the target allows. */
#ifndef METAMER_TRIM_NEAR_H
#define METAMER_TRIM_NEAR_H

#include "trim/unit.h"

/** How much of a light each emitter makes: shares of the sum of X + Y + Z, which sum to 1. */
typedef struct mtmi_recipe {
    double share[MTM_EMITTERS_MAX]; /* 0: stays dark */
} mtmi_recipe;

/** The recipe of levels, given what each emitter adds per unit of its level. */
mtmi_recipe mtmi_recipe_of(const mtm_xyz *xyz, const double *level, size_t count);

/**
 * The mix of the target's chromaticity (or the nearest reachable one) that changes the shares of a
 * recipe least: least sum of squares of the relative changes, a convex quadratic program. An
 * emitter that the recipe leaves dark is lit only where the others do not reach the target. The mix
 * does not depend on the output (but for drift and sharing); the output is the most that the
 * bounds allow (MTM_OUTPUT_MAX) or as stated (MTM_OUTPUT_LM), as far as that
 * goes.
 */
MTM_CHECKED mtm_result mtmi_trim_near(const mtm_unit_model *model,
                                      const struct mtmi_trim_bounds *bounds, mtm_xy xy,
                                      const mtmi_recipe *recipe, mtm_output output,
                                      mtmi_settled *settled, mtm_error *error);

#endif
