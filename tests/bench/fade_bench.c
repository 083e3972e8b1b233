/* SPDX-License-Identifier: MIT */
/* How fast fades become frames: 2000 units of five emitters at 16 bits, each on a fade of its own,
 * in one thread. Told as times faster than real time at 40 frames a second, against the same
 * transitions computed exactly at each frame. Both are checked against each other while they run.
 */
#include "support/random.h"
#include "support/timing.h"

#include "fade/fader.h"

#include "base/text.h"

#include <metamer/fade.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define UNITS 2000
#define SECONDS 10
#define RATE 40
#define REPEATS 5
#define EVERY 37 /* units between those that are checked */

static double bench_median(double *value, size_t count)
{
    qsort(value, count, sizeof *value, timing_by_value);
    return value[count / 2];
}

static double bench_most(double *value, size_t count)
{
    qsort(value, count, sizeof *value, timing_by_value);
    return value[count - 1];
}

static void stop(const char *what, const mtm_error *error)
{
    (void)fprintf(stderr, "fade_bench: %s: %s\n", what, error->text);
    exit(1);
}

static mtm_rig *make_rig(void)
{
    mtmi_text text = {0};
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    mtmi_text_add(&text, "{ \"metamer\": \"rig/1\", \"name\": \"bench\", \"units\": [");
    for (int i = 0; i < UNITS; i++)
        mtmi_text_add(&text,
                      "%s{ \"name\": \"u%d\", \"fixture\": \"five-colour-batten.json\", "
                      "\"mode\": \"16-bit\", \"universe\": %d, \"address\": %d }",
                      i > 0 ? "," : "", i, 1 + i / 51, 1 + 10 * (i % 51));
    mtmi_text_add(&text, "] }");
    if (mtm_rig_parse(text.data, text.length, "rig", NULL, &rig, &error) != MTM_OK)
        stop("rig", &error);
    mtmi_text_free(&text);
    return rig;
}

static void add_cue(mtmi_text *text, struct random *random, int number, const char *path)
{
    mtmi_text_add(text, "%s{ \"number\": %d, \"up_s\": %d, \"path\": \"%s\", \"set\": [",
                  number > 1 ? "," : "", number, number > 1 ? SECONDS : 0, path);
    for (int i = 0; i < UNITS; i++)
        mtmi_text_add(text,
                      "%s{ \"unit\": \"u%d\", \"colour\": { \"cct_k\": %.1f, \"duv\": %.4f }, "
                      "\"output\": %.4f }",
                      i > 0 ? "," : "", i, random_between(random, 2500, 9000),
                      random_between(random, -0.01, 0.01), random_between(random, 0.05, 0.9));
    mtmi_text_add(text, "] }");
}

static mtm_show *make_show(const mtm_rig *rig, const char *path)
{
    struct random random = {1};
    mtmi_text text = {0};
    mtm_show *show = NULL;
    mtm_error error = {""};

    mtmi_text_add(&text, "{ \"metamer\": \"show/1\", \"name\": \"bench\", \"cues\": [");
    add_cue(&text, &random, 1, path);
    add_cue(&text, &random, 2, path);
    mtmi_text_add(&text, "] }");
    if (mtm_show_parse(text.data, text.length, "show", NULL, rig, &show, &error) != MTM_OK)
        stop("show", &error);
    mtmi_text_free(&text);
    return show;
}

/* Seconds for the frames of the second cue, and for starting it. */
struct times {
    double start, frames;
};

static struct times run_frames(mtm_fader *fader, uint64_t *sum)
{
    mtm_error error = {""};
    struct times times;

    if (mtm_fader_set(fader, 0, &error) != MTM_OK)
        stop("first cue", &error);
    double before = timing_cpu_s();
    if (mtm_fader_go(fader, 1, &error) != MTM_OK)
        stop("second cue", &error);
    times.start = timing_cpu_s() - before;
    before = timing_cpu_s();
    while (mtm_fader_frames_left(fader) > 0) {
        if (mtm_fader_step(fader, &error) != MTM_OK)
            stop("frame", &error);
        *sum += mtm_fader_slots(fader, 0)[mtm_fader_frames_left(fader) % 510];
    }
    times.frames = timing_cpu_s() - before;
    return times;
}

