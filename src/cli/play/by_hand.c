/* SPDX-License-Identifier: MIT */
/* By hand: a show whose cues are started with keys. */
#include "cli/play/by_hand.h"

#include "cli/out/stop.h"

#include "base/error.h"

#include <metamer/stream.h>

#include <stdio.h>
#include <string.h>

#define PICTURE_MS 100
/* To end, the key is pressed twice within this time. */
#define QUIT_NS UINT64_C(3000000000)

static void say(struct by_hand_state *state, const char *sentence)
{
    (void)snprintf(state->sentence, sizeof state->sentence, "%.*s", (int)sizeof state->sentence - 1,
                   sentence);
}

/* Whether something stood still and now goes on, which is all that a key then does. */
static bool goes_on(struct by_hand_state *state)
{
    bool stood = state->released || state->progress.paused;

    state->released = false;
    state->progress.paused = false;
    return stood;
}

static void start(struct by_hand *hand, struct by_hand_state *state, size_t cue, const char *none)
{
    mtm_error error;

    if (cue == MTM_FADER_DARK)
        say(state, none);
    else if (mtm_fader_jump(hand->fader, cue, &error) != MTM_OK)
        say(state, error.text);
}

static void press(struct by_hand *hand, struct by_hand_state *state, char key)
{
    state->sentence[0] = '\0';
    state->progress.cue = mtm_fader_progress_of(hand->fader).cue;
    size_t cue = state->progress.cue;

    switch (key) {
    case 'g':
    case ' ':
        if (!goes_on(state))
            start(hand, state, mtm_fader_progress_of(hand->fader).next, "that was the last cue");
        break;
    case 'b':
        (void)goes_on(state);
        start(hand, state, cue == MTM_FADER_DARK || cue == 0 ? MTM_FADER_DARK : cue - 1,
              "there is no cue before");
        break;
    case 'p':
        state->progress.paused = !state->progress.paused;
        break;
    case 'h':
        state->progress.held = !state->progress.held;
        break;
    case 'r':
        state->released = !state->released;
        break;
    default:
        break;
    }
    mtm_fader_pause(hand->fader, state->progress.paused || state->released);
    mtm_fader_hold(hand->fader, state->progress.held);
}

/* Between two frames: what was pressed since the last one. */
static void steer(struct by_hand *hand)
{
    struct by_hand_state *state = &hand->state;

    (void)pthread_mutex_lock(&hand->lock);
    for (size_t i = 0; i < hand->key_count; i++)
        press(hand, state, hand->key[i]);
    hand->key_count = 0;
    hand->quiet = state->released;
    bool paused = state->progress.paused;
    state->progress = mtm_fader_progress_of(hand->fader);
    state->progress.paused = paused; /* and not that of a release */
    state->seconds = (double)(mtm_stream_now_ns() - hand->began_ns) / 1e9;
    (void)pthread_mutex_unlock(&hand->lock);
}

static mtm_result fill(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                       mtm_error *error)
{
    struct by_hand *hand = context;

    steer(hand);
    return hand->inner->fill(hand->inner->context, number, slots, end, error);
}

mtm_frame_source by_hand_source(struct by_hand *hand)
{
    return (mtm_frame_source){hand->inner->layout, hand, fill};
}

void by_hand_progress(void *context, const mtm_player_report *so_far)
{
    struct by_hand *hand = context;

    (void)pthread_mutex_lock(&hand->lock);
    hand->state.report = *so_far;
    (void)pthread_mutex_unlock(&hand->lock);
}

/* A key; all but the one that ends it are for the next frame. */
static void take_key(struct by_hand *hand, char key, uint64_t *quit_ns)
{
    uint64_t now_ns = mtm_stream_now_ns();
    bool again = hand->state.quit_asked;

    hand->state.quit_asked = key == 'q' || (again && key == 0 && now_ns - *quit_ns < QUIT_NS);
    if (key == 'q' && again)
        stop_now();
    if (key == 'q')
        *quit_ns = now_ns;
    else if (key != 0 && hand->key_count < BY_HAND_KEYS)
        hand->key[hand->key_count++] = key;
}

static void *attend(void *context)
{
    struct by_hand *hand = context;
    uint64_t quit_ns = 0;
    bool over = false;

    while (!over) {
        (void)pthread_mutex_lock(&hand->lock);
        struct by_hand_state state = hand->state;
        (void)pthread_mutex_unlock(&hand->lock);
        by_hand_draw(hand, &state);
        char key = keys_read(PICTURE_MS);
        (void)pthread_mutex_lock(&hand->lock);
        take_key(hand, key, &quit_ns);
        over = hand->over;
        (void)pthread_mutex_unlock(&hand->lock);
    }
    return NULL;
}

/* Signals are for the thread that plays: they end its sleep. */
static int start_thread(struct by_hand *hand)
{
    sigset_t all, before;

    (void)sigfillset(&all);
    (void)pthread_sigmask(SIG_SETMASK, &all, &before);
    int reason = pthread_create(&hand->thread, NULL, attend, hand);
    (void)pthread_sigmask(SIG_SETMASK, &before, NULL);
    return reason;
}

mtm_result by_hand_begin(struct by_hand *hand, FILE *err, mtm_error *error)
{
    hand->began_ns = mtm_stream_now_ns();
    hand->state = (struct by_hand_state){.progress = mtm_fader_progress_of(hand->fader)};
    hand->key_count = 0;
    hand->over = false;
    hand->quiet = 0;
    if (!keys_open(&hand->terminal))
        return mtmi_fail(error, MTM_IO,
                         "the terminal gives no single keys; --unattended plays "
                         "without them");
    hand->screen = screen_open(err, true);
    int reason = pthread_mutex_init(&hand->lock, NULL);
    if (reason == 0)
        reason = start_thread(hand);
    if (reason == 0)
        return MTM_OK;
    screen_close(&hand->screen);
    keys_close(&hand->terminal);
    return mtmi_fail(error, MTM_IO, "no thread for the keys: %s", strerror(reason));
}

void by_hand_end(struct by_hand *hand)
{
    (void)pthread_mutex_lock(&hand->lock);
    hand->over = true;
    (void)pthread_mutex_unlock(&hand->lock);
    (void)pthread_join(hand->thread, NULL);
    (void)pthread_mutex_destroy(&hand->lock);
    screen_close(&hand->screen);
    keys_close(&hand->terminal);
}
