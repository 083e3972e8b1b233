/* SPDX-License-Identifier: MIT */
/* Fader: fitting cubics to a unit's transition, a stretch at a time, so that a frame costs three
 * additions and a look into a table a channel, and no channel's light is off its transition by more
 * than a stated part. Light that is even in lightness, in its square root or in itself is a cubic
 * of time: with a way as light mixes one stretch is then exact. */
#include "fade/fader.h"

#include <math.h>
#include <string.h>

/* Allowed between a cubic and the transition: a part of the level, and a level that nobody sees. */
#define OFF_PART 1e-4
#define OFF_LEVEL 1e-9
/* Longest stretch in frames: beyond, sums of differences would lose digits. */
#define STRETCH_MAX 4096
/* Stretches of so few frames go through each of them. */
#define EXACT_MAX 3

#define SAMPLES 9 /* eighths of a stretch */

/* The transition at one frame. */
struct sample {
    double frame; /* since the stretch began */
    double level[MTMI_CHANNELS_MAX];
    uint64_t bounds;
    bool taken;
};

struct stretch {
    const mtmi_transition *transition;
    uint64_t from, length; /* frames of the transition */
    double worst; /* farthest from the transition at what was looked at, 1 is what is allowed */
    struct sample sample[SAMPLES];
};

/* Newton's form: value[0] + (t - at[0]) (value[1] + (t - at[1]) (value[2] + (t - at[2]) value[3]))
 */
struct cubic {
    double at[3], value[4];
};

static struct sample *take(struct stretch *stretch, size_t eighth)
{
    struct sample *sample = &stretch->sample[eighth];
    uint64_t frame = stretch->length * eighth / 8;

    if (stretch->length <= EXACT_MAX) /* samples 0..length are its frames */
        frame = eighth;
    if (!sample->taken) {
        sample->frame = (double)frame;
        sample->bounds = mtmi_transition_channels(stretch->transition,
                                                  (double)(stretch->from + frame), sample->level);
        sample->taken = true;
    }
    return sample;
}

/* The cubic through count (2..4) samples. */
static struct cubic fit(const struct sample *const *sample, size_t count, size_t channel)
{
    struct cubic cubic = {{0}, {0}};
    double difference[4] = {0};

    for (size_t i = 0; i < count; i++)
        difference[i] = sample[i]->level[channel];
    for (size_t k = 1; k < count; k++)
        for (size_t i = count - 1; i >= k; i--)
            difference[i] =
                (difference[i] - difference[i - 1]) / (sample[i]->frame - sample[i - k]->frame);
    for (size_t i = 0; i < count; i++)
        cubic.value[i] = difference[i];
    for (size_t i = 0; i + 1 < count; i++)
        cubic.at[i] = sample[i]->frame;
    return cubic;
}

static double cubic_at(const struct cubic *cubic, double t)
{
    return cubic->value[0] +
           (t - cubic->at[0]) *
               (cubic->value[1] +
                (t - cubic->at[1]) * (cubic->value[2] + (t - cubic->at[2]) * cubic->value[3]));
}

/* The samples that the cubic goes through. */
static size_t through(struct stretch *stretch, const struct sample *found[4])
{
    static const size_t eighths[4] = {0, 2, 4, 8};
    bool exact = stretch->length <= EXACT_MAX;
    size_t count = exact ? (size_t)stretch->length + 1 : 4;

    for (size_t i = 0; i < count; i++)
        found[i] = take(stretch, exact ? i : eighths[i]);
    return count;
}

/* True if the transition keeps to its cubics at a sample, and is held by the same bounds. */
static bool agrees(struct stretch *stretch, size_t eighth, const struct cubic *cubic)
{
    const struct sample *sample = take(stretch, eighth);

    if (sample->bounds != stretch->sample[4].bounds)
        return false;
    for (size_t i = 0; i < stretch->transition->kind->channel_count; i++) {
        double level = sample->level[i];
        double off = fabs(cubic_at(&cubic[i], sample->frame) - level);

        stretch->worst = fmax(stretch->worst, off / (OFF_LEVEL + OFF_PART * level));
    }
    return stretch->worst <= 1;
}

