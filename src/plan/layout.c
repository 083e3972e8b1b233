/* SPDX-License-Identifier: MIT */
/* Layout: supplies, ports, universes and addresses for the units of a rig. */
#include <metamer/demand.h>
#include <metamer/layout.h>

#include "base/error.h"
#include "plan/layout_address.h"
#include "plan/layout_port.h"
#include "rig/rig.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void mtm_layout_places(const mtm_rig *rig, mtm_place *place)
{
    if (rig == NULL || place == NULL)
        return;
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        place[i] = (mtm_place){unit->universe, unit->address, unit->supply, unit->port};
    }
}

static int slots_of(const mtm_rig *rig, size_t unit)
{
    return (int)mtm_rig_unit(rig, unit)->mode->slot_count;
}

static mtm_result check_wanted(const mtm_rig *rig, size_t index, mtm_place wanted, mtm_error *error)
{
    const mtm_unit *unit = mtm_rig_unit(rig, index);
    int last = MTM_ADDRESS_MAX - slots_of(rig, index) + 1;

    if (wanted.address != 0 && unit->follows >= 0)
        return mtmi_fail(error, MTM_INVALID,
                         "unit \"%.60s\" follows \"%.60s\"; move that one and this one goes along",
                         unit->name, mtm_rig_unit(rig, (size_t)unit->follows)->name);
    if (wanted.address != 0 && (wanted.universe < 1 || wanted.universe > MTM_UNIVERSE_MAX))
        return mtmi_fail(error, MTM_INVALID,
                         "unit \"%.60s\": found universe %d, allowed is 1 to %d", unit->name,
                         wanted.universe, MTM_UNIVERSE_MAX);
    if (wanted.address < 0 || wanted.address > last)
        return mtmi_fail(error, MTM_INVALID,
                         "unit \"%.60s\": found address %d; its mode has %d slots, so allowed is 1 "
                         "to %d",
                         unit->name, wanted.address, slots_of(rig, index), last);
    if (wanted.supply < -1 || wanted.supply >= (int)mtm_rig_supply_count(rig))
        return mtmi_fail(error, MTM_INVALID, "unit \"%.60s\": there is no supply number %d",
                         unit->name, wanted.supply);
    int ports = wanted.supply >= 0 ? mtm_rig_supply(rig, (size_t)wanted.supply)->ports : 0;
    if (wanted.port < 0 || wanted.port > ports)
        return mtmi_fail(error, MTM_INVALID,
                         "unit \"%.60s\": found port %d, allowed is 1 to %d or 0 for open",
                         unit->name, wanted.port, ports);
    return MTM_OK;
}

mtm_result mtm_layout_move(const mtm_rig *rig, mtm_place *place, size_t unit, mtm_place wanted,
                           mtm_error *error)
{
    if (rig == NULL || place == NULL || unit >= mtm_rig_unit_count(rig))
        return mtmi_fail(error, MTM_INVALID, "a unit of the rig is needed");
    mtm_result result = check_wanted(rig, unit, wanted, error);
    if (result != MTM_OK)
        return result;
    if (wanted.supply >= 0) {
        place[unit].supply = wanted.supply;
        place[unit].port = wanted.port;
    }
    if (wanted.address == 0)
        return MTM_OK;
    place[unit].universe = wanted.universe;
    place[unit].address = wanted.address;
    int last = wanted.address + slots_of(rig, unit) - 1;
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        bool there = place[i].universe == wanted.universe && place[i].address > 0 &&
                     place[i].address <= last &&
                     place[i].address + slots_of(rig, i) - 1 >= wanted.address;
        if (there && i != unit && mtm_rig_unit(rig, i)->follows < 0)
            place[i].universe = place[i].address = 0;
    }
    return MTM_OK;
}

static mtm_result fill_ports(const mtm_rig *rig, double share, mtm_place *place,
                             mtm_layout_report *report, mtm_error *error)
{
    size_t count = mtm_rig_unit_count(rig);
    size_t supply_count = mtm_rig_supply_count(rig);
    mtmi_feed *feeds = calloc(count + 1, sizeof *feeds);
    mtm_supply *supplies = calloc(supply_count + 1, sizeof *supplies);
    mtm_result result = MTM_OK;

    if (feeds == NULL || supplies == NULL) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    for (size_t s = 0; s < supply_count; s++) {
        supplies[s] = *mtm_rig_supply(rig, s);
        supplies[s].port_w *= share;
        supplies[s].total_w *= share;
    }
    for (size_t i = 0; i < count; i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        feeds[i] = (mtmi_feed){unit->name, mtm_demand_full_w(unit), place[i].supply, place[i].port};
        report->open_ports += place[i].port == 0;
    }
    result = mtmi_port_feeds(feeds, count, supplies, supply_count, &report->port, error);
    if (result == MTM_RANGE && share < 1) {
        char prefix[80];
        (void)snprintf(prefix, sizeof prefix, "with %.4g %% of each rating", share * 100);
        mtmi_error_prefix(error, prefix);
    }
    for (size_t i = 0; i < count && result == MTM_OK; i++) {
        place[i].supply = feeds[i].supply;
        place[i].port = feeds[i].port;
    }
    report->has_ports = true;
done:
    free(supplies);
    free(feeds);
    return result;
}

/* A unit with slots of its own, to be sorted by supply, port and file. */
typedef struct turn {
    unsigned supply; /* none last */
    int port;
    size_t unit;
} turn;

static int by_turn(const void *a, const void *b)
{
    const turn *p = a;
    const turn *q = b;

    if (p->supply != q->supply)
        return p->supply < q->supply ? -1 : 1;
    if (p->port != q->port)
        return p->port < q->port ? -1 : 1;
    return p->unit < q->unit ? -1 : p->unit > q->unit;
}

