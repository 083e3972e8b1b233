/* SPDX-License-Identifier: MIT */
/* Varied units: invented truth that no model of the library describes, and a meter with an offset.
 *
 * All magnitudes are assumptions without a source; they are drawn anew for each unit and meter. The
 * library is not told them: it has its own stated assumptions, which the user can overrule. */
#ifndef METAMER_TESTS_VARIED_H
#define METAMER_TESTS_VARIED_H

#include "support/normal.h"

#include <metamer/readings.h>

/** What one unit truly is. */
typedef struct varied {
    size_t count;
    mtm_xyz full[MTM_EMITTERS_MAX];     /* alone at full, lumens */
    double power[MTM_EMITTERS_MAX];     /* exponent of the response */
    double dead[MTM_EMITTERS_MAX];      /* share of the code that lights nothing */
    double ripple[MTM_EMITTERS_MAX];    /* relative, along the logarithm of the code */
    double phase[MTM_EMITTERS_MAX];     /* of the ripple */
    mtm_uv drift[MTM_EMITTERS_MAX];     /* of u', v' from full to nought */
    double drift_bow[MTM_EMITTERS_MAX]; /* exponent of what is missing to full */
    double droop[MTM_EMITTERS_MAX];     /* what each loses with all others at full */
} varied;

/** A meter, drawn from what its certificate states. */
typedef struct varied_meter {
    mtm_meter stated;
    double scale;
    mtm_xy offset;    /* common to all readings */
    double gain;      /* common, relative */
    double colour_xy; /* standard deviations of the part that changes with the colour */
    double colour_output;
    double wave[3][3]; /* of that part by x and y, of x, y and Y: turns a unit of x, of y; phase */
    double noise_xy;   /* of one reading */
    double noise_output;
    double stray; /* light of elsewhere in each reading: most, share of the unit's full light */
    uint64_t seed;
} varied_meter;

static inline mtm_xy varied_move(mtm_xy xy, double x, double y)
{
    xy = (mtm_xy){fmax(0.001, xy.x + x), fmax(0.005, xy.y + y)};
    double over = xy.x + xy.y - 0.999;
    if (over > 0)
        xy = (mtm_xy){xy.x - over / 2, xy.y - over / 2};
    return xy;
}

/** A certificate of x, y +-0.002 and Y +-4 % (k = 2) or finer, and a meter that may be so. */
static inline varied_meter varied_meter_draw(uint64_t *seed)
{
    varied_meter meter = {.scale = 0.4};
    double certificate = 0.0008 + 0.0017 * random_even(seed);
    double common = 0.5 + 0.5 * random_even(seed); /* share of the variance */

    meter.stated = (mtm_meter){.xy = certificate, .output = 10 + 15 * random_even(seed)};
    meter.stated.output *= certificate;
    meter.noise_xy = 0.1 * certificate * random_even(seed);
    meter.noise_output = 0.002 * random_even(seed);
    if (random_even(seed) < 0.5) { /* the others do not state it */
        meter.stated.repeat_xy = meter.noise_xy;
        meter.stated.repeat_output = meter.noise_output;
    }
    double sigma = certificate / 2 * sqrt(common);
    meter.offset = (mtm_xy){sigma * random_normal(seed), sigma * random_normal(seed)};
    meter.colour_xy = certificate / 2 * sqrt(1 - common);
    meter.gain = meter.stated.output / 2 * sqrt(0.5) * random_normal(seed);
    meter.colour_output = meter.stated.output / 2 * sqrt(0.5 * random_even(seed));
    for (int i = 0; i < 3; i++) {
        meter.wave[i][0] = 1.5 * random_normal(seed);
        meter.wave[i][1] = 1.5 * random_normal(seed);
        meter.wave[i][2] = random_even(seed);
    }
    meter.stray = 0.0006 * random_even(seed);
    meter.seed = *seed ^ 0x5eed;
    return meter;
}

