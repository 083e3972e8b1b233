/* SPDX-License-Identifier: MIT */
/* The inside of a coder. */
#ifndef METAMER_SOLVE_CODER_H
#define METAMER_SOLVE_CODER_H

#include "unit/channels.h"
#include "unit/code_cost.h"
#include "unit/lowest.h"

#include <metamer/codes.h>

struct mtm_coder {
    struct mtmi_channels channels;            /* what may be sent */
    struct mtmi_channels sent;                /* what codes give, whoever sent them */
    struct mtmi_sums light[MTM_EMITTERS_MAX]; /* at full level */
    bool limited;                             /* the limits keep a headroom */
    double most[MTM_EMITTERS_MAX];            /* levels that the limits allow */
    struct mtmi_lowest lowest; /* of units whose emitters have a lowest level; else count 0 */
    double lowest_level;       /* of those: of what is lit, the dimmer counted in; else 0 */
    double most_watts;         /* the fixture's power limit, and a little for sums that round */
};

/** mtm_coder_create with levels taken from a cache, and put there; NULL for levels of its own. */
MTM_CHECKED mtm_result mtmi_coder_create_from(const mtm_fixture *fixture, const mtm_mode *mode,
                                              mtm_observer observer, struct mtmi_level_cache *cache,
                                              mtm_coder **out, mtm_error *error);

/**
 * Chooses the emitters' codes so that the light is nearest to that of the levels, as
 * mtm_coder_round says; all 0 if that is none.
 * @param level count levels
 * @param gain  the dimmer's level: what the emitters' own levels are multiplied by
 * @param codes count codes, set
 * @return the cost: squared steps of u', v' and of output; infinite where that exceeds the power
 *         limit, or where behind this dimmer an emitter cannot be lit at its lowest level
 */
double mtmi_round(const struct mtm_coder *coder, const double *level, double gain, uint32_t *codes);

/** Moves levels that are below the lowest to those that codes can have (unit/lowest.h); false where
 *  they stay. cost: what that costs, in squared steps; NULL if nobody asks. */
bool mtmi_coder_hold(const struct mtm_coder *coder, enum mtmi_lowest_goal goal, double *level,
                     double *cost);
/** The lowest code of an emitter at which it is lit as it may be behind a dimmer of this level; 0
 *  where none is. */
unsigned mtmi_coder_least_code(const struct mtm_coder *coder, size_t emitter, double gain);

/** mtm_coder_round with the dimmer at a stated code; false where it is not open wide enough, or
 *  there is none. */
bool mtmi_coder_round_at(const struct mtm_coder *coder, const double *level, unsigned dimmer,
                         mtm_codes *codes);

#endif
