/* SPDX-License-Identifier: MIT */
/* Fade report: how smoothly each unit fades, where it steps most, why, and what would cure it. */
#ifndef METAMER_FADE_REPORT_H
#define METAMER_FADE_REPORT_H

#include <metamer/base.h>
#include <metamer/fade.h>
#include <metamer/match.h>

MTM_BEGIN

/** Why a step is as large as it is, or why a colour strays. */
typedef enum mtm_fade_cause {
    MTM_FADE_STILL = 0, /**< nothing moves */
    MTM_FADE_PACE,      /**< the fade itself goes so fast there: its time and its curve */
    MTM_FADE_CODES,     /**< the codes are too far apart: a channel steps from one to another */
    MTM_FADE_GAMUT      /**< the path leads beyond what the emitters can do */
} mtm_fade_cause;

/**
 * What one unit does in one fade. A plain value.
 *
 * Lightness and colour difference are those of an eye that is used to the unit's full light (all
 * emitters; D65): dark-adapted eyes see more near black. A stray is looked for where that lightness
 * is 2 or more.
 */
typedef struct mtm_fade_finding {
    bool moves;            /**< the cue names the unit */
    int bits;              /**< of its coarsest channel, 8 or 16 */
    double fade_s;         /**< how long it moves, without delay; 0: it jumps within a frame */
    double gentle_s;       /**< where cause is MTM_FADE_PACE: the time in which no step, without
                            *   rounding, would be larger than CIEDE2000 1; else fade_s */
    double step;           /**< largest CIEDE2000 difference between two frames in a row */
    double step_s;         /**< when: seconds from the start of the cue to the later frame */
    double level_change;   /**< largest change of an emitter's level between two frames in a row,
                            *   before rounding */
    double step_lightness; /**< largest difference in L* between two frames in a row */
    double pace;           /**< CIEDE2000 of the same two frames of step without any rounding */
    mtm_fade_cause cause;  /**< of step */
    size_t channel;        /**< that steps most there: an emitter, or the emitters' count for the
                            *   dimmer */
    unsigned code_from;    /**< its code before */
    unsigned code_to;      /**< its code after */
    size_t channels;       /**< that change their code there, with that one */
    double stray;          /**< largest distance in u', v' of what is sent from the path */
    double stray_s;        /**< when */
    mtm_fade_cause stray_cause; /**< MTM_FADE_STILL, MTM_FADE_CODES or MTM_FADE_GAMUT */
    mtm_goal goal;              /**< of the look that it leads to, as asked */
    mtm_fallback fallback;      /**< why the unit goes by MTM_GOAL_LIGHT instead */
    double left_dark_uv;        /**< 0, or how near to its target, in u', v', it could have come
                                 *   where the look leaves it dark */
    bool has_dimming;           /**< it has a dimmer beside its emitters */
    mtm_dimming dimming;        /**< of the look that it leads to */
} mtm_fade_finding;

/**
 * Runs a cue from the state before it and looks at every frame.
 *
 * @param cue      an index
 * @param finding  one a unit of the rig; set on MTM_OK
 * @param progress may be NULL
 * @return MTM_OK; MTM_RANGE where progress ended it; what starting the cue fails with
 */
MTM_API MTM_CHECKED mtm_result mtm_fade_examine(mtm_fader *fader, size_t cue,
                                                mtm_fade_finding *finding,
                                                mtm_fade_progress progress, void *context,
                                                mtm_error *error);

/** The same from another look: that of from, the index of a cue or MTM_FADER_DARK.
 *  MTM_INVALID for no such cue; else as above. */
MTM_API MTM_CHECKED mtm_result mtm_fade_examine_from(mtm_fader *fader, size_t from, size_t cue,
                                                     mtm_fade_finding *finding,
                                                     mtm_fade_progress progress, void *context,
                                                     mtm_error *error);

/**
 * What would make the step smaller, in a sentence; "" where it needs no cure.
 *
 * @param visible a step of CIEDE2000 that needs one: 1 is about what a careful eye sees
 *                (common practice, no source)
 * @param text    room characters
 */
MTM_API void mtm_fade_cure(const mtm_show *show, size_t unit, const mtm_fade_finding *finding,
                           double visible, char *text, size_t room);

MTM_END
#endif