/** A unit off its fixture file in every way that the file does not speak of. */
static inline varied varied_draw(const mtm_fixture *fixture, uint64_t *seed)
{
    varied unit = {.count = mtm_fixture_emitter_count(fixture)};
    double droop = 0.12 * random_even(seed);
    double bend = 0.05 * random_normal(seed);

    for (size_t i = 0; i < unit.count; i++) {
        mtm_xyz nominal = mtm_fixture_emitter(fixture, i)->xyz[MTM_OBSERVER_2];
        mtm_xy xy = mtm_xy_from_xyz(nominal);
        xy = varied_move(xy, 0.006 * random_normal(seed), 0.006 * random_normal(seed));
        unit.full[i] = mtm_xyz_from_xy(xy, nominal.y * exp(0.08 * random_normal(seed)));
        unit.power[i] = 1 + bend + 0.04 * random_normal(seed);
        unit.dead[i] = 0.008 * random_even(seed);
        unit.ripple[i] = 0.006 * random_normal(seed);
        unit.phase[i] = 6.2831853 * random_even(seed);
        unit.drift[i] = (mtm_uv){0.0015 * random_normal(seed), 0.0015 * random_normal(seed)};
        unit.drift_bow[i] = 0.6 + 0.9 * random_even(seed);
        unit.droop[i] = droop * fmax(0, 1 + 0.35 * random_normal(seed));
    }
    return unit;
}

static inline double varied_level(const varied *unit, size_t i, double code)
{
    double lit = (code - unit->dead[i]) / (1 - unit->dead[i]);

    if (!(lit > 0))
        return 0;
    double wave = sin(unit->phase[i] + 2.5 * log(lit)) - sin(unit->phase[i]);
    return pow(lit, unit->power[i]) * (1 + unit->ripple[i] * wave);
}

/** True light of codes, lumens. */
static inline mtm_xyz varied_light(const varied *unit, const double *code)
{
    double level[MTM_EMITTERS_MAX];
    double all = 0;
    mtm_xyz sum = {0, 0, 0};

    for (size_t i = 0; i < unit->count; i++) {
        level[i] = varied_level(unit, i, code[i]);
        all += level[i];
    }
    for (size_t i = 0; i < unit->count; i++) {
        if (!(level[i] > 0))
            continue;
        double missing = pow(fmax(0, 1 - level[i]), unit->drift_bow[i]);
        mtm_uv uv = mtm_uv_from_xyz(unit->full[i]);
        uv.u += unit->drift[i].u * missing;
        uv.v += unit->drift[i].v * missing;
        double others = (all - level[i]) / (double)(unit->count - 1);
        double light = unit->full[i].y * level[i] * (1 - unit->droop[i] * others);
        mtm_xyz one = mtm_xyz_from_xy(mtm_xy_from_uv(uv), light);
        sum = (mtm_xyz){sum.x + one.x, sum.y + one.y, sum.z + one.z};
    }
    return sum;
}

/* A smooth wave over the chromaticities, of standard deviation 1. */
static inline double varied_wave(const varied_meter *meter, int which, mtm_xy xy)
{
    const double *wave = meter->wave[which];

    return sqrt(2) * sin(6.2831853 * (wave[0] * xy.x + wave[1] * xy.y + wave[2]));
}

/** What the meter reads of codes. */
static inline mtm_reading varied_reading(const varied *unit, size_t index, const double *code,
                                         varied_meter *meter)
{
    mtm_reading reading = {.unit = index, .dimmer = 1};
    mtm_xyz light = varied_light(unit, code);
    double full = 0;

    for (size_t i = 0; i < unit->count; i++) {
        reading.code[i] = code[i];
        full += unit->full[i].y;
    }
    double stray = meter->stray * full * random_even(&meter->seed);
    light.x += 0.98 * stray; /* about white */
    light.y += stray;
    light.z += 0.9 * stray;
    mtm_xy xy = mtm_xy_from_xyz(light);
    double x = meter->offset.x + meter->colour_xy * varied_wave(meter, 0, xy);
    double y = meter->offset.y + meter->colour_xy * varied_wave(meter, 1, xy);
    double output = 1 + meter->gain + meter->colour_output * varied_wave(meter, 2, xy);
    x += meter->noise_xy * random_normal(&meter->seed);
    y += meter->noise_xy * random_normal(&meter->seed);
    output *= 1 + meter->noise_output * random_normal(&meter->seed);
    reading.xyz = mtm_xyz_from_xy(varied_move(xy, x, y), light.y * meter->scale * output);
    return reading;
}

#endif
