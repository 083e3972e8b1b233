/* SPDX-License-Identifier: MIT */
/* Limiter: frames kept within the ratings of ports and supplies. */
#include <metamer/limiter.h>

#include <metamer/match.h>

#include "base/error.h"
#include "base/number.h"
#include "base/pool.h"
#include "plan/demand.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROUNDS_MAX = 12 };

struct mtm_limiter {
    const mtm_rig *rig;
    const mtm_frame_source *source;
    mtm_demand_options options;
    mtm_matcher *matcher; /* for its coders */
    uint8_t *octets;      /* of one frame as the source leaves it */
    uint8_t **slots;      /* its universes, within octets */
    size_t *universe;     /* by unit: index in the layout; SIZE_MAX: not reached */
    double *level;        /* by unit: MTM_EMITTERS_MAX levels that the source asks for */
    double *watts;        /* by unit: of what goes out */
    double *factor;       /* by unit: so far */
    double *more;         /* by unit: what is asked on top of it */
    uint64_t lowered;
    mtmi_pool pool; /* of all lists */
};

void mtm_limiter_free(mtm_limiter *limiter)
{
    if (limiter == NULL)
        return;
    mtmi_pool_free(&limiter->pool);
    mtm_matcher_free(limiter->matcher);
    free(limiter);
}

static bool reserve(mtm_limiter *limiter)
{
    const mtm_frame_layout *layout = &limiter->source->layout;
    size_t units = mtm_rig_unit_count(limiter->rig);
    size_t octets = 0;
    mtmi_pool *pool = &limiter->pool;

    for (size_t u = 0; u < layout->universe_count; u++)
        octets += layout->universe[u].slot_count;
    limiter->octets = mtmi_pool_take(pool, octets, 1);
    limiter->slots = mtmi_pool_take(pool, layout->universe_count, sizeof(uint8_t *));
    limiter->universe = mtmi_pool_take(pool, units, sizeof *limiter->universe);
    limiter->level = mtmi_pool_take(pool, units, MTM_EMITTERS_MAX * sizeof *limiter->level);
    limiter->watts = mtmi_pool_take(pool, units, sizeof *limiter->watts);
    limiter->factor = mtmi_pool_take(pool, units, sizeof *limiter->factor);
    limiter->more = mtmi_pool_take(pool, units, sizeof *limiter->more);
    return !pool->failed;
}

static size_t find_universe(const mtm_frame_layout *layout, const mtm_unit *unit)
{
    size_t last = (size_t)unit->address + unit->mode->slot_count - 1;

    for (size_t u = 0; unit->address > 0 && u < layout->universe_count; u++) {
        if (layout->universe[u].universe == unit->universe)
            return last <= layout->universe[u].slot_count ? u : SIZE_MAX;
    }
    return SIZE_MAX;
}

static void lay_out(mtm_limiter *limiter)
{
    const mtm_frame_layout *layout = &limiter->source->layout;
    uint8_t *at = limiter->octets;

    for (size_t u = 0; u < layout->universe_count; u++) {
        limiter->slots[u] = at;
        at += layout->universe[u].slot_count;
    }
    for (size_t i = 0; i < mtm_rig_unit_count(limiter->rig); i++)
        limiter->universe[i] = find_universe(layout, mtm_rig_unit(limiter->rig, i));
}

