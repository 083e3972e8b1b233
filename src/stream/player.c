/* SPDX-License-Identifier: MIT */
/* Player: frames from a source to a sender, each at its time. */
#include <metamer/player.h>

#include "base/error.h"
#include "stream/lateness.h"
#include "stream/put_out.h"

#include <errno.h>
#include <math.h>
#include <pthread.h>
#include <sched.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define NS_OF_SECOND UINT64_C(1000000000)
/* Above ordinary programs, below what the system itself runs at. */
#define REALTIME_PRIORITY 20
/* Packets that say the same before a stream ends in the dark (E1.31 clause 6.6.2). */
#define BLACK_FRAMES 3
#define SLICE_NS (NS_OF_SECOND / 20)

typedef struct player {
    mtm_sender *sender;
    const mtm_frame_source *source;
    const mtm_player_options *options;
    uint8_t **next;  /* slots of the frame to send next, made ready ahead of its time */
    uint8_t **slots; /* those that the sender sends */
    uint64_t start_ns;
    uint64_t cpu_start_ns;
    uint64_t progress_ns; /* when it was last told */
    uint64_t number;      /* of the frame to send next */
    bool ended;
    bool quiet; /* told to be, and the stream was ended */
    mtmi_lateness late;
    mtm_player_report report;
} player;

static bool told_to_stop(const player *play)
{
    return play->options->stop != NULL && *play->options->stop != 0;
}

static uint64_t time_of(const player *play, uint64_t number)
{
    double since_ns = (double)number * 1e9 / play->source->layout.rate_hz;

    return play->start_ns + (uint64_t)llround(since_ns);
}

static void sleep_to(uint64_t time_ns)
{
    struct timespec until = {.tv_sec = (time_t)(time_ns / NS_OF_SECOND),
                             .tv_nsec = (long)(time_ns % NS_OF_SECOND)};

    /* a signal ends the sleep early: it may have told us to stop */
    (void)clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &until, NULL);
}

static uint64_t cpu_ns(void)
{
    struct timespec used = {0};

    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &used);
    return (uint64_t)used.tv_sec * NS_OF_SECOND + (uint64_t)used.tv_nsec;
}

static void sum_up(player *play)
{
    mtm_player_report *report = &play->report;
    double elapsed_ns = (double)(mtm_stream_now_ns() - play->start_ns);

    report->seconds = elapsed_ns / 1e9;
    report->late_p50_ms = (double)mtmi_lateness_at(&play->late, 0.50) / 1e6;
    report->late_p99_ms = (double)mtmi_lateness_at(&play->late, 0.99) / 1e6;
    report->late_max_ms = (double)play->late.most_ns / 1e6;
    report->cpu_share = elapsed_ns > 0 ? (double)(cpu_ns() - play->cpu_start_ns) / elapsed_ns : 0;
    report->stopped = told_to_stop(play);
}

static void tell_progress(player *play, uint64_t now_ns)
{
    if (play->options->progress == NULL || now_ns - play->progress_ns < NS_OF_SECOND)
        return;
    play->progress_ns = now_ns;
    sum_up(play);
    play->options->progress(play->options->progress_context, &play->report);
}

/* What the network refuses is counted; the sender tries again by itself. */
static void note_refusal(player *play, const mtm_error *error)
{
    play->report.refused++;
    (void)snprintf(play->report.network_note, sizeof play->report.network_note, "%.*s",
                   (int)sizeof play->report.network_note - 1, error->text);
}

/* Ends the stream so that receivers know; a network that is away cannot be told. */
static void say_farewell(player *play)
{
    double period_ms = ceil(1e3 / play->source->layout.rate_hz);
    unsigned pause_ms = period_ms < 100 ? (unsigned)period_ms : 100;
    mtm_error error;

    if (mtm_sender_finish(play->sender, pause_ms, &error) != MTM_OK)
        note_refusal(play, &error);
}