/* The exact way at every frame, rounding carried along; sends nothing. */
static double run_exact(mtm_fader *fader, uint64_t *sum)
{
    mtm_error error = {""};
    static double carry[UNITS][MTMI_CHANNELS_MAX];

    if (mtm_fader_set(fader, 0, &error) != MTM_OK || mtm_fader_go(fader, 1, &error) != MTM_OK)
        stop("second cue", &error);
    memset(carry, 0, sizeof carry);
    double before = timing_cpu_s();
    for (int frame = 1; frame < SECONDS * RATE; frame++) {
        for (size_t unit = 0; unit < UNITS; unit++) {
            double code[MTMI_CHANNELS_MAX];

            mtmi_transition_codes(&fader->runners[unit].transition, frame, code);
            for (size_t i = 0; i < 5; i++) {
                double whole = floor(code[i] + carry[unit][i] + 0.5);
                carry[unit][i] += code[i] - whole;
                *sum += (uint64_t)whole;
            }
        }
    }
    return timing_cpu_s() - before;
}

/* The farthest that what is sent lies from the exact way, in codes. */
static double farthest(mtm_fader *fader)
{
    mtm_error error = {""};
    double most = 0;

    if (mtm_fader_set(fader, 0, &error) != MTM_OK || mtm_fader_go(fader, 1, &error) != MTM_OK)
        stop("second cue", &error);
    while (mtm_fader_frames_left(fader) > 1) {
        if (mtm_fader_step(fader, &error) != MTM_OK)
            stop("frame", &error);
        for (size_t unit = 0; unit < UNITS; unit += EVERY) {
            const mtmi_runner *runner = &fader->runners[unit];
            double code[MTMI_CHANNELS_MAX];

            mtmi_transition_codes(&runner->transition, (double)runner->frame, code);
            for (size_t i = 0; i < 5; i++)
                most = fmax(most, fabs(fader->lanes.code[runner->lane[i]] - code[i]));
        }
    }
    return most;
}

static void bench_path(const mtm_rig *rig, const char *path, uint64_t *sum)
{
    mtm_show *show = make_show(rig, path);
    mtm_fader *fader = NULL;
    mtm_error error = {""};
    const mtmi_advance kernels[2] = {mtmi_advance_portable, mtmi_advance_best()};
    double whole[2][REPEATS];
    double alone[2][REPEATS];
    double exact[REPEATS];

    if (mtm_fader_create(show, NULL, &fader, &error) != MTM_OK)
        stop("fader", &error);
    double off = farthest(fader);
    for (int i = 0; i < REPEATS; i++) {
        for (int k = 0; k < 2; k++) {
            fader->advance = kernels[k];
            struct times times = run_frames(fader, sum);
            whole[k][i] = SECONDS / (times.start + times.frames);
            alone[k][i] = SECONDS / times.frames;
        }
        exact[i] = i == 0 || i == REPEATS - 1 ? SECONDS / run_exact(fader, sum) : exact[0];
    }
    printf("%-12s %8.0f %8.0f   %8.0f %8.0f   %8.0f %8.0f   %8.1f   %6.2f\n", path,
           bench_most(alone[0], REPEATS), bench_median(alone[0], REPEATS),
           bench_most(whole[0], REPEATS), bench_median(whole[0], REPEATS),
           bench_most(whole[1], REPEATS), bench_median(whole[1], REPEATS),
           bench_median(exact, REPEATS), off);
    if (strcmp(path, "light") == 0)
        printf(
            "             that is %.0f frames and %.3g slots a second (best, with cue, median)\n",
            RATE * bench_median(whole[1], REPEATS),
            RATE * bench_median(whole[1], REPEATS) * 10 * UNITS);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

int main(void)
{
    static const char *const paths[] = {"light", "white", "cam16", "oklab", "slots"};
    mtm_rig *rig = make_rig();
    uint64_t sum = 0;

    printf(
        "%d units of five emitters, 16 bits, each its own fade of %d s at %d frames a second, one "
        "thread.\nTimes faster than real time by processor time, fastest and median of %d; the "
        "target is 100.\n\n",
        UNITS, SECONDS, RATE, REPEATS);
    printf("%-12s %17s   %17s   %17s   %8s   %6s\n", "path", "C, frames alone", "C, with the cue",
           "best, with cue", "exact", "off");
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++)
        bench_path(rig, paths[i], &sum);
    printf(
        "\n\"with the cue\" counts what starting it takes: matching every unit. \"exact\" computes "
        "the way at\neach frame and sends nothing. \"off\": the farthest a code sent was from the "
        "exact way, in codes.\n(sum %llu)\n",
        (unsigned long long)sum);
    mtm_rig_free(rig);
    return 0;
}