/* Fits cubics; false where they do not go all along. */
static bool fits(struct stretch *stretch, struct cubic *cubic)
{
    /* first what is taken already; at the ends it can only be held by other bounds */
    static const size_t checked[] = {0, 8, 2, 6, 7, 3, 5, 1};
    const struct sample *sample[4] = {NULL};
    size_t count = through(stretch, sample);

    stretch->worst = 0;
    for (size_t i = 0; i < stretch->transition->kind->channel_count; i++)
        cubic[i] = fit(sample, count, i);
    if (stretch->length <= EXACT_MAX)
        return true;
    for (size_t i = 0; i < sizeof checked / sizeof checked[0]; i++) {
        if (i >= 4 && stretch->length < 8)
            break;
        if (!agrees(stretch, checked[i], cubic))
            return false;
    }
    return true;
}

/* Halves the stretch. Samples of its first half are kept where they fall on the new eighths. */
static void halve(struct stretch *stretch)
{
    struct sample coarse[SAMPLES];
    uint64_t length = stretch->length / 2;

    memcpy(coarse, stretch->sample, sizeof coarse);
    if (length <= EXACT_MAX + 1)
        length = EXACT_MAX;
    for (size_t i = 1; i < SAMPLES; i++)
        stretch->sample[i].taken = false;
    for (size_t i = 1; i <= 4 && length > EXACT_MAX; i++) {
        uint64_t frame = length * 2 * i / 8;

        if (coarse[i].taken && coarse[i].frame == (double)frame)
            stretch->sample[2 * i] = coarse[i];
    }
    stretch->length = length;
}

/* A cubic's error grows with the fourth power of its length: how far the next may go. */
static uint64_t next_stride(const struct stretch *stretch)
{
    double factor = stretch->length > EXACT_MAX ? 0.9 * pow(fmax(stretch->worst, 1e-3), -0.25) : 8;

    return (uint64_t)ceil((double)stretch->length * factor);
}

/* Sets lanes to run along cubics, by their differences from frame to frame. */
static void take_up(const struct stretch *stretch, const struct cubic *cubic, mtmi_runner *runner,
                    mtmi_lanes *lanes)
{
    const mtmi_kind *kind = runner->kind;
    const mtmi_dimmer_role dimmer = runner->transition.dimmer;
    bool together = mtmi_transition_together(&runner->transition) && !lanes->dither;

    for (size_t i = 0; i < kind->channel_count; i++) {
        size_t lane = runner->lane[i];
        bool by_code = mtmi_transition_by_code(&runner->transition, i);
        double y[4];

        for (size_t k = 0; k < 4; k++)
            y[k] = cubic_at(&cubic[i], (double)k);
        lanes->p[lane] = y[0];
        lanes->d1[lane] = y[1] - y[0];
        lanes->d2[lane] = y[2] - 2 * y[1] + y[0];
        lanes->d3[lane] = y[3] - 3 * y[2] + 3 * y[1] - y[0];
        lanes->by_code[lane] = by_code;
        lanes->table[lane] = by_code ? kind->straight[i] : kind->codes[i];
        bool rests = i == kind->emitters.count && dimmer == MTMI_DIMMER_RESTS;
        bool sent = together && !rests && (kind->light[i] != NULL || dimmer == MTMI_DIMMER_GUIDED);
        bool narrow = lane >= lanes->wide && lane < lanes->narrow_end;
        lanes->keep[lane] = (narrow ? together && !rests : lane < lanes->wide || sent) ? 0xffff : 0;
    }
    runner->planned = runner->transition.delay + stretch->from + stretch->length;
    runner->stride = next_stride(stretch);
}

/* Stretches end where the shape bends. */
static uint64_t longest(const mtmi_runner *runner, uint64_t from)
{
    const mtmi_transition *transition = &runner->transition;
    uint64_t length = transition->frames - from;

    if (runner->stride > 0 && length > runner->stride)
        length = runner->stride;
    if (length > STRETCH_MAX)
        length = STRETCH_MAX;
    if (transition->bend > (double)from && transition->bend < (double)(from + length)) {
        uint64_t to_bend = (uint64_t)transition->bend - from;
        length = to_bend > 0 ? to_bend : 1;
    }
    return length;
}

void mtmi_runner_plan(mtmi_runner *runner, mtmi_lanes *lanes)
{
    struct stretch stretch = {.transition = &runner->transition,
                              .from = runner->frame - runner->transition.delay};
    struct cubic cubic[MTMI_CHANNELS_MAX] = {0};

    stretch.length = longest(runner, stretch.from);
    while (!fits(&stretch, cubic))
        halve(&stretch);
    take_up(&stretch, cubic, runner, lanes);
}