mtm_result mtm_limiter_create(const mtm_rig *rig, const mtm_demand_options *options,
                              const mtm_frame_source *source, mtm_limiter **out, mtm_error *error)
{
    if (rig == NULL || source == NULL || source->fill == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and a source of frames are needed");
    mtm_result result = mtm_frame_layout_check(&source->layout, error);
    if (result != MTM_OK)
        return result;
    mtm_limiter *limiter = calloc(1, sizeof *limiter);
    if (limiter == NULL)
        return mtmi_fail_memory(error);
    limiter->rig = rig;
    limiter->source = source;
    if (options != NULL)
        limiter->options = *options;
    result = mtm_matcher_create(rig, MTM_OBSERVER_2, &limiter->matcher, error);
    if (result == MTM_OK && !reserve(limiter))
        result = mtmi_fail_memory(error);
    if (result == MTM_OK) { /* options are checked before anything runs */
        lay_out(limiter);
        result = mtm_demand_factors(rig, limiter->watts, &limiter->options, limiter->more, error);
    }
    if (result != MTM_OK) {
        mtm_limiter_free(limiter);
        return result;
    }
    *out = limiter;
    return MTM_OK;
}

/* Levels and watts that the source asks of every unit. */
static void read_units(mtm_limiter *limiter)
{
    for (size_t i = 0; i < mtm_rig_unit_count(limiter->rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(limiter->rig, i);
        double *level = &limiter->level[i * MTM_EMITTERS_MAX];
        mtm_codes codes = {0};
        limiter->factor[i] = 1;
        limiter->watts[i] = 0;
        if (limiter->universe[i] == SIZE_MAX)
            continue;
        mtm_codes_from_slots(unit->mode, &limiter->slots[limiter->universe[i]][unit->address - 1],
                             &codes);
        mtm_coder_levels(mtm_matcher_coder(limiter->matcher, i), &codes, level);
        limiter->watts[i] = mtm_demand_level_w(unit, level);
    }
}

/* Takes what is asked into the factors; units that share slots come down together. */
static bool take_factors(mtm_limiter *limiter)
{
    size_t units = mtm_rig_unit_count(limiter->rig);
    bool any = false;

    for (size_t i = 0; i < units; i++) {
        int leader = mtm_rig_unit(limiter->rig, i)->follows;
        if (leader >= 0)
            limiter->more[leader] = fmin(limiter->more[leader], limiter->more[i]);
    }
    for (size_t i = 0; i < units; i++) {
        int leader = mtm_rig_unit(limiter->rig, i)->follows;
        double more = limiter->more[leader >= 0 ? (size_t)leader : i];
        if (!mtmi_exceeds(1, more))
            continue;
        limiter->factor[i] *=
            mtmi_demand_light_factor(mtm_rig_unit(limiter->rig, i), more * MTMI_DEMAND_HEADROOM);
        any = true;
    }
    return any;
}

/* Codes of a unit at its factor; the slots that go out and its watts. */
static void lower_unit(mtm_limiter *limiter, size_t i, uint8_t *const *slots)
{
    const mtm_unit *unit = mtm_rig_unit(limiter->rig, i);
    const mtm_coder *coder = mtm_matcher_coder(limiter->matcher, i);
    double level[MTM_EMITTERS_MAX];
    mtm_codes codes = {0};

    for (size_t e = 0; e < MTM_EMITTERS_MAX; e++)
        level[e] = limiter->level[i * MTM_EMITTERS_MAX + e] * limiter->factor[i];
    if (unit->follows >= 0) /* what the leader's slots say, which were written before */
        mtm_codes_from_slots(unit->mode, &slots[limiter->universe[i]][unit->address - 1], &codes);
    else
        mtm_coder_round(coder, level, &codes);
    mtm_coder_levels(coder, &codes, level);
    limiter->watts[i] = mtm_demand_level_w(unit, level);
    if (unit->follows < 0)
        mtm_codes_to_slots(unit->mode, &codes, &slots[limiter->universe[i]][unit->address - 1]);
}

static void lower_units(mtm_limiter *limiter, uint8_t *const *slots)
{
    for (int pass = 0; pass < 2; pass++) { /* those that lead, then those that follow */
        for (size_t i = 0; i < mtm_rig_unit_count(limiter->rig); i++) {
            bool follows = mtm_rig_unit(limiter->rig, i)->follows >= 0;
            if (follows == (pass == 1) && limiter->factor[i] < 1 &&
                limiter->universe[i] != SIZE_MAX)
                lower_unit(limiter, i, slots);
        }
    }
}

static mtm_result fill(void *context, uint64_t number, uint8_t *const *slots, bool *end,
                       mtm_error *error)
{
    mtm_limiter *limiter = context;
    const mtm_frame_layout *layout = &limiter->source->layout;

    mtm_result result =
        limiter->source->fill(limiter->source->context, number, limiter->slots, end, error);
    if (result != MTM_OK || *end)
        return result;
    for (size_t u = 0; u < layout->universe_count; u++)
        memcpy(slots[u], limiter->slots[u], layout->universe[u].slot_count);
    read_units(limiter);
    for (int round = 0; round < ROUNDS_MAX; round++) {
        result = mtm_demand_factors(limiter->rig, limiter->watts, &limiter->options, limiter->more,
                                    error);
        if (result != MTM_OK || !take_factors(limiter))
            return result;
        limiter->lowered += round == 0;
        lower_units(limiter, slots);
    }
    return MTM_OK;
}

mtm_frame_source mtm_limiter_source(mtm_limiter *limiter)
{
    if (limiter == NULL)
        return (mtm_frame_source){.context = NULL};
    return (mtm_frame_source){limiter->source->layout, limiter, fill};
}

uint64_t mtm_limiter_lowered(const mtm_limiter *limiter)
{
    return limiter != NULL ? limiter->lowered : 0;
}
