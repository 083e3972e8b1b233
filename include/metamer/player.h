/* SPDX-License-Identifier: MIT */
/* Player: frames from a source to a sender, each at its time. */
#ifndef METAMER_PLAYER_H
#define METAMER_PLAYER_H

#include <metamer/base.h>
#include <metamer/frames.h>
#include <metamer/rig.h>
#include <metamer/stream.h>

#include <signal.h>

MTM_BEGIN

/** What is done when the frames have ended, or the player is told to stop. */
typedef enum mtm_player_end {
    MTM_PLAYER_RELEASE = 0, /**< ends the stream: what receivers then show is their own affair */
    MTM_PLAYER_HOLD,    /**< keeps the last frame alive until told to stop (not at all where nothing
                           can tell), then ends the stream */
    MTM_PLAYER_BLACKOUT /**< sends dimmers and emitters at 0, all other slots as the last frame has
                             them (fixed ones as stated), then ends the stream */
} mtm_player_end;

/** How it went. A plain value. */
typedef struct mtm_player_report {
    uint64_t sent;    /**< frames handed to the network */
    uint64_t dropped; /**< frames left out because their time had passed */
    uint64_t refused; /**< frames of which the network did not take all */
    double seconds;   /**< from the first frame's time */
    /* from a frame's time to when its last packet was handed over, milliseconds; each is 0 to 3 %
     * more than it was, but the largest, which is exact */
    double late_p50_ms;      /**< in the middle */
    double late_p99_ms;      /**< the 99th percentile */
    double late_max_ms;      /**< the largest */
    double cpu_share;        /**< of one processor, by this thread, 0..1 */
    bool realtime;           /**< the real-time priority was asked for, and given */
    char realtime_note[160]; /**< a sentence where it was asked for and refused; else "" */
    char network_note[160];  /**< why the network refused last; "" where it did not */
    bool stopped;            /**< told to stop */
} mtm_player_report;

/** How to play. A zeroed one plays at the source's rate and then releases. */
typedef struct mtm_player_options {
    mtm_player_end end; /**< what is done at the end */
    const mtm_rig *rig; /**< whose light it is; only MTM_PLAYER_BLACKOUT needs it. Borrowed */
    const bool *meant;  /**< by its units, those whose light it is; NULL: all. Borrowed */
    /** Faster than E1.11 allows for a universe's slots: only where no receiver feeds DMX512. */
    bool any_rate;
    /** Asks for a real-time priority (SCHED_FIFO) for the calling thread while playing. */
    bool realtime;
    uint64_t frames_most; /**< ends after so many frame times; 0: when the source ends */
    /** Told to stop when not 0: may be set by a signal handler. NULL: never. */
    const volatile sig_atomic_t *stop;
    /** While it is not 0 nothing is sent: the stream is ended, and begun again when it is 0. The
     *  source may set it while it fills a frame. NULL: never. */
    const volatile sig_atomic_t *quiet;
    /** Called about once a second, between frames; must be quick. NULL: not. */
    void (*progress)(void *context, const mtm_player_report *so_far);
    void *progress_context; /**< handed to progress */
} mtm_player_options;

/**
 * Plays a source. Each frame has an absolute time on the monotonic clock; the next is made ready
 * meanwhile. A frame is sent late by less than a frame, or is dropped; none is queued. A network
 * that goes away is waited for: the frames go on, and are seen again when it is back.
 *
 * @param sender  without universes: those of the source are added; it can play no second source
 * @param report  set also on failure
 * @return MTM_OK; MTM_INVALID for MTM_PLAYER_BLACKOUT without a rig; MTM_RANGE if the rate is more
 *         than E1.11 allows for a universe's slots; what the source fails with, after the stream
 *         has been ended as asked
 */
MTM_API MTM_CHECKED mtm_result mtm_player_run(mtm_sender *sender, const mtm_frame_source *source,
                                              const mtm_player_options *options,
                                              mtm_player_report *report, mtm_error *error);

MTM_END
#endif
