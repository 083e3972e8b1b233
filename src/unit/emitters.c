/* SPDX-License-Identifier: MIT */
/* Emitters: read from a fixture, and summed over levels. */
#include "unit/emitters.h"

#include "base/error.h"
#include "colour/check.h"
#include "fixture/dims.h"

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
                             "\"%.60s\" %s, and what it makes is known for the 2 degree "
                             "observer only",
                             mtm_fixture_name(fixture),
                             mtm_fixture_dims(fixture) ? "has a colour that goes with its output"
                                                       : "mixes by itself");
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
    const mtm_mixing *dims = mtmi_fixture_dims(fixture);
    made.lamp = dims != NULL && dims->lamp_k > 0 ? dims : NULL;
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

/* A Planckian radiator of the temperature that the levels together tell, and of their light. */
static bool lamp_spectrum(const struct mtmi_emitters *emitters, const double *level,
                          mtm_spectrum *spectrum)
{
    const mtm_xyz xyz = mtmi_emitters_xyz(emitters, level);
    const mtm_white white = mtmi_dims_white(emitters->lamp, xyz.y / emitters->lamp->flux_lm);

    if (mtm_spectrum_planck(white.cct_k, spectrum, NULL) != MTM_OK)
        return false;
    const double scale = xyz.y / mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2).y;
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        spectrum->value[i] *= scale;
    return true;
}

bool mtmi_emitters_spectrum(const struct mtmi_emitters *emitters, const double *level,
                            mtm_spectrum *spectrum)
{
    if (emitters->lamp != NULL)
        return lamp_spectrum(emitters, level, spectrum);
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
