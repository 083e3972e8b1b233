/* SPDX-License-Identifier: MIT */
/* Show goals: the units of a show that cannot do what a cue asks. */
#ifndef METAMER_SHOW_GOALS_H
#define METAMER_SHOW_GOALS_H

#include <metamer/base.h>
#include <metamer/match.h>
#include <metamer/show.h>

MTM_BEGIN

/** A unit that stays dark from a cue on, since its gamut ends too far from its target; or that goes
 *  by MTM_GOAL_LIGHT, where the cue asks for another goal. */
typedef struct mtm_goal_lapse {
    size_t cue;          /**< index in the show */
    size_t unit;         /**< index in the rig */
    mtm_goal goal;       /**< asked for */
    mtm_fallback why;    /**< what the unit lacks; MTM_FALLBACK_NONE where it stays dark */
    double left_dark_uv; /**< 0, or how near to its target it could have come, in u', v' */
} mtm_goal_lapse;

/** Called for each, cue by cue, units in the order of the rig. */
typedef void (*mtm_goal_lapse_tell)(void *context, const mtm_goal_lapse *lapse);

/**
 * Looks through all cues of a show. A unit is told of once for a colour and goal, not again where
 * only its output changes; one that stays dark, when its look gets an output. The run itself goes
 * on without being told.
 *
 * @return MTM_OK, MTM_MEMORY, or what a match of a cue's look fails with
 */
MTM_API MTM_CHECKED mtm_result mtm_show_goal_lapses(const mtm_show *show, mtm_goal_lapse_tell tell,
                                                    void *context, mtm_error *error);

MTM_END
#endif
