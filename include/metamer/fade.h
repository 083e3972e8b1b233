/* SPDX-License-Identifier: MIT */
/* Fade: the cues of a show as frames: what every slot is at each refresh. */
#ifndef METAMER_FADE_H
#define METAMER_FADE_H

#include <metamer/base.h>
#include <metamer/codes.h>
#include <metamer/frames.h>
#include <metamer/show.h>

MTM_BEGIN

/**
 * Flashing light can bring on seizures in people who are photosensitive, and dither is flashing
 * light where it is slow or deep. To be shown wherever dither is asked for.
 */
#define MTM_FLASH_CAUTION                                                                          \
    "caution: flashing light, at about 3 to 60 flashes a second most of all, can bring on "        \
    "seizures in photosensitive people, and dither can show as bands or beats to cameras; look "   \
    "at the real units, warn the audience, and follow local codes"

/** Called now and then; part is 0..1. Returning false ends the run. */
typedef bool (*mtm_fade_progress)(void *context, double part);

/** How a show is run. A zeroed one gives the defaults. */
typedef struct mtm_fader_options {
    double refresh_hz; /**< MTM_FRAME_RATE_MIN..MTM_FRAME_RATE_MAX; 0: what the show says */
    /**
     * 8-bit channels alternate between two codes where that is quick enough not to be seen: the
     * light may then change by no more than 0.025 % of itself for each hertz of the alternation
     * below 90 Hz, 0.08 % above (the low-risk limits of IEEE Std 1789-2015, as open programs that
     * rate flicker by it agree). At 40 frames a second that is only near the top.
     */
    bool dither;
    bool any_rate; /**< faster than E1.11 allows for a universe's slots */
    /** By unit of the show's rig, those that are played; NULL: all. Only read while the fader is
     *  made. Units that follow one share its slots, and are played with it. Of the others the fader
     *  knows nothing: there are universes, and slots of them, as far as the played units go, and
     *  slots of others are as mtm_black_to_slots has them, or as mtm_fader_stand found them. */
    const bool *meant;
    bool has_dimming;    /**< false: the dimming is what the show says */
    mtm_dimming dimming; /**< of all units all along, with has_dimming */
} mtm_fader_options;

/**
 * A show being run. One thread at a time. Keeps a pointer to the show.
 *
 * Channels of 16 bits carry what rounding leaves over from frame to frame while they move, so that
 * the mean is right. Channels of 8 bits are chosen together, by the colour and light of the unit,
 * and never go back and forth, unless dither is asked for: carried along, their steps would blink.
 * Where an 8-bit dimmer steps, the emitters behind it make up for that in the same frame. It goes
 * one way only; out of the dark and into it the emitters share its work, so that its own lowest
 * codes are passed while a step of it is not seen. A moving level is within a ten-thousandth of its
 * way, and levels move without jumps: from the mix of one look to that of the next, on other paths
 * than MTM_PATH_LIGHT by the nearest mix to what lies straight between them.
 *
 * A unit with a dimmer has its colour before its light: when a cue that brings it out of the dark
 * starts, its emitters' codes are set, and its dimmer moves from the next frame on (as a source of
 * frames, the fader gives the frame between). They stay while it goes out and when it is dark. On
 * MTM_PATH_SLOTS it comes up as a console brings it up on its own.
 *
 * That is MTM_DIMMING_FINEST. By it a unit whose mode has emitters of 16 bits behind a dimmer of 8
 * is faded by its emitters alone: its dimmer is full while there is light. With
 * MTM_DIMMING_EMITTERS that holds for all; with MTM_DIMMING_DIMMER the emitters move only where the
 * colour does, and the dimmer has all its own steps. From one dimming to another the dimmer goes
 * along with the fade. The others rest at the codes of their match.
 */
typedef struct mtm_fader mtm_fader;

/**
 * Makes a fader; all units are dark. Memory depends on the rig, not on the show or the length of
 * its fades.
 *
 * @return MTM_OK; MTM_INVALID; MTM_RANGE where the refresh is faster than ANSI E1.11 allows for the
 * slots of a universe; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_fader_create(const mtm_show *show,
                                                const mtm_fader_options *options, mtm_fader **out,
                                                mtm_error *error);
/** Frees a fader; NULL is allowed. */
MTM_API void mtm_fader_free(mtm_fader *fader);

/** Refresh and universes; each has as many slots as units use. None where no unit has an address.
 *  Borrowed from the fader. */
MTM_API mtm_frame_layout mtm_fader_layout(const mtm_fader *fader);

/** In place of a cue: before all of them, when every unit is dark. */
#define MTM_FADER_DARK SIZE_MAX

/**
 * Puts every unit where it is when cue (an index, or MTM_FADER_DARK) has run, and those before it.
 * @return MTM_OK; MTM_INVALID for no such cue; MTM_RANGE where a unit cannot make the look or its
 *         path (the sentence names cue and unit); MTM_UNSUPPORTED as mtm_solver_create_for;
 *         MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_fader_set(mtm_fader *fader, size_t cue, mtm_error *error);
/** Puts every unit where it is before cue begins: dark before the first one. MTM_INVALID and all
 *  else as mtm_fader_set. */
MTM_API MTM_CHECKED mtm_result mtm_fader_set_before(mtm_fader *fader, size_t cue, mtm_error *error);
/**
 * Starts a cue from where the units are now, even if they are still moving. The units that it does
 * not name go on as they were. The slots are those of now, but for colours that are set in the
 * dark.
 * @return MTM_OK; MTM_INVALID, MTM_RANGE, MTM_UNSUPPORTED, MTM_MEMORY as mtm_fader_set: then no
 *         unit is started, and all go on as they did
 */
