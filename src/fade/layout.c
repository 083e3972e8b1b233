/* SPDX-License-Identifier: MIT */
/* Fader: which universes and slots a rig has, and where each channel goes. */
#include "fade/fader.h"

#include "base/error.h"
#include "fixture/slot.h"
#include "unit/kind.h"
#include "unit/slots.h"

#include <metamer/rig.h>

#include <stdlib.h>

/* Makes the kinds, each of its first unit, and gives every unit its own. */
static mtm_result share_kinds(mtm_fader *fader, const struct mtmi_kinds *kinds, mtm_error *error)
{
    fader->kinds = mtmi_pool_take(&fader->pool, kinds->count, sizeof *fader->kinds);
    if (fader->kinds == NULL)
        return mtmi_fail_memory(error);
    for (size_t k = 0; k < kinds->count; k++) {
        const mtm_unit *unit = mtm_rig_unit(fader->rig, kinds->first[k]);
        mtmi_kind *kind = &fader->kinds[k];
        mtm_result result = mtmi_kind_from(
            unit->fixture, unit->mode, mtm_show_observer(fader->show), &fader->levels, kind, error);
        if (result != MTM_OK)
            return result;
        fader->kind_count++;
        result = mtmi_kind_share_tables(&fader->tables, kind, error);
        if (result != MTM_OK)
            return result;
    }
    for (size_t i = 0; i < fader->unit_count; i++)
        fader->runners[i].kind = &fader->kinds[kinds->of_unit[i]];
    return MTM_OK;
}

static mtm_result lay_out_kinds(mtm_fader *fader, mtm_error *error)
{
    struct mtmi_kinds kinds;
    mtm_result result = mtmi_kinds_create(fader->rig, NULL, fader->unit_count, &kinds, error);

    if (result != MTM_OK)
        return result;
    result = share_kinds(fader, &kinds, error);
    mtmi_kinds_free(&kinds);
    return result;
}

static bool placed(const mtm_unit *unit)
{
    return unit->universe > 0 && unit->address > 0;
}

static int by_number(const void *a, const void *b)
{
    const mtm_frame_universe *x = a;
    const mtm_frame_universe *y = b;

    return (x->universe > y->universe) - (x->universe < y->universe);
}

/* Each universe once, rising, with as many slots as its units use. */
static mtm_result lay_out_universes(mtm_fader *fader, mtm_error *error)
{
    mtm_frame_universe *list = mtmi_pool_take(&fader->pool, fader->unit_count, sizeof *list);
    size_t used = 0;
    size_t count = 0;

    if (list == NULL)
        return mtmi_fail_memory(error);
    fader->universes = list;
    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtm_unit *unit = mtm_rig_unit(fader->rig, i);
        if (placed(unit) && fader->meant[i])
            list[used++] = (mtm_frame_universe){
                (uint16_t)unit->universe,
                (uint16_t)((size_t)unit->address + unit->mode->slot_count - 1)};
    }
    qsort(list, used, sizeof *list, by_number);
    for (size_t i = 0; i < used; i++) {
        if (count == 0 || list[count - 1].universe != list[i].universe)
            list[count++] = list[i];
        else if (list[count - 1].slot_count < list[i].slot_count)
            list[count - 1].slot_count = list[i].slot_count;
    }
    fader->layout.universe_count = count;
    fader->layout.universe = list;
    return MTM_OK;
}

mtm_result mtmi_fader_has_slots(const mtm_fader *fader, mtm_error *error)
{
    if (fader->layout.universe_count > 0)
        return MTM_OK;
    for (size_t i = 0; i < fader->unit_count; i++)
        if (!fader->meant[i])
            return mtmi_fail(error, MTM_NOT_FOUND,
                             "none of the chosen units has a universe and an address");
    return mtmi_fail(error, MTM_NOT_FOUND,
                     "no unit of the rig \"%.60s\" has a universe and an address; \"metamer "
                     "layout\" gives them",
                     mtm_rig_name(fader->rig));
}

static size_t universe_index(const mtm_fader *fader, int universe)
{
    const mtm_frame_universe wanted = {.universe = (uint16_t)universe};
    const mtm_frame_universe *found =
        bsearch(&wanted, fader->universes, fader->layout.universe_count, sizeof wanted, by_number);

    return found != NULL ? (size_t)(found - fader->universes) : 0;
}

