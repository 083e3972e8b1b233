/* SPDX-License-Identifier: MIT */
/* Matcher, as the rest of this room sees it. */
#ifndef METAMER_SOLVE_MATCHER_H
#define METAMER_SOLVE_MATCHER_H

#include <metamer/match.h>

const mtm_rig *mtmi_matcher_rig(const mtm_matcher *matcher);
mtm_observer mtmi_matcher_observer(const mtm_matcher *matcher);

/** Refuses a request that is out of its range, or meant for another observer. */
MTM_CHECKED mtm_result mtmi_match_request_check(const mtm_matcher *matcher,
                                                const mtm_match_request *request, mtm_error *error);

/** What the goals that need spectra are asked beside the colour. */
struct mtmi_index_request {
    mtm_index index;
    const mtm_spectrum *reference; /* NULL: the usual one */
};

/** That of a request; borrows its target. */
static inline struct mtmi_index_request mtmi_index_request_of(const mtm_match_request *request)
{
    const mtm_target *target = &request->target;

    return (struct mtmi_index_request){request->index,
                                       target->has_spectrum ? &target->spectrum : NULL};
}

/** The unit whose slots a unit shares: itself, if it follows none. */
size_t mtmi_matcher_leader(const mtm_matcher *matcher, size_t unit);

/** Solves one unit: match's ideal, shortfall, goal and fallback. The sentence of a failure begins
 *  with the unit's name. */
MTM_CHECKED mtm_result mtmi_matcher_solve(mtm_matcher *matcher, size_t unit,
                                          const mtm_request *request,
                                          struct mtmi_index_request wish, mtm_match *match,
                                          mtm_error *error);

/** Brings a colour in towards the white of the limits, to the most purity; false where it is
 * within. Colours of one dominant wavelength lie on a line with the white, and purity is the
 * distance on it (CIE S 017, 17-23-067). */
bool mtmi_bring_in(const mtm_limits *limits, mtm_observer observer, mtm_xy *xy);

/** Moves an ideal with an emitter below the lowest level to one that the unit may give. output: as
 *  asked; of the most, the colour is kept where that is possible, and else both. */
void mtmi_matcher_hold(const mtm_matcher *matcher, size_t unit, mtm_output output,
                       mtm_match *match);

/** Drops choices that another covers in light, watts, Rf and nearness; puts the most light first.
 *  Returns how many are left. */
size_t mtmi_choices_thin(mtm_choice *choice, size_t count);

/** Rounds the ideal and predicts what the codes give; as the request says; delta_uv is taken from
 * its target. */
void mtmi_matcher_finish(const mtm_matcher *matcher, size_t unit, const mtm_match_request *request,
                         mtm_match *match);

/** The last spectral mix of a kind: it does not depend on the output, so it serves for others. */
struct mtmi_cached_mix {
    bool valid;
    mtm_request request; /* of the most */
    mtm_index index;
    bool has_reference;
    mtm_spectrum reference;
    mtm_answer most;
};

/** That of a unit's kind, made when first asked for. */
MTM_CHECKED mtm_result mtmi_matcher_mix(const mtm_matcher *matcher, size_t unit,
                                        struct mtmi_cached_mix **mix, mtm_error *error);

/** The spectral side of a unit's kind, made when first asked for. */
MTM_CHECKED mtm_result mtmi_matcher_spectral(mtm_matcher *matcher, size_t unit,
                                             const mtm_spectral **spectral, mtm_error *error);

#endif
