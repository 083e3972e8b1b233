/* SPDX-License-Identifier: MIT */
/* Fader: emitters that light unevenly at the bottom. On its way through levels below the lowest an
 * emitter switches: it is dark up to half of that, then at the lowest level until its path is above
 * it. Where it cannot be there (the power limit, or a dimmer that is not open wide enough), it is
 * dark. */
#include "fade/fader.h"

/* Levels of codes behind the dimmer; the watts are parts of the power limit. */
static double levels_of(const mtmi_kind *kind, const mtm_codes *codes, double gain, double *level)
{
    double watts = 0;

    for (size_t k = 0; k < kind->emitters.count; k++) {
        level[k] = gain * mtmi_table_level(&kind->table[k], codes->emitter[k]);
        watts += level[k] * kind->emitters.watts[k];
    }
    return watts;
}

bool mtmi_kind_hold(const mtmi_kind *kind, mtm_codes *codes)
{
    const double lowest = mtm_fixture_limits(kind->fixture)->lowest_level;
    const double gain =
        kind->has_dimmer ? mtmi_table_level(&kind->table[kind->emitters.count], codes->dimmer) : 1;
    double level[MTM_EMITTERS_MAX];
    bool held = false;

    if (!(lowest > 0) || !(gain > 0) || kind->mixed != NULL)
        return false;
    double watts = levels_of(kind, codes, gain, level);
    for (size_t k = 0; k < kind->emitters.count; k++) {
        if (!(level[k] > 0) || level[k] >= lowest * (1 - MTMI_SAME_LEVEL))
            continue;
        unsigned code = mtmi_table_least(&kind->table[k], lowest / gain);
        double there = gain * mtmi_table_level(&kind->table[k], code);
        double with = watts + (there - level[k]) * kind->emitters.watts[k];
        bool on = code > 0 && 2 * level[k] >= lowest && with <= 1;
        codes->emitter[k] = on ? code : 0;
        watts = on ? with : watts - level[k] * kind->emitters.watts[k];
        held = true;
    }
    return held;
}

void mtmi_runner_hold(mtm_fader *fader, mtmi_runner *runner)
{
    mtm_codes codes;

    if (!(mtm_fixture_limits(runner->kind->fixture)->lowest_level > 0))
        return;
    mtmi_runner_codes(fader, runner, &codes);
    if (!mtmi_kind_hold(runner->kind, &codes))
        return;
    for (size_t k = 0; k < runner->kind->emitters.count; k++)
        mtmi_lane_send(&fader->lanes, runner->lane[k], codes.emitter[k]);
}