/* Lanes of a rig, by what moves them: their number so far, then where the next one stands. */
struct lanes_by_class {
    size_t wide, narrow, careful;
};

static size_t *class_of(const mtmi_kind *kind, size_t channel, struct lanes_by_class *lanes)
{
    return kind->careful[channel]      ? &lanes->careful
           : kind->most[channel] > 255 ? &lanes->wide
                                       : &lanes->narrow;
}

static struct lanes_by_class count_lanes(const mtm_fader *fader)
{
    struct lanes_by_class count = {0, 0, 0};

    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtmi_kind *kind = fader->runners[i].kind;

        for (size_t k = 0; k < kind->channel_count; k++)
            ++*class_of(kind, k, &count);
    }
    return count;
}

/* Where the slots of a unit go, and what those carry that belong to no channel. start is the unit's
 * first slot. */
static void place_slots(mtm_fader *fader, mtmi_runner *runner, size_t start)
{
    const mtm_mode *mode = runner->kind->mode;
    mtmi_lanes *lanes = &fader->lanes;
    uint32_t *const byte[MTMI_BYTES_MAX] = {lanes->coarse, lanes->fine, lanes->ultra};

    for (size_t i = 0; i < mode->slot_count; i++) {
        const mtm_slot *slot = &mode->slots[i];
        struct mtmi_carried carried = mtmi_slot_carries(slot);
        bool dims = carried.channel == MTMI_DIMMER_CHANNEL;
        uint32_t at = (uint32_t)(start + i);

        fader->owned[at] = true;
        if (carried.channel == MTMI_NO_CHANNEL) {
            lanes->slots[at] = slot->role == MTM_SLOT_OPEN ? slot->dark : slot->fixed;
            runner->shuts = runner->shuts || slot->role == MTM_SLOT_OPEN;
            fader->shuts = fader->shuts || runner->shuts;
            continue;
        }
        if (runner->kind->mixed != NULL)
            continue; /* mixed.c sends it */
        size_t channel = dims ? runner->kind->emitters.count : carried.channel;
        byte[carried.byte][runner->lane[channel]] = at;
    }
    runner->start = start;
    runner->placed = true;
}

/* What is sent in place of a unit that is not played, as far as slots of its universe are sent. */
static void put_dark(mtm_fader *fader, const mtm_unit *unit)
{
    const size_t first = (size_t)unit->address - 1;
    uint8_t slot[MTM_SLOTS_MAX];

    mtm_black_to_slots(unit->mode, slot);
    for (size_t u = 0; u < fader->layout.universe_count; u++) {
        size_t sent = fader->universes[u].slot_count;

        for (size_t k = 0; fader->universes[u].universe == unit->universe &&
                           k < unit->mode->slot_count && first + k < sent;
             k++)
            fader->lanes.slots[fader->universe_start[u] + first + k] = slot[k];
    }
}

void mtmi_fader_shut(mtm_fader *fader)
{
    if (!fader->shuts)
        return; /* nearly all rigs: no pass over all units at each frame */
    for (size_t i = 0; i < fader->unit_count; i++) {
        const mtmi_runner *runner = &fader->runners[i];
        const mtm_mode *mode = runner->kind->mode;
        mtm_codes codes;

        if (!runner->shuts)
            continue;
        mtmi_runner_codes(fader, runner, &codes);
        bool out = mtmi_codes_are_out(mode, &codes);
        for (size_t k = 0; k < mode->slot_count; k++) {
            const mtm_slot *slot = &mode->slots[k];
            if (slot->role == MTM_SLOT_OPEN)
                fader->lanes.slots[runner->start + k] = out ? slot->dark : slot->fixed;
        }
    }
}

