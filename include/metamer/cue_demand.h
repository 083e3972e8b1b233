/* SPDX-License-Identifier: MIT */
/* Cue demand: what ports, supplies and circuits carry at the fullest moment of a cue. */
#ifndef METAMER_CUE_DEMAND_H
#define METAMER_CUE_DEMAND_H

#include <metamer/base.h>
#include <metamer/demand.h>
#include <metamer/show.h>

MTM_BEGIN

/** Runs the cues of a show, one after the other, and weighs each of its moments. One thread at a
 *  time. Keeps a pointer to the show, which must outlive it and stay unchanged. */
typedef struct mtm_cue_demand mtm_cue_demand;

/**
 * All units dark.
 *
 * @param meant   by unit of the show's rig, those that are lit, as of mtm_fader_options; NULL: all
 * @param options how demand is reckoned; copied; NULL for the defaults
 * @return MTM_OK; MTM_INVALID; MTM_UNSUPPORTED and MTM_RANGE as of mtm_fader_create; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_cue_demand_create(const mtm_show *show, const bool *meant,
                                                     const mtm_demand_options *options,
                                                     mtm_cue_demand **out, mtm_error *error);
/** Frees it; NULL is allowed. */
MTM_API void mtm_cue_demand_free(mtm_cue_demand *demands);

/** Puts all units where a cue leaves them, as mtm_fader_set does; MTM_FADER_DARK: all dark.
 *  MTM_INVALID for no such cue, and all else as there. */
MTM_API MTM_CHECKED mtm_result mtm_cue_demand_set(mtm_cue_demand *demands, size_t cue,
                                                  mtm_error *error);

/**
 * Runs a cue from where the units are now, ten frames a second. A transition longer than half an
 * hour is followed that long, then its end is taken.
 *
 * @param jump    as mtm_fader_go_to does: the state that the cues before leave, then this one
 * @param demand  set on MTM_OK to the fullest that each row gets; the caller frees it
 * @param total_w set on MTM_OK to the most watts of all units together
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY; what the fader refuses
 */
MTM_API MTM_CHECKED mtm_result mtm_cue_demand_run(mtm_cue_demand *demands, size_t cue, bool jump,
                                                  mtm_demand **demand, double *total_w,
                                                  mtm_error *error);

MTM_END
#endif