static void send_now(player *play)
{
    bool quiet = play->options->quiet != NULL && *play->options->quiet != 0;
    mtm_error error;

    if (quiet && !play->quiet)
        say_farewell(play);
    play->quiet = quiet;
    if (!quiet && mtm_sender_send(play->sender, mtm_stream_now_ns(), &error) != MTM_OK)
        note_refusal(play, &error);
}

/* Wakes often enough for keep-alive packets, and for a signal that came just before the sleep. */
static void sleep_until(player *play, uint64_t time_ns)
{
    for (uint64_t now_ns = mtm_stream_now_ns(); now_ns < time_ns && !told_to_stop(play);
         now_ns = mtm_stream_now_ns()) {
        uint64_t slice_ns = now_ns + SLICE_NS;
        sleep_to(slice_ns < time_ns ? slice_ns : time_ns);
        if (slice_ns < time_ns)
            send_now(play);
    }
}

static void take_next(player *play)
{
    for (size_t u = 0; u < play->source->layout.universe_count; u++)
        memcpy(play->slots[u], play->next[u], play->source->layout.universe[u].slot_count);
}

static mtm_result fill(player *play, mtm_error *error)
{
    uint64_t most = play->options->frames_most;

    if (most > 0 && play->number >= most) {
        play->ended = true;
        return MTM_OK;
    }
    return play->source->fill(play->source->context, play->number, play->next, &play->ended, error);
}

/* Frames whose time has passed by a whole frame are left out; the one that is due is made. The last
 * one is sent however late: the look that a fade leads to must be reached. */
static mtm_result drop_late(player *play, mtm_error *error)
{
    uint64_t now_ns = mtm_stream_now_ns();
    uint64_t due_ns = time_of(play, play->number);
    uint64_t most = play->options->frames_most;

    if (now_ns < time_of(play, play->number + 1))
        return MTM_OK;
    uint64_t behind = (uint64_t)((double)(now_ns - due_ns) * play->source->layout.rate_hz / 1e9);
    behind = behind > 0 ? behind : 1;
    if (most > 0 && behind > most - 1 - play->number)
        behind = most - 1 - play->number;
    if (behind == 0)
        return MTM_OK;
    play->number += behind;
    play->report.dropped += behind;
    return fill(play, error);
}

static void send_frame(player *play)
{
    take_next(play);
    send_now(play);
    play->report.sent += play->quiet ? 0 : 1;
}

static mtm_result play_frames(player *play, mtm_error *error)
{
    mtm_result result = fill(play, error);

    if (result == MTM_OK)
        take_next(play); /* stopped before it is sent, the dark is made of it */
    play->start_ns = mtm_stream_now_ns();
    play->progress_ns = play->start_ns;
    while (result == MTM_OK && !play->ended) {
        sleep_until(play, time_of(play, play->number));
        if (told_to_stop(play))
            break;
        result = drop_late(play, error);
        if (result != MTM_OK)
            break;
        send_frame(play);
        if (play->ended) { /* while it was behind: that was the last frame, late */
            play->report.dropped--;
            break;
        }
        uint64_t done_ns = mtm_stream_now_ns();
        mtmi_lateness_add(&play->late, done_ns - time_of(play, play->number));
        tell_progress(play, done_ns);
        play->number++;
        result = fill(play, error);
    }
    return result;
}

/* Goes on in the rhythm of the frames, without new ones. */
static void beat(player *play, uint64_t *time_ns)
{
    uint64_t period_ns = (uint64_t)(1e9 / play->source->layout.rate_hz);

    *time_ns += period_ns;
    sleep_until(play, *time_ns);
    send_now(play);
    tell_progress(play, mtm_stream_now_ns());
}

static void hold(player *play)
{
    uint64_t time_ns = mtm_stream_now_ns();

    while (play->options->stop != NULL && !told_to_stop(play))
        beat(play, &time_ns);
}

static void black_out(player *play)
{
    struct timespec pause = {0, (long)(1e9 / play->source->layout.rate_hz)};

    if (pause.tv_nsec >=
        (long)NS_OF_SECOND / 10) /* slow frames are no reason to keep one waiting */
        pause.tv_nsec = (long)NS_OF_SECOND / 10;
    mtmi_put_out(play->options->rig, play->options->meant, &play->source->layout, play->slots);
    for (int i = 0; i < BLACK_FRAMES; i++) {
        (void)nanosleep(&pause, NULL);
        send_now(play);
    }
}