static void place_units(mtm_fader *fader)
{
    struct lanes_by_class next = {0, fader->lanes.wide, fader->lanes.narrow_end};

    for (size_t i = 0; i < fader->unit_count; i++) {
        mtmi_runner *runner = &fader->runners[i];
        const mtm_unit *unit = mtm_rig_unit(fader->rig, i);

        for (size_t k = 0; k < runner->kind->channel_count; k++) {
            size_t lane = (*class_of(runner->kind, k, &next))++;

            runner->lane[k] = lane;
            if (lane >= fader->lanes.narrow_end)
                fader->lanes.own[lane] = &runner->kind->table[k];
            else if (lane >= fader->lanes.wide && fader->periods != NULL) {
                size_t kind = (size_t)(runner->kind - fader->kinds);
                fader->lanes.period[lane] = fader->periods + 256 * (kind * MTMI_CHANNELS_MAX + k);
            }
        }
        if (!placed(unit) || unit->follows >= 0) /* their slots are the leader's to fill */
            continue;
        if (!fader->meant[i])
            put_dark(fader, unit);
        else
            place_slots(fader, runner,
                        fader->universe_start[universe_index(fader, unit->universe)] +
                            (size_t)unit->address - 1);
    }
}

/* How slowly each 8-bit channel of each kind may be dithered at each code. */
static mtm_result lay_out_periods(mtm_fader *fader, mtm_error *error)
{
    if (!fader->dither)
        return MTM_OK;
    fader->periods = mtmi_pool_take(&fader->pool, fader->kind_count * MTMI_CHANNELS_MAX, 256);
    if (fader->periods == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < fader->kind_count; i++) {
        const mtmi_kind *kind = &fader->kinds[i];

        for (size_t k = 0; k < kind->channel_count; k++) {
            uint8_t *period = fader->periods + 256 * (i * MTMI_CHANNELS_MAX + k);

            for (int code = 0; kind->most[k] == MTM_CODE_MAX_8 && code < MTM_CODE_MAX_8; code++)
                period[code] =
                    mtmi_dither_period(mtmi_level_of(kind, k, code),
                                       mtmi_level_of(kind, k, code + 1), fader->layout.rate_hz);
        }
    }
    return MTM_OK;
}

static mtm_result check_refresh(const mtm_fader *fader, bool any_rate, mtm_error *error)
{
    mtm_result result = any_rate ? MTM_OK : mtm_e111_check(&fader->layout, error);

    if (result != MTM_OK)
        return result;
    /* a rig that is not laid out yet has fades, and no frames */
    return fader->layout.universe_count > 0 ? mtm_frame_layout_check(&fader->layout, error)
                                            : MTM_OK;
}

mtm_result mtmi_fader_lay_out(mtm_fader *fader, bool any_rate, mtm_error *error)
{
    size_t slots = 0;
    mtm_result result = lay_out_kinds(fader, error);

    if (result == MTM_OK)
        result = lay_out_universes(fader, error);
    if (result == MTM_OK)
        result = lay_out_periods(fader, error);
    if (result != MTM_OK)
        return result;
    fader->cached = mtmi_pool_take(&fader->pool, fader->kind_count, sizeof *fader->cached);
    fader->youngest = mtmi_pool_take(&fader->pool, fader->kind_count, sizeof(mtmi_runner *));
    fader->universe_start =
        mtmi_pool_take(&fader->pool, fader->layout.universe_count, sizeof *fader->universe_start);
    if (fader->pool.failed)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < fader->layout.universe_count; i++) {
        fader->universe_start[i] = slots;
        slots += fader->universes[i].slot_count;
    }
    const struct lanes_by_class count = count_lanes(fader);
    fader->owned = mtmi_pool_take(&fader->pool, slots, sizeof *fader->owned);
    if (fader->pool.failed)
        return mtmi_fail_memory(error);
    result = mtmi_lanes_create(&fader->lanes, count.wide + count.narrow + count.careful, count.wide,
                               slots, error);
    if (result != MTM_OK)
        return result;
    fader->lanes.narrow_end = count.wide + count.narrow;
    fader->lanes.dither = fader->dither;
    place_units(fader);
    for (size_t i = 0; i < fader->unit_count; i++) {
        mtmi_runner *runner = &fader->runners[i];
        runner->transition =
            (mtmi_transition){.kind = runner->kind, .to = mtmi_end_dark(runner->kind)};
        if (runner->kind->mixed != NULL)
            mtmi_runner_send_mixed(fader, runner, &runner->mixed);
        for (size_t k = 0; k < runner->kind->channel_count; k++)
            mtmi_lane_rest(&fader->lanes, runner->lane[k], runner->kind->straight[k], 0);
    }
    return check_refresh(fader, any_rate, error);
}
