/* SPDX-License-Identifier: MIT */
/* A batch of equal units: each emitter's spectrum shifted and its flux off, as bins and ageing
 * make them, so that the truth is known for both observers. */
#ifndef METAMER_TESTS_BATCH_H
#define METAMER_TESTS_BATCH_H

#include "support/normal.h"

#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/readings.h>
#include <metamer/spectrum.h>

/** One light of the batch: light adds, curves are the fixture's, lumens. */
typedef struct batch_unit {
    size_t count;
    mtm_xyz xyz[MTM_EMITTERS_MAX][MTM_OBSERVER_COUNT];
} batch_unit;

static inline mtm_spectrum batch_shifted(const mtm_spectrum *from, double shift_nm)
{
    mtm_spectrum to = {.value = {0}};

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        double at = (double)i - shift_nm;
        if (at < 0 || at > MTM_SPECTRUM_COUNT - 1)
            continue;
        size_t k = (size_t)at < MTM_SPECTRUM_COUNT - 1 ? (size_t)at : MTM_SPECTRUM_COUNT - 2;
        double part = at - (double)k;
        to.value[i] = (1 - part) * from->value[k] + part * from->value[k + 1];
    }
    return to;
}

/** Each emitter's peak off by up to shift_nm, its flux by up to spread. */
static inline batch_unit batch_make(const mtm_fixture *fixture, double shift_nm, double spread,
                                    uint64_t *seed)
{
    batch_unit unit = {.count = mtm_fixture_emitter_count(fixture)};

    for (size_t k = 0; k < unit.count; k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
        mtm_spectrum own = batch_shifted(emitter->spectrum, shift_nm * (2 * random_even(seed) - 1));
        double flux = emitter->flux_lm * (1 + spread * (2 * random_even(seed) - 1));
        double scale = flux / mtm_xyz_from_spectrum(&own, MTM_OBSERVER_2).y;
        for (int o = 0; o < MTM_OBSERVER_COUNT; o++) {
            mtm_xyz one = mtm_xyz_from_spectrum(&own, (mtm_observer)o);
            unit.xyz[k][o] = (mtm_xyz){scale * one.x, scale * one.y, scale * one.z};
        }
    }
    return unit;
}

static inline mtm_xyz batch_light(const batch_unit *unit, const double *level,
                                  mtm_observer observer)
{
    mtm_xyz sum = {0, 0, 0};

    for (size_t k = 0; k < unit->count; k++) {
        mtm_xyz one = unit->xyz[k][observer];
        sum.x += level[k] * one.x;
        sum.y += level[k] * one.y;
        sum.z += level[k] * one.z;
    }
    return sum;
}

#endif