static void end(player *play, mtm_result result)
{
    if (play->options->end == MTM_PLAYER_HOLD && result == MTM_OK)
        hold(play);
    if (play->options->end == MTM_PLAYER_BLACKOUT)
        black_out(play);
    say_farewell(play);
}

static mtm_result set_up(player *play, mtm_error *error)
{
    const mtm_frame_layout *layout = &play->source->layout;
    mtm_result result = mtm_frame_layout_check(layout, error);

    if (result != MTM_OK)
        return result;
    if (mtm_sender_universe_count(play->sender) != 0)
        return mtmi_fail(error, MTM_INVALID, "the sender has universes already");
    if (play->options->end == MTM_PLAYER_BLACKOUT && play->options->rig == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "to end in the dark, the rig is needed: it tells which slots are light");
    if (!play->options->any_rate)
        result = mtm_e111_check(layout, error);
    if (result != MTM_OK)
        return result;
    play->next = calloc(layout->universe_count, sizeof(uint8_t *));
    play->slots = calloc(layout->universe_count, sizeof(uint8_t *));
    if (play->next == NULL || play->slots == NULL)
        return mtmi_fail_memory(error);
    for (size_t u = 0; result == MTM_OK && u < layout->universe_count; u++) {
        size_t slots = layout->universe[u].slot_count;
        play->next[u] = calloc(slots, 1);
        if (play->next[u] == NULL)
            return mtmi_fail_memory(error);
        result = mtm_sender_add(play->sender, layout->universe[u].universe, slots, error);
        play->slots[u] = result == MTM_OK ? mtm_sender_slots(play->sender, u) : NULL;
    }
    return result;
}

static void release(player *play)
{
    for (size_t u = 0; play->next != NULL && u < play->source->layout.universe_count; u++)
        free(play->next[u]);
    free(play->next);
    free(play->slots);
    free(play);
}

/* Gives the thread a real-time priority; what it was before is kept to be put back. */
static void raise_priority(player *play, int *policy, struct sched_param *before)
{
    struct sched_param wanted = {.sched_priority = REALTIME_PRIORITY};
    int reason = pthread_getschedparam(pthread_self(), policy, before);

    if (reason == 0)
        reason = pthread_setschedparam(pthread_self(), SCHED_FIFO, &wanted);
    play->report.realtime = reason == 0;
    if (reason != 0)
        (void)snprintf(play->report.realtime_note, sizeof play->report.realtime_note,
                       "the system refused a real-time priority (%s): frames may be late while "
                       "the machine is busy",
                       strerror(reason));
}

mtm_result mtm_player_run(mtm_sender *sender, const mtm_frame_source *source,
                          const mtm_player_options *options, mtm_player_report *report,
                          mtm_error *error)
{
    if (sender == NULL || source == NULL || source->fill == NULL || options == NULL ||
        report == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a sender, a source, options and a place for the report are needed");
    if ((unsigned)options->end > MTM_PLAYER_BLACKOUT)
        return mtmi_fail(error, MTM_INVALID, "there is no such end of playing: %d",
                         (int)options->end);
    player *play = calloc(1, sizeof *play);
    int policy = SCHED_OTHER;
    struct sched_param before = {0};

    *report = (mtm_player_report){0};
    if (play == NULL)
        return mtmi_fail_memory(error);
    play->sender = sender;
    play->source = source;
    play->options = options;
    mtm_result result = set_up(play, error);
    if (result == MTM_OK) {
        if (options->realtime)
            raise_priority(play, &policy, &before);
        play->cpu_start_ns = cpu_ns();
        result = play_frames(play, error);
        sum_up(play);
        end(play, result);
        play->report.stopped = told_to_stop(play);
        if (play->report.realtime)
            (void)pthread_setschedparam(pthread_self(), policy, &before);
        *report = play->report;
    }
    release(play);
    return result;
}
