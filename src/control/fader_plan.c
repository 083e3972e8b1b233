/* SPDX-License-Identifier: MIT */
/* Fader: fitting parabolas to a unit's way, a stretch at a time, so that a frame costs two
 * additions a channel and no channel is off its way by more than a stated part of a code. */
#include "control/fader.h"

#include <math.h>

/* Allowed between a parabola and the way, in codes. */
#define OFF_WIDE 0.25
#define OFF_NARROW 0.02
/* Longest stretch in frames: beyond, the fixed point of the second difference would show. */
#define STRETCH_MOST 8192
/* Positions keep this far inside the codes, so that no rounding leads beyond them. */
#define EDGE (1.0 / 4096)

/* The way at one frame. */
struct sample {
    double code[MTMI_CHANNELS_MAX];
    uint64_t bounds;
};

/* A stretch of the way at its ends, middle and quarters. */
struct stretch {
    uint64_t from, length; /* frames of the way */
    struct sample start, quarter, middle, third, end;
};

/* start + slope * t + bend * t^2, t in frames. */
struct parabola {
    double start, slope, bend;
};

static void take(const mtmi_way *way, uint64_t frame, struct sample *sample)
{
    sample->bounds = mtmi_way_codes(way, (double)frame, sample->code);
    for (size_t i = 0; i < way->kind->channel_count; i++) {
        double most = way->kind->most[i] - EDGE;
        double code = sample->code[i];

        sample->code[i] = code > EDGE ? (code < most ? code : most) : EDGE;
    }
}

/* Whole frames, rounded down where they were divided, as a number to reckon with. */
static double frames(uint64_t count)
{
    return (double)count;
}

/* The parabola through start, middle and end. */
static struct parabola fit(const struct stretch *stretch, size_t channel)
{
    double length = (double)stretch->length;
    double half = frames(stretch->length / 2);
    double a = stretch->start.code[channel];
    double b = stretch->end.code[channel];

    if (stretch->length < 2)
        return (struct parabola){a, (b - a) / length, 0};
    double first = (stretch->middle.code[channel] - a) / half;
    double second = (b - stretch->middle.code[channel]) / (length - half);
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

static bool near(struct parabola parabola, double t, double code, int most)
{
    return fabs(parabola_at(parabola, t) - code) <= (most > 255 ? OFF_WIDE : OFF_NARROW);
}

/* Bends that fall between the quarters are looked for between them. */
static bool fits_between(const mtmi_way *way, const struct stretch *stretch,
                         const struct parabola *parabola)
{
    for (uint64_t eighth = 1; eighth < 8 && stretch->length > 8; eighth += 2) {
        uint64_t frame = stretch->length * eighth / 8;
        struct sample sample;

        take(way, stretch->from + frame, &sample);
        if (sample.bounds != stretch->middle.bounds)
            return false;
        for (size_t i = 0; i < way->kind->channel_count; i++) {
            if (!near(parabola[i], (double)frame, sample.code[i], way->kind->most[i]))
                return false;
        }
    }
    return true;
}

/* True where one parabola a channel goes all along; at least where the stretch is a single frame.
 * A stretch of two goes through all that it has, one with a bend in it is not trusted. */
static bool fits(const mtmi_way *way, const struct stretch *stretch)
{
    struct parabola parabola[MTMI_CHANNELS_MAX];
    double quarter = frames(stretch->length / 4);
    double third = frames(stretch->length - stretch->length / 4);

    for (size_t i = 0; i < way->kind->channel_count; i++) {
        parabola[i] = fit(stretch, i);
        if (!stays_inside(parabola[i], (double)stretch->length, way->kind->most[i]))
            return false;
        if (stretch->length > 2 &&
            (!near(parabola[i], quarter, stretch->quarter.code[i], way->kind->most[i]) ||
             !near(parabola[i], third, stretch->third.code[i], way->kind->most[i])))
            return false;
    }
    uint64_t bounds = stretch->middle.bounds;
    if (stretch->length > 2 &&
        (stretch->quarter.bounds != bounds || stretch->third.bounds != bounds))
        return false;
    return fits_between(way, stretch, parabola);
}

static void take_inside(const mtmi_way *way, struct stretch *stretch)
{
    if (stretch->length > 2) {
        take(way, stretch->from + stretch->length / 4, &stretch->quarter);
        take(way, stretch->from + stretch->length - stretch->length / 4, &stretch->third);
    }
}

/* Halves the stretch. Its new end and middle are known already. */
static void halve(const mtmi_way *way, struct stretch *stretch)
{
    stretch->end = stretch->middle;
    stretch->middle = stretch->quarter;
    stretch->length /= 2;
    take_inside(way, stretch);
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
    take(way, stretch.from, &stretch.start);
    take(way, stretch.from + stretch.length, &stretch.end);
    if (stretch.length > 1)
        take(way, stretch.from + stretch.length / 2, &stretch.middle);
    take_inside(way, &stretch);
    while (stretch.length > 1 && !fits(way, &stretch))
        halve(way, &stretch);
    take_up(&stretch, runner, lanes);
}