static size_t list_turns(const mtm_rig *rig, const mtm_place *place, turn *turns)
{
    size_t used = 0;

    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        if (mtm_rig_unit(rig, i)->follows < 0)
            turns[used++] = (turn){(unsigned)place[i].supply, place[i].port, i};
    }
    qsort(turns, used, sizeof *turns, by_turn);
    return used;
}

static mtmi_block block_of(const mtm_rig *rig, const turn *at, const mtm_place *place)
{
    return (mtmi_block){
        .name = mtm_rig_unit(rig, at->unit)->name,
        .slots = slots_of(rig, at->unit),
        .group = place->supply >= 0 ? (uint32_t)place->supply : MTMI_GROUP_NONE,
        .universe = place->universe,
        .address = place->address,
    };
}

/* The followers of a unit have its address. */
static void lead(const mtm_rig *rig, mtm_place *place)
{
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        int leader = mtm_rig_unit(rig, i)->follows;
        if (leader < 0)
            continue;
        place[i].universe = place[leader].universe;
        place[i].address = place[leader].address;
    }
}

/* How many universes it would take with every address open. */
static mtm_result count_renumbered(const mtmi_block *blocks, size_t count,
                                   mtm_layout_report *report, mtm_error *error)
{
    mtm_address_report open = {0};
    mtmi_block *copy = NULL;

    report->universes_renumbered = report->address.universes;
    if (report->address.universes <= 1)
        return MTM_OK;
    copy = calloc(count + 1, sizeof *copy);
    if (copy == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count; i++) {
        copy[i] = blocks[i];
        copy[i].universe = copy[i].address = 0;
    }
    mtm_result result = mtmi_address_blocks(copy, count, 1, &open, error);
    free(copy);
    if (result == MTM_OK && open.universes < report->universes_renumbered)
        report->universes_renumbered = open.universes;
    return result;
}

static mtm_result fill_addresses(const mtm_rig *rig, int first_universe, mtm_place *place,
                                 mtm_layout_report *report, mtm_error *error)
{
    size_t count = mtm_rig_unit_count(rig);
    turn *turns = calloc(count + 1, sizeof *turns);
    mtmi_block *blocks = calloc(count + 1, sizeof *blocks);
    mtm_result result = MTM_OK;

    if (turns == NULL || blocks == NULL) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    size_t used = list_turns(rig, place, turns);
    for (size_t i = 0; i < used; i++) {
        blocks[i] = block_of(rig, &turns[i], &place[turns[i].unit]);
        report->open_addresses += blocks[i].address == 0;
    }
    result = mtmi_address_blocks(blocks, used, first_universe, &report->address, error);
    if (result == MTM_OK)
        result = count_renumbered(blocks, used, report, error);
    for (size_t i = 0; i < used && result == MTM_OK; i++) {
        place[turns[i].unit].universe = blocks[i].universe;
        place[turns[i].unit].address = blocks[i].address;
    }
    lead(rig, place);
done:
    free(blocks);
    free(turns);
    return result;
}

static mtm_result check_options(const mtm_layout_options *options, mtm_error *error)
{
    if (options == NULL)
        return MTM_OK;
    if (options->first_universe < 0 || options->first_universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_INVALID, "the first universe is %d; allowed are 1 to %d",
                         options->first_universe, MTM_UNIVERSE_MAX);
    if (!(options->supply_share >= 0 && options->supply_share <= 1))
        return mtmi_fail(error, MTM_INVALID, "the part of a rating is %g; allowed is 0 to 1",
                         options->supply_share);
    return MTM_OK;
}

mtm_result mtm_layout_fill(const mtm_rig *rig, const mtm_layout_options *options, mtm_place *place,
                           mtm_layout_report *report, mtm_error *error)
{
    mtm_layout_report made = {0};
    mtm_place *filled = NULL;

    if (rig == NULL || place == NULL || report == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig, places and a report are needed");
    mtm_result result = check_options(options, error);
    size_t count = mtm_rig_unit_count(rig);
    for (size_t i = 0; result == MTM_OK && i < count; i++) /* they index tables below */
        result = mtmi_rig_check_place(rig, mtm_rig_unit(rig, i), place[i], error);
    if (result != MTM_OK)
        return result;
    int first = options != NULL && options->first_universe > 0 ? options->first_universe : 1;
    double share = options != NULL && options->supply_share > 0 ? options->supply_share : 1;
    filled = calloc(count + 1, sizeof *filled);
    if (filled == NULL)
        return mtmi_fail_memory(error);
    memcpy(filled, place, count * sizeof *filled);
    lead(rig, filled);
    if (mtm_rig_supply_count(rig) > 0)
        result = fill_ports(rig, share, filled, &made, error);
    if (result == MTM_OK)
        result = fill_addresses(rig, first, filled, &made, error);
    if (result == MTM_OK) {
        memcpy(place, filled, count * sizeof *filled);
        *report = made;
    }
    free(filled);
    return result;
}

mtm_result mtm_layout_apply(mtm_rig *rig, const mtm_place *place, mtm_error *error)
{
    mtm_result result = MTM_OK;

    if (rig == NULL || place == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig and places are needed");
    for (int pass = 0; pass < 2; pass++) { /* leaders first: their followers go along */
        for (size_t i = 0; i < mtm_rig_unit_count(rig) && result == MTM_OK; i++) {
            if ((mtm_rig_unit(rig, i)->follows >= 0) == (pass == 1))
                result = mtm_rig_set_place(rig, i, place[i], error);
        }
    }
    return result == MTM_OK ? mtm_rig_check(rig, error) : result;
}
