/* SPDX-License-Identifier: MIT */
/* Fade: what a fixture and its mode are to a fade: channels, their codes and their light. */
#include "fade/fade.h"

#include "base/error.h"
#include "fade/shape.h"

#include <math.h>
#include <string.h>

/* The step in L* of the first code of an 8-bit dimmer, out of the dark. */
#define FIRST_STEP 0.25

/* Straight curves are left out, since they are most and need no work. */
static const mtm_curve *bent(const mtm_curve *curve)
{
    return curve != NULL && strcmp(mtm_curve_kind_name(curve), "linear") == 0 ? NULL : curve;
}

/* How an 8-bit dimmer goes at the bottom. */
static void look_at_dimmer(mtmi_kind *kind)
{
    const size_t at = kind->emitters.count;
    double low = mtmi_level_of(kind, at, 8);
    double high = mtmi_level_of(kind, at, 32);
    int code = 1;

    while (code < 255 && !(mtmi_level_of(kind, at, code) > 0))
        code++;
    kind->dimmer_least = mtmi_level_of(kind, at, code);
    kind->dimmer_exponent = low > 0 && high > low ? log(high / low) / log(4) : 1;
}

mtm_result mtmi_kind_from(const mtm_fixture *fixture, const mtm_mode *mode, mtm_observer observer,
                          mtmi_kind *kind, mtm_error *error)
{
    mtmi_kind made = {.fixture = fixture, .mode = mode, .has_dimmer = mode->dimmer_bits > 0};
    struct mtmi_emitters emitters;
    mtm_result result = mtmi_emitters_from(fixture, observer, &emitters, error);

    if (result != MTM_OK)
        return result;
    if (!mtmi_mix_basis_from(&emitters, &made.emitters))
        return mtmi_fail(error, MTM_RANGE, "no emitter of \"%.60s\" gives light",
                         mtm_fixture_name(fixture));
    for (size_t i = 0; i < made.emitters.count; i++) {
        made.curve[i] = bent(mtm_fixture_emitter(fixture, i)->curve);
        made.most[i] = (1 << mode->emitter_bits[i]) - 1;
        made.together = made.together || made.most[i] == 255;
    }
    made.channel_count = made.emitters.count;
    made.own = made.curve[0];
    if (made.has_dimmer) {
        made.curve[made.channel_count] = bent(mtm_fixture_dimmer_curve(fixture));
        made.most[made.channel_count] = (1 << mode->dimmer_bits) - 1;
        made.own = made.curve[made.channel_count];
        made.channel_count++;
    }
    made.dimmer_rests = mode->dimmer_bits == 8 && !made.together;
    made.dimmer_guided = mode->dimmer_bits == 8 && made.together;
    if (made.dimmer_guided)
        look_at_dimmer(&made);
    *kind = made;
    return MTM_OK;
}

double mtmi_code_for(const mtmi_kind *kind, size_t channel, double level)
{
    const mtm_curve *curve = kind->curve[channel];
    const double most = kind->most[channel];

    if (!(level > 0))
        level = 0;
    if (level > 1)
        level = 1;
    if (curve == NULL)
        return level * most;
    double code = mtm_curve_code(curve, level) * most;
    if (kind->most[channel] > 255) /* a sixteen-bit step is as good as straight */
        return code;
    double below = floor(code + 1e-9);
    double low = mtm_curve_level(curve, below / most);
    double high = mtm_curve_level(curve, (below + 1) / most);
    if (below >= most || !(high > low))
        return below < most ? below : most;
    double part = (level - low) / (high - low);
    return below + (part > 0 ? (part < 1 ? part : 1) : 0);
}

double mtmi_level_of(const mtmi_kind *kind, size_t channel, double code)
{
    const mtm_curve *curve = kind->curve[channel];
    const double most = kind->most[channel];

    if (curve == NULL)
        return code / most;
    if (kind->most[channel] > 255)
        return mtm_curve_level(curve, code / most);
    double below = floor(code);
    double low = mtm_curve_level(curve, below / most);
    if (code <= below)
        return low;
    return low + (code - below) * (mtm_curve_level(curve, (below + 1) / most) - low);
}

uint16_t mtmi_codes_channel(const mtmi_kind *kind, const mtm_codes *codes, size_t channel)
{
    return channel < kind->emitters.count ? codes->emitter[channel] : codes->dimmer;
}

void mtmi_codes_set_channel(const mtmi_kind *kind, mtm_codes *codes, size_t channel, uint16_t code)
{
    if (channel < kind->emitters.count)
        codes->emitter[channel] = code;
    else
        codes->dimmer = code;
}

mtmi_end mtmi_end_dark(const mtmi_kind *kind)
{
    return (mtmi_end){.dimmer = kind->has_dimmer ? 0 : 1};
}

bool mtmi_kind_keeps_colour(const mtmi_kind *kind)
{
    return kind->has_dimmer && !kind->dimmer_rests;
}

double mtmi_first_step(const mtmi_kind *kind, double per_level)
{
    return FIRST_STEP / (mtmi_lightness_slope(0) * kind->dimmer_least * per_level);
}

double mtmi_dark_share(const mtmi_kind *kind, const mtmi_end *lit, size_t emitter)
{
    double highest = 0;

    if (!(lit->dimmer > 0 && lit->xyz.y > 0))
        return 0;
    if (!kind->dimmer_guided)
        return lit->level[emitter] / lit->dimmer;
    for (size_t i = 0; i < kind->emitters.count; i++)
        highest = fmax(highest, lit->level[i]);
    double least = mtmi_first_step(kind, lit->xyz.y / kind->emitters.full_y / highest);
    return lit->level[emitter] / highest * fmin(least, fmin(1, highest / lit->dimmer));
}

void mtmi_end_take_colour(const mtmi_kind *kind, mtmi_end *dark, const mtmi_end *lit)
{
    for (size_t i = 0; i < kind->emitters.count; i++) {
        dark->codes.emitter[i] = lit->codes.emitter[i];
        dark->code[i] = lit->code[i];
        if (!kind->dimmer_guided || !(lit->xyz.y > 0))
            continue;
        dark->code[i] = mtmi_code_for(kind, i, mtmi_dark_share(kind, lit, i));
        dark->codes.emitter[i] = (uint16_t)lround(dark->code[i]);
    }
}

/* Emitters of 16 bits behind a dimmer of 8 would step with it: they do the work alone. */
static void rest_dimmer(const mtmi_kind *kind, mtmi_end *end)
{
    end->codes.dimmer = 255;
    for (size_t i = 0; i < kind->emitters.count; i++)
        end->codes.emitter[i] = (uint16_t)lround(mtmi_code_for(kind, i, end->level[i]));
}

mtmi_end mtmi_end_from_match(const mtmi_kind *kind, const mtm_match *match)
{
    mtmi_end end = {.dimmer = 1, .codes = match->codes};

    memcpy(end.level, match->ideal.level, sizeof end.level);
    end.xyz = mtmi_mix_xyz(&kind->emitters, end.level);
    if (kind->dimmer_rests && end.xyz.y > 0)
        rest_dimmer(kind, &end);
    for (size_t i = 0; i < kind->channel_count; i++)
        end.code[i] = mtmi_codes_channel(kind, &end.codes, i);
    if (kind->has_dimmer)
        end.dimmer = mtmi_level_of(kind, kind->emitters.count, end.codes.dimmer);
    return end;
}
