/* SPDX-License-Identifier: MIT */
/* Matcher, as the rest of this room sees it. */
#ifndef METAMER_SOLVE_MATCHER_H
#define METAMER_SOLVE_MATCHER_H

#include <metamer/match.h>

mtm_observer mtmi_matcher_observer(const mtm_matcher *matcher);

/** What the goals that need spectra are asked beside the colour. */
struct mtmi_wish {
    mtm_index index;
    const mtm_spectrum *reference; /* NULL: the usual one */
};

/** That of a request; borrows its target. */
static inline struct mtmi_wish mtmi_wish_of(const mtm_match_request *request)
{
    const mtm_target *target = &request->target;

    return (struct mtmi_wish){request->index, target->has_spectrum ? &target->spectrum : NULL};
}

/** Solves, rounds and predicts one unit; delta_uv is taken from asked. The sentence of a failure
 *  begins with the unit's name. */
MTM_CHECKED mtm_result mtmi_matcher_answer(mtm_matcher *matcher, size_t unit,
                                           const mtm_request *request, struct mtmi_wish wish,
                                           mtm_xy asked, mtm_match *match, mtm_error *error);

#endif
