/* SPDX-License-Identifier: MIT */
/* A fingerprint of the fixture that a calibration rests on. */
#include "calibrate/calibration.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>

/* FNV-1a, 64 bits: Fowler, Noll, Vo; public domain. */
static uint64_t hash_byte(uint64_t state, unsigned char byte)
{
    return (state ^ byte) * UINT64_C(1099511628211);
}

static uint64_t hash_text(uint64_t state, const char *text)
{
    for (; *text != '\0'; text++)
        state = hash_byte(state, (unsigned char)*text);
    return hash_byte(state, 0);
}

static uint64_t hash_integer(uint64_t state, long long value)
{
    for (int i = 0; i < 8; i++)
        state = hash_byte(state, (unsigned char)((unsigned long long)value >> (8 * i) & 0xff));
    return state;
}

/* Six digits, so that the last bits of a sum do not make another fixture of it. */
static uint64_t hash_number(uint64_t state, double value)
{
    int exponent = 0;
    double fraction = frexp(value, &exponent);

    return hash_integer(hash_integer(state, llround(fraction * 1e6)), exponent);
}

uint64_t mtmi_fixture_fingerprint(const mtm_fixture *fixture)
{
    uint64_t state = UINT64_C(14695981039346656037);

    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, i);
        state = hash_text(state, emitter->name);
        state = hash_number(state, emitter->xyz[MTM_OBSERVER_2].x);
        state = hash_number(state, emitter->xyz[MTM_OBSERVER_2].y);
        state = hash_number(state, emitter->xyz[MTM_OBSERVER_2].z);
        state = hash_number(state, emitter->watts);
        for (int step = 1; step < 4; step++)
            state = hash_number(state, mtm_curve_level(emitter->curve, step / 4.0));
    }
    return state;
}

void mtmi_fingerprint_text(const mtm_fixture *fixture, char text[MTMI_FINGERPRINT_ROOM])
{
    (void)snprintf(text, MTMI_FINGERPRINT_ROOM, "%016" PRIx64, mtmi_fixture_fingerprint(fixture));
}
