/* SPDX-License-Identifier: MIT */
/* Plausible rigs: invented truth whose emitters are moved and widened lines, as bins move them.
 *
 * All magnitudes are common practice, no source: they are drawn so that most real rigs lie inside.
 * Nothing here shares code with what the library expects of honest readings. */
#ifndef METAMER_TESTS_PLAUSIBLE_H
#define METAMER_TESTS_PLAUSIBLE_H

#include "support/normal.h"

#include <metamer/readings.h>

#define PLAUSIBLE_UNITS 16

/** What one unit truly is. */
typedef struct plausible_unit {
    size_t count;
    mtm_xyz full[MTM_EMITTERS_MAX]; /* alone at full, lumens */
    double power[MTM_EMITTERS_MAX]; /* of the response */
    double dead[MTM_EMITTERS_MAX];  /* share of the code that lights nothing */
    mtm_uv drift[MTM_EMITTERS_MAX]; /* from full to nought */
    double droop[MTM_EMITTERS_MAX]; /* lost with all others at full */
    double scale;                   /* the meter's Y for one lumen */
} plausible_unit;

/** A rig and the meter before it. */
typedef struct plausible_rig {
    size_t count;
    plausible_unit unit[PLAUSIBLE_UNITS];
    mtm_xy offset;  /* of the meter, common */
    double noise;   /* of x and y */
    double noise_y; /* of Y, relative */
    uint64_t seed;
} plausible_rig;

/** How a kind's batch lies off its file. */
typedef struct plausible_batch {
    double by_nm[MTM_EMITTERS_MAX];
    double width[MTM_EMITTERS_MAX];
    double flux[MTM_EMITTERS_MAX];
    double power[MTM_EMITTERS_MAX];
    mtm_xy xy[MTM_EMITTERS_MAX];
    double droop;
    double scale;
} plausible_batch;

/** The line of an emitter moved and stretched about its peak. */
static inline mtm_xy plausible_line(const mtm_spectrum *spectrum, double by_nm, double width)
{
    mtm_spectrum line = {{0}};
    size_t peak = 0;

    for (size_t i = 1; i < MTM_SPECTRUM_COUNT; i++)
        peak = spectrum->value[i] > spectrum->value[peak] ? i : peak;
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        double place = (double)peak + ((double)i - by_nm - (double)peak) / width;
        if (place >= 0 && place < MTM_SPECTRUM_COUNT - 1) {
            size_t k = (size_t)place;
            line.value[i] = (1 - (place - (double)k)) * spectrum->value[k] +
                            (place - (double)k) * spectrum->value[k + 1];
        }
    }
    return mtm_xy_from_xyz(mtm_xyz_from_spectrum(&line, MTM_OBSERVER_2));
}

static inline plausible_batch plausible_batch_draw(size_t count, uint64_t *seed)
{
    plausible_batch batch = {.droop = 0.12 * random_even(seed),
                             .scale = 0.2 + 0.6 * random_even(seed)};

    for (size_t i = 0; i < count; i++) {
        batch.by_nm[i] = 2.5 * random_normal(seed);
        batch.width[i] = 0.6 + 0.8 * random_even(seed);
        batch.flux[i] = exp(0.12 * random_normal(seed));
        batch.power[i] = exp(0.15 * random_normal(seed));
        batch.xy[i] = (mtm_xy){0.004 * random_normal(seed), 0.004 * random_normal(seed)};
    }
    return batch;
}

static inline mtm_xy plausible_inside(mtm_xy xy)
{
    xy = (mtm_xy){fmax(0.001, xy.x), fmax(0.004, xy.y)};
    double over = fmax(0, xy.x + xy.y - 1);
    return (mtm_xy){xy.x - over / 2 - (over > 0 ? 1e-9 : 0), xy.y - over / 2};
}

