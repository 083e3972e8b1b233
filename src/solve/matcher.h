/* SPDX-License-Identifier: MIT */
/* Matcher, as the rest of this room sees it. */
#ifndef METAMER_SOLVE_MATCHER_H
#define METAMER_SOLVE_MATCHER_H

#include <metamer/match.h>

mtm_observer mtmi_matcher_observer(const mtm_matcher *matcher);

/** Solves, rounds and predicts one unit; delta_uv is taken from asked. The sentence of a failure
 *  begins with the unit's name. */
MTM_CHECKED mtm_result mtmi_matcher_answer(mtm_matcher *matcher, size_t unit,
                                           const mtm_request *request, mtm_xy asked,
                                           mtm_match *match, mtm_error *error);

#endif
