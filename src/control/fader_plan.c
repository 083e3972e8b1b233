/* SPDX-License-Identifier: MIT */
/* Fader: fitting parabolas to a unit's way, a stretch at a time, so that a frame costs two
 * additions a channel and no channel is off its way by more than a stated part of a code. */
#include "control/fader.h"

#include <math.h>
#include <string.h>

/* Allowed between a parabola and the way, in codes. */
#define OFF_WIDE 0.25
#define OFF_NARROW 0.02
/* Longest stretch in frames: beyond, the fixed point of the second difference would show. */
#define STRETCH_MOST 8192
/* Positions keep this far inside the codes, so that no rounding leads beyond them. */
#define EDGE (1.0 / 4096)

/* A stretch of the way: codes at its ends, middle and quarters, by channel. */
struct stretch {
    uint64_t from, length; /* frames of the way */
    double start[MTMI_CHANNELS_MAX], quarter[MTMI_CHANNELS_MAX], middle[MTMI_CHANNELS_MAX],
        third[MTMI_CHANNELS_MAX], end[MTMI_CHANNELS_MAX];
};

/* start + slope * t + bend * t^2, t in frames. */
struct parabola {
    double start, slope, bend;
};

static void sample(const mtmi_way *way, uint64_t frame, double *code)
{
    mtmi_way_codes(way, (double)frame, code);
    for (size_t i = 0; i < way->kind->channel_count; i++) {
        double most = way->kind->most[i] - EDGE;

        code[i] = code[i] > EDGE ? (code[i] < most ? code[i] : most) : EDGE;
    }
}

/* The parabola through start, middle and end. */
static struct parabola fit(const struct stretch *stretch, size_t channel)
{
    double length = (double)stretch->length;
    double half = (double)(stretch->length / 2);
    double a = stretch->start[channel];
    double b = stretch->end[channel];

    if (stretch->length < 2)
        return (struct parabola){a, (b - a) / length, 0};
    double first = (stretch->middle[channel] - a) / half;
    double second = (b - stretch->middle[channel]) / (length - half);
    double bend = (second - first) / length;
    return (struct parabola){a, first - bend * half, bend};
}

static double parabola_at(struct parabola parabola, double t)
{
    return parabola.start + t * (parabola.slope + t * parabola.bend);
}

/* True if a parabola stays within the codes all along. */
static bool stays_inside(struct parabola parabola, double length, double most)
{
    double top = parabola.bend != 0 ? -parabola.slope / (2 * parabola.bend) : -1;

    if (!(top > 0 && top < length))
        return true;
    double value = parabola_at(parabola, top);
    return value >= EDGE / 2 && value <= most - EDGE / 2;
}

static bool fits(const struct stretch *stretch, const mtmi_kind *kind)
{
    double quarter = (double)(stretch->length / 4);
    double third = (double)(stretch->length - stretch->length / 4);

    for (size_t i = 0; i < kind->channel_count; i++) {
        struct parabola parabola = fit(stretch, i);
        double off = kind->most[i] > 255 ? OFF_WIDE : OFF_NARROW;

        if (!stays_inside(parabola, (double)stretch->length, kind->most[i]))
            return false;
        if (stretch->length > 2 &&
            (fabs(parabola_at(parabola, quarter) - stretch->quarter[i]) > off ||
             fabs(parabola_at(parabola, third) - stretch->third[i]) > off))
            return false;
    }
    return true;
}

static void sample_inside(const mtmi_way *way, struct stretch *stretch)
{
    if (stretch->length > 2) {
        sample(way, stretch->from + stretch->length / 4, stretch->quarter);
        sample(way, stretch->from + stretch->length - stretch->length / 4, stretch->third);
    }
}

/* Halves the stretch. Its new end and middle are known already. */
static void halve(const mtmi_way *way, struct stretch *stretch)
{
    memcpy(stretch->end, stretch->middle, sizeof stretch->end);
    memcpy(stretch->middle, stretch->quarter, sizeof stretch->middle);
    stretch->length /= 2;
    sample_inside(way, stretch);
}

static void take_up(const struct stretch *stretch, mtmi_runner *runner, mtmi_lanes *lanes)
{
    for (size_t i = 0; i < runner->kind->channel_count; i++) {
        struct parabola parabola = fit(stretch, i);
        size_t lane = runner->lane[i];

        lanes->p[lane] = llround(parabola.start * (double)MTMI_ONE_CODE);
        lanes->d[lane] = llround((parabola.slope + parabola.bend) * (double)MTMI_ONE_CODE);
        lanes->dd[lane] = llround(2 * parabola.bend * (double)MTMI_ONE_CODE);
    }
    runner->planned = runner->way.delay + stretch->from + stretch->length;
    runner->stride = stretch->length;
}

void mtmi_runner_plan(mtmi_runner *runner, mtmi_lanes *lanes)
{
    const mtmi_way *way = &runner->way;
    struct stretch stretch = {.from = runner->frame - way->delay};
    uint64_t rest = way->frames - stretch.from;

    stretch.length = runner->stride > 0 ? 2 * runner->stride : rest;
    if (stretch.length > rest)
        stretch.length = rest;
    if (stretch.length > STRETCH_MOST)
        stretch.length = STRETCH_MOST;
    sample(way, stretch.from, stretch.start);
    sample(way, stretch.from + stretch.length, stretch.end);
    if (stretch.length > 1)
        sample(way, stretch.from + stretch.length / 2, stretch.middle);
    sample_inside(way, &stretch);
    while (stretch.length > 1 && !fits(&stretch, runner->kind))
        halve(way, &stretch);
    take_up(&stretch, runner, lanes);
}
