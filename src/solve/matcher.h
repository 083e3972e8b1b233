/* SPDX-License-Identifier: MIT */
/* Matcher, as the rest of this room sees it. */
#ifndef METAMER_SOLVE_MATCHER_H
#define METAMER_SOLVE_MATCHER_H

#include <metamer/match.h>

mtm_observer mtmi_matcher_observer(const mtm_matcher *matcher);

/** Solves, rounds and predicts one unit; delta_uv is taken from asked. reference, for the goal
 *  closest, may be NULL. The sentence of a failure begins with the unit's name. */
MTM_CHECKED mtm_result mtmi_matcher_answer(mtm_matcher *matcher, size_t unit,
                                           const mtm_request *request,
                                           const mtm_spectrum *reference, mtm_xy asked,
                                           mtm_match *match, mtm_error *error);

/** The spectrum of a target that has one, else NULL. */
static inline const mtm_spectrum *mtmi_target_spectrum(const mtm_target *target)
{
    return target->has_spectrum ? &target->spectrum : NULL;
}

#endif
