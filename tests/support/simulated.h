/* SPDX-License-Identifier: MIT */
/* Simulated units: invented truth that a meter reads, worked out apart from the library's model. */
#ifndef METAMER_TESTS_SIMULATED_H
#define METAMER_TESTS_SIMULATED_H

#include "support/normal.h"

#include <metamer/readings.h>

/** What one unit truly is. */
typedef struct simulated {
    size_t count;
    mtm_xyz full[MTM_EMITTERS_MAX]; /* alone at full, lumens */
    double power[MTM_EMITTERS_MAX]; /* level = code ^ power */
    mtm_uv drift;                   /* of u', v' from full to nought, every emitter */
    double droop;                   /* lost with all at full; emitters of equal watts */
} simulated;

/** A meter and where it stands. */
typedef struct simulated_meter {
    double scale;  /* its Y for one lumen */
    double xy;     /* standard deviation of x and y */
    double output; /* standard deviation of Y, relative */
    uint64_t seed;
} simulated_meter;

static inline mtm_xyz simulated_emitter(const simulated *unit, size_t i, double level)
{
    mtm_uv uv = mtm_uv_from_xyz(unit->full[i]);

    uv.u += unit->drift.u * (1 - level);
    uv.v += unit->drift.v * (1 - level);
    return mtm_xyz_from_xy(mtm_xy_from_uv(uv), unit->full[i].y * level);
}

/** True light of codes (0..1) under a linear master dimmer, lumens. */
static inline mtm_xyz simulated_dimmed(const simulated *unit, const double *code, double dimmer)
{
    mtm_xyz sum = {0, 0, 0};
    double load = 0;
    double largest = 0;

    for (size_t i = 0; i < unit->count; i++) {
        double level = dimmer * pow(code[i], unit->power[i]);
        if (!(level > 0))
            continue;
        mtm_xyz one = simulated_emitter(unit, i, level);
        sum = (mtm_xyz){sum.x + one.x, sum.y + one.y, sum.z + one.z};
        load += level;
        largest = fmax(largest, level);
    }
    double kept = 1 - unit->droop * (load - largest) / (double)(unit->count - 1);
    return (mtm_xyz){kept * sum.x, kept * sum.y, kept * sum.z};
}

/** The same with the dimmer at full. */
static inline mtm_xyz simulated_light(const simulated *unit, const double *code)
{
    return simulated_dimmed(unit, code, 1);
}

/** These units are what the model describes: of the rest nothing is to be assumed. */
static inline void simulated_assume(mtm_readings *readings)
{
    static const mtm_assumed_what none[] = {MTM_ASSUMED_STRAY, MTM_ASSUMED_DEAD, MTM_ASSUMED_RIPPLE,
                                            MTM_ASSUMED_DROOP_APART};
    mtm_assumed assumed = mtm_assumed_usual();

    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++)
        assumed.value[none[i]] = 0;
    mtm_readings_set_assumed(readings, &assumed);
}

/** Nothing is assumed but what is known of emitters: the meter alone is in doubt, each reading on
 * its own. */
static inline void simulated_assume_meter(mtm_readings *readings)
{
    mtm_assumed assumed = {{0}};

    assumed.value[MTM_ASSUMED_FILE_XY] = 0.012;
    assumed.value[MTM_ASSUMED_FILE_OUTPUT] = 0.15;
    mtm_readings_set_assumed(readings, &assumed);
}

/** What the meter reads of codes and dimmer. */
static inline mtm_reading simulated_read(const simulated *unit, size_t index, const double *code,
                                         double dimmer, simulated_meter *meter)
{
    mtm_reading reading = {.unit = index, .dimmer = dimmer};
    mtm_xyz light = simulated_dimmed(unit, code, dimmer);
    mtm_xy xy = mtm_xy_from_xyz(light);

    for (size_t i = 0; i < unit->count; i++)
        reading.code[i] = code[i];
    xy.x += meter->xy * random_normal(&meter->seed);
    xy.y += meter->xy * random_normal(&meter->seed);
    reading.xyz = mtm_xyz_from_xy(xy, light.y * meter->scale *
                                          (1 + meter->output * random_normal(&meter->seed)));
    return reading;
}

/** The same with the dimmer at full. */
static inline mtm_reading simulated_reading(const simulated *unit, size_t index, const double *code,
                                            simulated_meter *meter)
{
    return simulated_read(unit, index, code, 1, meter);
}

/** A unit off its fixture file: flux by up to spread, x and y of each emitter by up to shift. */
static inline simulated simulated_unit(const mtm_fixture *fixture, double spread, double shift,
                                       uint64_t *seed)
{
    simulated unit = {.count = mtm_fixture_emitter_count(fixture)};

    for (size_t i = 0; i < unit.count; i++) {
        mtm_xyz nominal = mtm_fixture_emitter(fixture, i)->xyz[MTM_OBSERVER_2];
        mtm_xy xy = mtm_xy_from_xyz(nominal);
        xy.x += shift * (2 * random_even(seed) - 1);
        xy.y += shift * (2 * random_even(seed) - 1);
        if (xy.x + xy.y > 0.999) /* stay inside the diagram */
            xy.x = 0.999 - xy.y;
        unit.full[i] = mtm_xyz_from_xy(xy, nominal.y * (1 + spread * (2 * random_even(seed) - 1)));
        unit.power[i] = 1;
    }
    return unit;
}

#endif
