/* SPDX-License-Identifier: MIT */
/* By hand: a show whose cues are started with keys, on a screen that shows where it is. */
#ifndef METAMER_CLI_PLAY_BY_HAND_H
#define METAMER_CLI_PLAY_BY_HAND_H

#include "cli/out/keys.h"
#include "cli/out/screen.h"

#include <metamer/fade.h>
#include <metamer/frames.h>
#include <metamer/player.h>

#include <pthread.h>

/** Keys that wait for the next frame. */
#define BY_HAND_KEYS 32

/** What the screen shows. */
struct by_hand_state {
    mtm_fader_progress progress;
    bool released;      /**< the stream is ended, nothing moves */
    bool quit_asked;    /**< once more ends it */
    char sentence[200]; /**< what a key could not do; "" otherwise */
    double seconds;     /**< since it began */
    mtm_player_report report;
};

/** A show played by hand. by_hand_begin and by_hand_end, in the thread that plays; the keys are
 *  read and the screen is drawn by another, so that a slow terminal holds up no frame. */
struct by_hand {
    const mtm_show *show;
    mtm_fader *fader;
    const mtm_frame_source *inner; /**< its frames, with all that was put behind them */
    const char *to;                /**< where they go, as the user said it */
    const char *notes;             /**< said before it began, in lines */
    volatile sig_atomic_t quiet;   /**< for the player: released */

    struct keys terminal;
    struct screen screen;
    pthread_t thread;
    pthread_mutex_t lock; /**< of what follows */
    char key[BY_HAND_KEYS];
    size_t key_count;
    bool over;
    uint64_t began_ns;
    struct by_hand_state state;
};

/** Takes the terminal. show, fader, inner, to and notes are set; they outlive it. MTM_OK; MTM_IO
 *  where the terminal refuses. */
MTM_CHECKED mtm_result by_hand_begin(struct by_hand *hand, FILE *err, mtm_error *error);
/** Puts the terminal back. */
void by_hand_end(struct by_hand *hand);
/** The frames, steered by keys. Made by mtm_fader_source with MTM_PLAY_BY_HAND. */
mtm_frame_source by_hand_source(struct by_hand *hand);
/** For mtm_player_options.progress; context is the by_hand. */
void by_hand_progress(void *context, const mtm_player_report *so_far);

/** Draws a picture. */
void by_hand_draw(struct by_hand *hand, const struct by_hand_state *state);

#endif
