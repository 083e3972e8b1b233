/* SPDX-License-Identifier: MIT */
/* Judge: a second look at what a unit shows: rendering, the other observer, metamerism in pairs. */
#include <metamer/judge.h>

#include "base/error.h"
#include "base/number.h"
#include "unit/emitters.h"

#include <metamer/quality.h>

#include <math.h>

/* Of an emitter, to rounding. */
#define LEVEL_MAX (1 + MTMI_NOISE)

/* True where an emitter that is lit is an ideal line. */
static bool has_ideal_lines(const mtm_fixture *fixture, const double *level)
{
    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++) {
        if (mtm_fixture_emitter(fixture, i)->ideal_line && level[i] > 0)
            return true;
    }
    return false;
}

mtm_result mtm_judge(const mtm_fixture *fixture, const double *level, mtm_judgement *judgement,
                     mtm_error *error)
{
    mtm_quality quality = {.ssi = 0};

    if (fixture == NULL || level == NULL || judgement == NULL)
        return mtmi_fail(error, MTM_INVALID, "a judgement needs a fixture, levels and a place");
    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++) {
        if (!(level[i] >= 0 && level[i] <= LEVEL_MAX))
            return mtmi_fail(error, MTM_INVALID, "level %g of emitter \"%.60s\"; allowed is 0 to 1",
                             level[i], mtm_fixture_emitter(fixture, i)->name);
    }
    struct mtmi_emitters emitters;
    mtm_result result = mtmi_emitters_from(fixture, MTM_OBSERVER_2, &emitters, error);
    if (result != MTM_OK)
        return result;
    mtm_judgement made = {.ideal_lines = has_ideal_lines(fixture, level),
                          .planckian = emitters.lamp != NULL};
    made.has_spectrum = mtmi_emitters_spectrum(&emitters, level, &made.spectrum);
    if (made.has_spectrum) {
        for (int i = 0; i < MTM_OBSERVER_COUNT; i++)
            made.xyz[i] = mtm_xyz_from_spectrum(&made.spectrum, (mtm_observer)i);
        /* no white, no reference: that is an answer here */
        made.has_quality = made.xyz[0].y > 0 &&
                           mtm_quality_from_spectrum(&made.spectrum, &quality, NULL) == MTM_OK;
    }
    if (made.has_quality) {
        made.ra = quality.cri.ra;
        made.r9 = quality.cri.r[8];
        made.rf = quality.fidelity.rf;
        made.rg = quality.fidelity.rg;
    }
    *judgement = made;
    return MTM_OK;
}

mtm_result mtm_judge_pair(const mtm_judgement *a, const mtm_judgement *b,
                          mtm_metamerism *metamerism, mtm_error *error)
{
    mtm_metamerism made;
    double there = 0;
    double back = 0;

    if (a == NULL || b == NULL || metamerism == NULL)
        return mtmi_fail(error, MTM_INVALID, "a pair needs two judgements and a place");
    if (!a->has_spectrum || !b->has_spectrum || a->xyz[0].y <= 0 || b->xyz[0].y <= 0)
        return mtmi_fail(error, MTM_UNSUPPORTED,
                         "two lights are compared by their spectra; one is dark or has none");
    for (int i = 0; i < MTM_OBSERVER_COUNT; i++)
        made.delta_uv[i] = mtm_uv_distance(mtm_uv_from_xyz(a->xyz[i]), mtm_uv_from_xyz(b->xyz[i]));
    mtm_result result = mtm_ssi_from_spectrum(&a->spectrum, &b->spectrum, &there, error);
    if (result == MTM_OK)
        result = mtm_ssi_from_spectrum(&b->spectrum, &a->spectrum, &back, error);
    if (result != MTM_OK)
        return result;
    made.ssi = fmin(there, back);
    *metamerism = made;
    return MTM_OK;
}
