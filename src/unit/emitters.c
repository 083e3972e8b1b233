/* SPDX-License-Identifier: MIT */
/* Emitters: read from a fixture, and summed over levels. */
#include "unit/emitters.h"

#include "base/error.h"
#include "colour/check.h"

#include <string.h>

mtm_result mtmi_emitters_from(const mtm_fixture *fixture, mtm_observer observer,
                              struct mtmi_emitters *emitters, mtm_error *error)
{
    mtm_result result = mtmi_check_observer(observer, error);
    if (result != MTM_OK)
        return result;
    struct mtmi_emitters made = {.count = mtm_fixture_emitter_count(fixture),
                                 .power_limit_w = mtm_fixture_power_limit_w(fixture) *
                                                  (1 - mtm_fixture_limits(fixture)->headroom)};

    for (size_t k = 0; k < made.count; k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
        if (observer != MTM_OBSERVER_2 && mtm_fixture_mixes(fixture))
            return mtmi_fail(error, MTM_UNSUPPORTED,
                             "\"%.60s\" mixes by itself, and what it makes is known for the 2 "
                             "degree observer only",
                             mtm_fixture_name(fixture));
        if (observer != MTM_OBSERVER_2 && emitter->spectrum == NULL)
            return mtmi_fail(error, MTM_UNSUPPORTED,
                             "emitter \"%.60s\" of \"%.60s\" is known by x, y only; the 10 degree "
                             "observer needs its spectrum",
                             emitter->name, mtm_fixture_name(fixture));
        made.xyz[k] = emitter->xyz[observer];
        made.watts[k] = emitter->watts;
        made.most[k] = mtm_fixture_most_level(fixture, k);
        made.spectrum[k] = emitter->spectrum;
    }
    *emitters = made;
    return MTM_OK;
}

mtm_xyz mtmi_emitters_xyz(const struct mtmi_emitters *emitters, const double *level)
{
    mtm_xyz sum = {0, 0, 0};

    for (size_t k = 0; k < emitters->count; k++) {
        sum.x += level[k] * emitters->xyz[k].x;
        sum.y += level[k] * emitters->xyz[k].y;
        sum.z += level[k] * emitters->xyz[k].z;
    }
    return sum;
}

bool mtmi_emitters_spectrum(const struct mtmi_emitters *emitters, const double *level,
                            mtm_spectrum *spectrum)
{
    for (size_t k = 0; k < emitters->count; k++) {
        if (emitters->spectrum[k] == NULL)
            return false;
    }
    memset(spectrum, 0, sizeof *spectrum);
    for (size_t k = 0; k < emitters->count; k++) {
        for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
            spectrum->value[i] += level[k] * emitters->spectrum[k]->value[i];
    }
    return true;
}
