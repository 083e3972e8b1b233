/* SPDX-License-Identifier: MIT */
/* Fader: units that mix by themselves. Their lanes carry the levels of what they span; each frame's
 * codes are chosen for the light of these, as those of a match are. */
#include "fade/fader.h"
#include "unit/slots.h"

#include <string.h>

void mtmi_runner_codes(const mtm_fader *fader, const mtmi_runner *runner, mtm_codes *codes)
{
    memset(codes, 0, sizeof *codes);
    if (runner->kind->mixed != NULL) {
        *codes = runner->mixed;
        return;
    }
    for (size_t i = 0; i < runner->kind->channel_count; i++)
        mtmi_codes_set_channel(runner->kind, codes, i, fader->lanes.code[runner->lane[i]]);
}

/* Codes without light, that keep the colour of others: intensity is the last channel of HSI. */
static mtm_codes dark_of(const mtmi_kind *kind, const mtm_codes *colour)
{
    mtm_codes dark = *colour;

    dark.dimmer = 0;
    for (size_t i = 0; i < kind->mixed->mixer->channels; i++)
        dark.emitter[i] = mtmi_table_allowed(&kind->mixed->mixer->channel[i], dark.emitter[i]);
    if (kind->mixed->mixer->mixing.type == MTM_MIXING_HSI)
        dark.emitter[kind->mixed->mixer->channels - 1] = 0;
    return dark;
}

/* True if codes give no light. */
static bool is_dark(const mtmi_kind *kind, const mtm_codes *codes)
{
    double level[MTM_EMITTERS_MAX];

    mtmi_channels_levels(kind->mixed, codes, level);
    return !(mtmi_mixer_xyz(kind->mixed->mixer, level).y > 0);
}

void mtmi_runner_send_mixed(mtm_fader *fader, mtmi_runner *runner, const mtm_codes *codes)
{
    const mtm_mode *mode = runner->kind->mode;
    if (runner->kind->mixed == NULL)
        return;
    const bool dark = is_dark(runner->kind, codes);
    uint8_t slot[MTM_SLOTS_MAX];

    runner->mixed = dark ? dark_of(runner->kind, &runner->mixed) : *codes;
    if (!runner->placed)
        return;
    mtm_codes_to_slots(mode, &runner->mixed, slot);
    memcpy(fader->lanes.slots + runner->start, slot, mode->slot_count);
}

void mtmi_mixed_dims_point(const mtmi_kind *kind, double light, mtmi_transition_point *point)
{
    const struct mtmi_mixer *mixer = kind->mixed->mixer;

    mtmi_mixer_levels(mixer, NULL, light / mixer->mixing.flux_lm, point->level);
    point->wanted = mtmi_mix_xyz(&kind->emitters, point->level);
}

void mtmi_runner_mix(mtm_fader *fader, mtmi_runner *runner)
{
    const struct mtmi_channels *mixed = runner->kind->mixed;
    double level[MTM_EMITTERS_MAX] = {0};
    mtm_codes codes;

    for (size_t i = 0; i < runner->kind->emitters.count; i++)
        level[i] = fader->lanes.p[runner->lane[i]];
    mtmi_mixer_round(mixed->mixer, mixed->has_dimmer ? &mixed->dimmer : NULL, level, &codes);
    mtmi_runner_send_mixed(fader, runner, &codes);
}

void mtmi_runner_colour_first(mtm_fader *fader, mtmi_runner *runner)
{
    const mtmi_transition *transition = &runner->transition;

    if (runner->kind->mixed == NULL || transition->from.xyz.y > 0 || !(transition->to.xyz.y > 0))
        return;
    const mtm_codes waiting = dark_of(runner->kind, &transition->to.codes);
    runner->mixed = waiting;
    mtmi_runner_send_mixed(fader, runner, &waiting);
}

mtm_path_type mtmi_runner_path(const mtmi_runner *runner, mtm_path_type path)
{
    if (runner->kind->mixed != NULL && (path == MTM_PATH_SLOTS || mtmi_kind_dims(runner->kind)))
        return MTM_PATH_LIGHT;
    return path;
}