static inline plausible_unit plausible_unit_draw(const mtm_fixture *fixture,
                                                 const plausible_batch *batch, uint64_t *seed)
{
    plausible_unit unit = {.count = mtm_fixture_emitter_count(fixture), .scale = batch->scale};

    for (size_t i = 0; i < unit.count; i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, i);
        mtm_xy xy = mtm_xy_from_xyz(emitter->xyz[MTM_OBSERVER_2]);
        double by_nm = batch->by_nm[i] + 1.5 * random_normal(seed);
        if (emitter->spectrum != NULL)
            xy = plausible_line(emitter->spectrum, by_nm,
                                batch->width[i] * (1 + 0.04 * random_normal(seed)));
        else
            xy = (mtm_xy){xy.x + batch->xy[i].x + 0.003 * random_normal(seed),
                          xy.y + batch->xy[i].y + 0.003 * random_normal(seed)};
        unit.full[i] = mtm_xyz_from_xy(plausible_inside(xy), emitter->flux_lm * batch->flux[i] *
                                                                 exp(0.08 * random_normal(seed)));
        unit.power[i] = batch->power[i] * exp(0.05 * random_normal(seed));
        unit.dead[i] = 0.008 * random_even(seed);
        unit.drift[i] = (mtm_uv){0.002 * random_normal(seed), 0.002 * random_normal(seed)};
        unit.droop[i] = batch->droop * fmax(0, 1 + 0.4 * random_normal(seed));
    }
    return unit;
}

static inline plausible_rig plausible_rig_draw(const mtm_rig *rig, uint64_t seed)
{
    plausible_rig truth = {.count = mtm_rig_unit_count(rig), .seed = seed};
    const mtm_fixture *last = NULL;
    plausible_batch batch = {.droop = 0};

    for (size_t u = 0; u < truth.count; u++) {
        const mtm_fixture *fixture = mtm_rig_unit(rig, u)->fixture;
        if (fixture != last)
            batch = plausible_batch_draw(mtm_fixture_emitter_count(fixture), &truth.seed);
        last = fixture;
        truth.unit[u] = plausible_unit_draw(fixture, &batch, &truth.seed);
    }
    truth.offset = (mtm_xy){0.001 * random_normal(&truth.seed), 0.001 * random_normal(&truth.seed)};
    truth.noise = 0.0008 * random_even(&truth.seed);
    truth.noise_y = 0.01 * random_even(&truth.seed);
    return truth;
}

/** True light of codes under a file's curves: response = file's level ^ power. */
static inline mtm_xyz plausible_light(const plausible_unit *unit, const mtm_fixture *fixture,
                                      const double *code)
{
    double level[MTM_EMITTERS_MAX];
    double all = 0;
    mtm_xyz sum = {0, 0, 0};

    for (size_t i = 0; i < unit->count; i++) {
        double lit = fmax(0, (code[i] - unit->dead[i]) / (1 - unit->dead[i]));
        level[i] = lit > 0 ? pow(mtm_curve_level(mtm_fixture_emitter(fixture, i)->curve, lit),
                                 unit->power[i])
                           : 0;
        all += level[i];
    }
    for (size_t i = 0; i < unit->count; i++) {
        if (!(level[i] > 0))
            continue;
        mtm_uv uv = mtm_uv_from_xyz(unit->full[i]);
        uv.u += unit->drift[i].u * (1 - level[i]);
        uv.v += unit->drift[i].v * (1 - level[i]);
        double others = (all - level[i]) / (double)(unit->count - 1);
        double light = unit->full[i].y * level[i] * (1 - unit->droop[i] * others);
        mtm_xyz one = mtm_xyz_from_xy(plausible_inside(mtm_xy_from_uv(uv)), light);
        sum = (mtm_xyz){sum.x + one.x, sum.y + one.y, sum.z + one.z};
    }
    return sum;
}

/** What the meter reads. */
static inline mtm_reading plausible_read(plausible_rig *truth, const mtm_rig *rig, size_t unit,
                                         const double *code)
{
    const plausible_unit *one = &truth->unit[unit];
    mtm_reading reading = {.unit = unit, .dimmer = 1};
    mtm_xyz light = plausible_light(one, mtm_rig_unit(rig, unit)->fixture, code);
    mtm_xy xy = mtm_xy_from_xyz(light);

    for (size_t i = 0; i < one->count; i++)
        reading.code[i] = code[i];
    xy.x += truth->offset.x + truth->noise * random_normal(&truth->seed);
    xy.y += truth->offset.y + truth->noise * random_normal(&truth->seed);
    reading.xyz =
        mtm_xyz_from_xy(plausible_inside(xy),
                        light.y * one->scale * (1 + truth->noise_y * random_normal(&truth->seed)));
    return reading;
}

#endif