MTM_API MTM_CHECKED mtm_result mtm_fader_go(mtm_fader *fader, size_t cue, mtm_error *error);
/**
 * Starts a cue as it is started from another look than that of the cue before it: every unit that
 * stands elsewhere than this cue, after all before it, leaves it goes there in this cue's times.
 * @return MTM_OK; MTM_INVALID, MTM_RANGE, MTM_UNSUPPORTED, MTM_MEMORY as mtm_fader_go
 */
MTM_API MTM_CHECKED mtm_result mtm_fader_go_to(mtm_fader *fader, size_t cue, mtm_error *error);
/**
 * Puts every unit where these slots say, as they were received: what another source leaves
 * standing. Slots of no unit are taken over as they are, and go on so. The paths of a cue that
 * starts from here give way to MTM_PATH_LIGHT where they have no colours between the two.
 * @param slots  for each universe of the layout its slots, as many as it has; NULL: not known, its
 *               units are dark
 * @return MTM_OK; MTM_INVALID
 */
MTM_API MTM_CHECKED mtm_result mtm_fader_stand(mtm_fader *fader, const uint8_t *const *slots,
                                               mtm_error *error);
/**
 * Runs through every cue without frames, to find those that cannot be run. Then all units are where
 * the last cue leaves them.
 * @return MTM_OK; MTM_RANGE, MTM_UNSUPPORTED, MTM_MEMORY as mtm_fader_go, cue and unit named
 */
MTM_API MTM_CHECKED mtm_result mtm_fader_check(mtm_fader *fader, mtm_error *error);
/** One frame on. MTM_OK; MTM_INVALID without a fader. */
MTM_API MTM_CHECKED mtm_result mtm_fader_step(mtm_fader *fader, mtm_error *error);
/** Frames until nothing moves any more; 0: all is still. */
MTM_API uint64_t mtm_fader_frames_left(const mtm_fader *fader);
/** The slots of a universe now, by index in the layout. Borrowed; change with every step. */
MTM_API const uint8_t *mtm_fader_slots(const mtm_fader *fader, size_t universe);

/** Where a unit is. A plain value. */
typedef struct mtm_fader_state {
    double level[MTM_EMITTERS_MAX]; /**< linear light of the way, before rounding, by emitter */
    mtm_xyz wanted;                 /**< what the path asks for, for the show's observer, Y in lm */
    mtm_codes codes;                /**< what is sent */
    bool moving;                    /**< on its way; false while it waits for its delay */
    bool held_by_gamut; /**< the path leads, here, beyond what the unit's emitters can do */
} mtm_fader_state;

/** Where a unit is now. unit < the rig's count. */
MTM_API void mtm_fader_unit(mtm_fader *fader, size_t unit, mtm_fader_state *state);

/** Which cues a source plays. */
typedef enum mtm_fader_play {
    MTM_PLAY_ONE = 0, /**< the one cue, until nothing moves */
    MTM_PLAY_FOLLOW,  /**< the cue and those that follow it by themselves */
    MTM_PLAY_LOOP,    /**< from the cue on, each after its follow time, and from the first again */
    MTM_PLAY_BY_HAND  /**< nothing until mtm_fader_jump; then as MTM_PLAY_FOLLOW, without an end */
} mtm_fader_play;

/**
 * Makes the fader a source of frames that begins with cue (an index), as mtm_fader_go_to does, from
 * the look of from: the index of a cue, or MTM_FADER_DARK. Frame 0 is that look. The fader belongs
 * to the source while it is used. Frames that are not asked for are passed through, so that late
 * ones can be dropped.
 *
 * @return MTM_OK; MTM_NOT_FOUND where no unit has an address; MTM_RANGE for MTM_PLAY_LOOP where a
 * cue has no follow time, or the loop takes no time
 */
MTM_API MTM_CHECKED mtm_result mtm_fader_source(mtm_fader *fader, size_t from, size_t cue,
                                                mtm_fader_play play, mtm_frame_source *source,
                                                mtm_error *error);

/** How far a source of frames is. A plain value. */
typedef struct mtm_fader_progress {
    size_t cue;      /**< started last; MTM_FADER_DARK: none yet */
    size_t next;     /**< to be started next; MTM_FADER_DARK: none is left */
    double left_s;   /**< until nothing moves */
    double follow_s; /**< until the next cue starts by itself; negative: it does not */
    bool paused;     /**< see mtm_fader_pause */
    bool held;       /**< see mtm_fader_hold */
} mtm_fader_progress;

/* Steering a source, between two of its frames and in the same thread. */

/** Starts a cue now, as mtm_fader_go_to; those that follow it by themselves do so. MTM_OK;
 *  MTM_INVALID and all else as mtm_fader_go_to, then the frames go on as they did. */
MTM_API MTM_CHECKED mtm_result mtm_fader_jump(mtm_fader *fader, size_t cue, mtm_error *error);
/** While paused nothing moves and no time passes: frames stay as they are. */
MTM_API void mtm_fader_pause(mtm_fader *fader, bool paused);
/** While held no cue follows by itself. What runs goes on to its end; a cue whose time has come
 *  starts when the hold is taken off. */
MTM_API void mtm_fader_hold(mtm_fader *fader, bool held);
/** How far the source is. */
MTM_API mtm_fader_progress mtm_fader_progress_of(const mtm_fader *fader);

MTM_END
#endif
