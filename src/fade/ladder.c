/* SPDX-License-Identifier: MIT */
/* Ladders of a rig: made once for the channels that share a curve. */
#include "fade/ladder.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void mtmi_ladders_free(mtmi_ladders *ladders)
{
    for (size_t i = 0; i < ladders->count; i++) {
        free(ladders->ladder[i].rung);
        free(ladders->ladder[i].light);
    }
    free(ladders->ladder);
    *ladders = (mtmi_ladders){0};
}

/* The level at a rung: how far it is from its end is the upper bits of a double. */
static double level_at(size_t rung)
{
    size_t up = rung % MTMI_HALF_LADDER;
    size_t whole = up >> MTMI_RUNG_BITS;
    size_t part = up & ((1u << MTMI_RUNG_BITS) - 1);
    double from_end =
        ldexp(1 + (double)part / (1 << MTMI_RUNG_BITS), (int)whole - MTMI_OCTAVES - 1);

    if (up == 0)
        from_end = 0;
    return rung < MTMI_HALF_LADDER ? from_end : 1 - from_end;
}

static double code_at(const mtmi_kind *kind, size_t channel, bool straight, size_t rung)
{
    double level = level_at(rung);

    if (rung == 0)
        return 0;
    return straight ? level * kind->most[channel] : mtmi_code_for(kind, channel, level);
}

static void fill(const mtmi_kind *kind, size_t channel, bool straight, mtmi_rung *rung)
{
    for (size_t i = 0; i < MTMI_RUNGS; i++)
        rung[i].code = (uint32_t)llround(65536 * code_at(kind, channel, straight, i));
    for (size_t i = 0; i + 1 < MTMI_RUNGS; i++) {
        uint32_t low = rung[i].code, high = rung[i + 1].code;
        if (i >= MTMI_HALF_LADDER) {
            low = rung[i + 1].code;
            high = rung[i].code;
        }
        rung[i].rise = high > low ? high - low : 0;
    }
    rung[MTMI_HALF_LADDER - 1].rise = 0;
    rung[MTMI_RUNGS - 1].rise = 0;
}

static const mtmi_shared_ladder *find(const mtmi_ladders *ladders, const char *curve,
                                      double exponent, int most)
{
    for (size_t i = 0; i < ladders->count; i++) {
        const mtmi_shared_ladder *ladder = &ladders->ladder[i];

        if (ladder->most == most && ladder->exponent == exponent &&
            strcmp(ladder->curve, curve) == 0)
            return ladder;
    }
    return NULL;
}

static const mtmi_shared_ladder *find_equal(const mtmi_ladders *ladders, const mtmi_rung *rung)
{
    for (size_t i = 0; i < ladders->count; i++) {
        if (memcmp(ladders->ladder[i].rung, rung, MTMI_RUNGS * sizeof *rung) == 0)
            return &ladders->ladder[i];
    }
    return NULL;
}

static mtm_result grow(mtmi_ladders *ladders, mtm_error *error)
{
    if (ladders->count < ladders->room)
        return MTM_OK;
    size_t room = 2 * ladders->room + 8;
    mtmi_shared_ladder *grown = realloc(ladders->ladder, room * sizeof *grown);
    if (grown == NULL)
        return mtmi_fail_memory(error);
    ladders->ladder = grown;
    ladders->room = room;
    return MTM_OK;
}

/* Makes a ladder at the end of the list, which has room. */
static mtm_result make(mtmi_ladders *ladders, const mtmi_kind *kind, size_t channel, bool straight,
                       mtm_error *error)
{
    const mtm_curve *curve = straight ? NULL : kind->curve[channel];
    mtmi_shared_ladder made = {
        .curve = curve != NULL ? mtm_curve_kind_name(curve) : "linear",
        .exponent = curve != NULL ? mtm_curve_exponent(curve) : 1,
        .most = kind->most[channel],
        .rung = calloc(MTMI_RUNGS, sizeof(mtmi_rung)),
        .light = kind->most[channel] == 255 ? calloc(256, sizeof(double)) : NULL,
    };

    if (made.rung == NULL || (made.most == 255 && made.light == NULL)) {
        free(made.rung);
        free(made.light);
        return mtmi_fail_memory(error);
    }
    fill(kind, channel, straight, made.rung);
    for (int code = 0; code < 256 && made.light != NULL; code++)
        made.light[code] = straight ? code / 255.0 : mtmi_level_of(kind, channel, code);
    ladders->ladder[ladders->count++] = made;
    return MTM_OK;
}

/* A ladder already made for such a curve, or another that equals the new one: tables are known only
 * by what they give. */
static mtm_result share(mtmi_ladders *ladders, const mtmi_kind *kind, size_t channel, bool straight,
                        size_t *out, mtm_error *error)
{
    const mtm_curve *curve = straight ? NULL : kind->curve[channel];
    const char *name = curve != NULL ? mtm_curve_kind_name(curve) : "linear";
    double exponent = curve != NULL ? mtm_curve_exponent(curve) : 1;
    bool is_table = strcmp(name, "table") == 0;
    const mtmi_shared_ladder *found =
        is_table ? NULL : find(ladders, name, exponent, kind->most[channel]);

    if (found == NULL) {
        mtm_result result = grow(ladders, error);
        if (result == MTM_OK)
            result = make(ladders, kind, channel, straight, error);
        if (result != MTM_OK)
            return result;
        mtmi_shared_ladder *made = &ladders->ladder[ladders->count - 1];
        found = find_equal(ladders, made->rung);
        if (found != made && is_table) {
            free(made->rung);
            free(made->light);
            ladders->count--;
        } else {
            found = made;
        }
    }
    *out = (size_t)(found - ladders->ladder);
    return MTM_OK;
}

mtm_result mtmi_ladders_share(mtmi_ladders *ladders, mtmi_kind *kind, mtm_error *error)
{
    for (size_t i = 0; i < kind->channel_count; i++) {
        size_t straight = 0;
        size_t bent = 0;
        mtm_result result = share(ladders, kind, i, true, &straight, error);

        if (result == MTM_OK)
            result = share(ladders, kind, i, false, &bent, error);
        if (result != MTM_OK)
            return result;
        kind->straight[i] = ladders->ladder[straight].rung;
        kind->ladder[i] = ladders->ladder[bent].rung;
        kind->light[i] = ladders->ladder[bent].light;
    }
    return MTM_OK;
}
