/* SPDX-License-Identifier: MIT */
/* Fade: what a fixture and its mode are to a fade: channels, their codes and their light. */
#include "fade/fade.h"

#include "base/error.h"
#include "fade/shape.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The step in L* of the first code of an 8-bit dimmer, out of the dark. */
#define FIRST_STEP 0.25

/* Straight curves are left out, since they are most and need no work. */
static const mtm_curve *bent(const mtm_curve *curve)
{
    return curve != NULL && strcmp(mtm_curve_type_name(curve), "linear") == 0 ? NULL : curve;
}

/* The tables of all channels: emitters, then the dimmer. */
/* Levels of what a unit spans that mixes by itself: of 16 bits, straight, and sent nowhere. */
static mtm_result make_mixed(mtmi_kind *kind, struct mtmi_level_cache *cache, mtm_error *error)
{
    kind->has_dimmer = false;
    kind->channel_count = kind->emitters.count;
    for (size_t i = 0; i < kind->channel_count; i++) {
        kind->table[i] = (struct mtmi_table){.most = MTM_CODE_MAX_16,
                                             .top = MTM_CODE_MAX_16,
                                             .full = MTM_CODE_MAX_16,
                                             .straight = true};
        kind->most[i] = MTM_CODE_MAX_16;
        kind->careful[i] = true;
    }
    kind->mixed = calloc(1, sizeof *kind->mixed);
    if (kind->mixed == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = mtmi_channels_create(kind->mixed, kind->fixture, kind->mode, cache, error);
    if (result == MTM_OK)
        kind->code_count = kind->mixed->mixer->channels + kind->mixed->has_dimmer;
    return result;
}

static mtm_result make_tables(mtmi_kind *kind, struct mtmi_level_cache *cache, mtm_error *error)
{
    const size_t count = kind->emitters.count;
    mtm_result result = MTM_OK;

    if (kind->mode->mixing != NULL)
        return make_mixed(kind, cache, error);
    kind->channel_count = kind->code_count = count + kind->has_dimmer;
    for (size_t i = 0; result == MTM_OK && i < kind->channel_count; i++) {
        size_t channel = i < count ? i : MTMI_DIMMER_CHANNEL;
        result = mtmi_table_create_within(cache, kind->fixture, kind->mode, channel,
                                          &kind->table[i], error);
        kind->most[i] = (int)kind->table[i].most;
        kind->careful[i] = kind->table[i].gaps.count > 0 || kind->most[i] > 65535;
        kind->light[i] = kind->table[i].levels != NULL ? kind->table[i].levels->level : NULL;
        if (i < count)
            kind->together = kind->together || kind->table[i].levels != NULL;
    }
    return result;
}

/* How far a dimmer goes up, and how one of 8 bits goes at the bottom. */
static void fit_dimmer(mtmi_kind *kind)
{
    const size_t at = kind->emitters.count;

    kind->dimmer_full = kind->table[at].top_level;
    if (kind->most[at] != MTM_CODE_MAX_8)
        return;
    double low = mtmi_level_of(kind, at, 8);
    double high = mtmi_level_of(kind, at, 32);
    int code = 1;

    while (code < MTM_CODE_MAX_8 && !(mtmi_level_of(kind, at, code) > 0))
        code++;
    kind->dimmer_least = mtmi_level_of(kind, at, code);
    kind->dimmer_exponent = low > 0 && high > low ? log(high / low) / log(4) : 1;
}

mtm_result mtmi_kind_from(const mtm_fixture *fixture, const mtm_mode *mode, mtm_observer observer,
                          struct mtmi_level_cache *cache, mtmi_kind *kind, mtm_error *error)
{
    mtmi_kind made = {
        .fixture = fixture, .mode = mode, .has_dimmer = mode->dimmer_bits > 0, .dimmer_full = 1};
    struct mtmi_emitters emitters;
    mtm_result result = mtmi_emitters_from(fixture, observer, &emitters, error);

    if (result != MTM_OK)
        return result;
    if (!mtmi_mix_basis_from(&emitters, &made.emitters))
        return mtmi_fail(error, MTM_RANGE, "no emitter of \"%.60s\" gives light",
                         mtm_fixture_name(fixture));
    result = make_tables(&made, cache, error);
    if (result != MTM_OK) {
        mtmi_kind_free(&made);
        return result;
    }
    made.own = made.mixed != NULL ? NULL
                                  : bent(made.has_dimmer ? mtm_fixture_dimmer_curve(fixture)
                                                         : mtm_fixture_emitter(fixture, 0)->curve);
    if (made.has_dimmer)
        fit_dimmer(&made);
    *kind = made;
    return MTM_OK;
}

void mtmi_kind_free(mtmi_kind *kind)
{
    for (size_t i = 0; i < kind->channel_count; i++)
        mtmi_table_free(&kind->table[i]);
    if (kind->mixed != NULL)
        mtmi_channels_free(kind->mixed);
    free(kind->mixed);
    kind->mixed = NULL;
}

mtm_result mtmi_kind_share_tables(struct mtmi_code_tables *tables, mtmi_kind *kind,
                                  mtm_error *error)
{
    static const struct mtmi_table straight[3] = {
        {.top = MTM_CODE_MAX_8, .full = MTM_CODE_MAX_8, .most = MTM_CODE_MAX_8, .straight = true},
        {.top = MTM_CODE_MAX_16,
         .full = MTM_CODE_MAX_16,
         .most = MTM_CODE_MAX_16,
         .straight = true},
        {.top = MTM_CODE_MAX_24,
         .full = MTM_CODE_MAX_24,
         .most = MTM_CODE_MAX_24,
         .straight = true}};
    mtm_result result = MTM_OK;

    for (size_t i = 0; result == MTM_OK && i < kind->channel_count; i++) {
        size_t bytes = (size_t)(kind->most[i] > MTM_CODE_MAX_8) + (kind->most[i] > MTM_CODE_MAX_16);
        result = mtmi_code_tables_get(tables, &straight[bytes], &kind->straight[i], error);
        if (result == MTM_OK)
            result = mtmi_code_tables_get(tables, &kind->table[i], &kind->codes[i], error);
    }
    return result;
}

double mtmi_code_for(const mtmi_kind *kind, size_t channel, double level)
{
    return mtmi_table_code_at(&kind->table[channel], level);
}

uint32_t mtmi_code_near(const mtmi_kind *kind, size_t channel, double code)
{
    return mtmi_table_allowed(&kind->table[channel], (uint32_t)lround(code));
}

double mtmi_level_of(const mtmi_kind *kind, size_t channel, double code)
{
    return mtmi_table_level_at(&kind->table[channel], code);
}

mtm_lab mtmi_kind_lab(const mtmi_kind *kind, mtm_xyz xyz)
{
    const double y = kind->emitters.full_y;
    const mtm_xyz white = {0.95047 * y, y, 1.08883 * y}; /* D65, CIE 015:2018, table 9.2 */

    return mtm_lab_from_xyz(xyz, white);
}

double mtmi_ciede2000_bound(mtm_lab a, mtm_lab b)
{
    return 2.2 * mtm_lab_difference(a, b);
}

mtm_xyz mtmi_codes_light(const mtmi_kind *kind, const mtm_codes *codes)
{
    const size_t count = kind->emitters.count;
    double dimmer = kind->has_dimmer ? mtmi_level_of(kind, count, codes->dimmer) : 1;
    double level[MTM_EMITTERS_MAX];

    if (kind->mixed != NULL)
        mtmi_channels_levels(kind->mixed, codes, level);
    for (size_t i = 0; i < count && kind->mixed == NULL; i++)
        level[i] = dimmer * mtmi_level_of(kind, i, codes->emitter[i]);
    return mtmi_mix_xyz(&kind->emitters, level);
}

/* The channel of codes that is the dimmer's. */
static size_t dimmer_of(const mtmi_kind *kind)
{
    return kind->mixed != NULL ? kind->mixed->mixer->channels : kind->emitters.count;
}

uint32_t mtmi_codes_channel(const mtmi_kind *kind, const mtm_codes *codes, size_t channel)
{
    return channel < dimmer_of(kind) ? codes->emitter[channel] : codes->dimmer;
}

void mtmi_codes_set_channel(const mtmi_kind *kind, mtm_codes *codes, size_t channel, uint32_t code)
{
    if (channel < dimmer_of(kind))
        codes->emitter[channel] = code;
    else
        codes->dimmer = code;
}

mtmi_end mtmi_end_dark(const mtmi_kind *kind)
{
    return (mtmi_end){.dimmer = kind->has_dimmer ? 0 : 1};
}

bool mtmi_kind_dims(const mtmi_kind *kind)
{
    return kind->mixed != NULL && kind->mixed->mixer->mixing.type == MTM_MIXING_DIMS;
}

mtmi_dimmer_role mtmi_dimmer_role_of(const mtmi_kind *kind, mtm_dimming dimming)
{
    if (!kind->has_dimmer)
        return MTMI_DIMMER_NONE;
    if (dimming == MTM_DIMMING_EMITTERS)
        return MTMI_DIMMER_RESTS;
    if (dimming == MTM_DIMMING_DIMMER || kind->most[kind->emitters.count] != MTM_CODE_MAX_8)
        return MTMI_DIMMER_LEADS;
    return kind->together ? MTMI_DIMMER_GUIDED : MTMI_DIMMER_RESTS;
}

bool mtmi_dimmer_keeps_colour(mtmi_dimmer_role role)
{
    return role == MTMI_DIMMER_GUIDED || role == MTMI_DIMMER_LEADS;
}

double mtmi_first_step(const mtmi_kind *kind, double per_level)
{
    return FIRST_STEP / (mtmi_lightness_slope(0) * kind->dimmer_least * per_level);
}

double mtmi_dark_share(const mtmi_kind *kind, mtmi_dimmer_role role, const mtmi_end *lit,
                       size_t emitter)
{
    double highest = 0;

    if (!(lit->dimmer > 0 && lit->xyz.y > 0) || !mtmi_dimmer_keeps_colour(role))
        return 0;
    if (role == MTMI_DIMMER_LEADS)
        return lit->level[emitter] / lit->dimmer;
    for (size_t i = 0; i < kind->emitters.count; i++)
        highest = fmax(highest, lit->level[i]);
    double least = mtmi_first_step(kind, lit->xyz.y / kind->emitters.full_y / highest);
    return lit->level[emitter] / highest * fmin(least, fmin(1, highest / lit->dimmer));
}

void mtmi_end_take_colour(const mtmi_kind *kind, mtmi_dimmer_role role, mtmi_end *dark,
                          const mtmi_end *lit)
{
    for (size_t i = 0; i < kind->emitters.count; i++) {
        dark->codes.emitter[i] = lit->codes.emitter[i];
        dark->code[i] = lit->code[i];
        if (role != MTMI_DIMMER_GUIDED || !(lit->xyz.y > 0))
            continue;
        dark->code[i] = mtmi_code_for(kind, i, mtmi_dark_share(kind, role, lit, i));
        dark->codes.emitter[i] = mtmi_code_near(kind, i, dark->code[i]);
    }
}

mtmi_end mtmi_end_from_match(const mtmi_kind *kind, const mtm_match *match)
{
    mtmi_end end = {.dimmer = 1, .codes = match->codes};

    memcpy(end.level, match->ideal.level, sizeof end.level);
    end.xyz = mtmi_mix_xyz(&kind->emitters, end.level);
    for (size_t i = 0; i < kind->channel_count; i++)
        end.code[i] = mtmi_codes_channel(kind, &end.codes, i);
    if (kind->has_dimmer)
        end.dimmer = mtmi_level_of(kind, kind->emitters.count, end.codes.dimmer);
    return end;
}

/* The level of a code that may stand above what the limits allow to be sent. */
static double level_as_found(const mtmi_kind *kind, size_t emitter, double code)
{
    const struct mtmi_table *table = &kind->table[emitter];

    if (table->top == table->full || code <= table->top)
        return mtmi_level_of(kind, emitter, code);
    return mtm_curve_level(mtm_fixture_emitter(kind->fixture, emitter)->curve,
                           fmin(code / table->full, 1));
}

mtmi_end mtmi_end_from_codes(const mtmi_kind *kind, const mtm_codes *codes)
{
    const size_t count = kind->emitters.count;
    mtmi_end end = {.dimmer = 1, .codes = *codes};

    for (size_t i = 0; i < kind->channel_count; i++)
        end.code[i] = mtmi_codes_channel(kind, codes, i);
    if (kind->has_dimmer)
        end.dimmer = mtmi_level_of(kind, count, codes->dimmer);
    if (kind->mixed != NULL)
        mtmi_channels_levels(kind->mixed, codes, end.level);
    for (size_t i = 0; i < count && kind->mixed == NULL; i++)
        end.level[i] = end.dimmer * level_as_found(kind, i, end.code[i]);
    end.xyz = mtmi_mix_xyz(&kind->emitters, end.level);
    return end;
}
