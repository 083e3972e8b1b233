/* SPDX-License-Identifier: MIT */
/* Layout plan: what a picture of a layout shows, gathered. */
#include "picture/plan/layout_plan.h"

#include "base/error.h"

#include <metamer/demand.h>

#include <stdint.h>
#include <stdlib.h>

/* A unit and what it is sorted by. */
struct key {
    int64_t at;
    size_t unit;
};

static int compare_keys(const void *a, const void *b)
{
    const struct key *one = a, *other = b;

    if (one->at != other->at)
        return one->at < other->at ? -1 : 1;
    return one->unit < other->unit ? -1 : 1;
}

bool mtmi_plan_readdressed(const mtm_layout_view *view, size_t unit)
{
    const mtm_place *now = &view->place[unit];
    const mtm_place *was = view->was != NULL ? &view->was[unit] : now;

    return was->universe != now->universe || was->address != now->address;
}

bool mtmi_plan_replugged(const mtm_layout_view *view, size_t unit)
{
    const mtm_place *now = &view->place[unit];
    const mtm_place *was = view->was != NULL ? &view->was[unit] : now;

    return was->supply != now->supply || was->port != now->port;
}

/* Units without an address, or without a supply, come last. */
static int64_t slot_key(const mtm_place *place)
{
    return place->address > 0 ? (int64_t)place->universe * 1024 + place->address : INT64_MAX;
}

static int64_t port_key(const mtm_place *place)
{
    int64_t port = place->port > 0 ? place->port : 1000;

    return place->supply >= 0 ? (int64_t)place->supply * 1024 + port : INT64_MAX;
}

static mtm_result sort_units(const mtmi_layout_plan *plan, int64_t (*key_of)(const mtm_place *),
                             size_t *order, mtm_error *error)
{
    struct key *key = calloc(plan->units, sizeof *key);

    if (key == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < plan->units; i++)
        key[i] = (struct key){key_of(&plan->of->place[i]), i};
    qsort(key, plan->units, sizeof *key, compare_keys);
    for (size_t i = 0; i < plan->units; i++)
        order[i] = key[i].unit;
    free(key);
    return MTM_OK;
}

/* Slots of a unit that none before it has: those that follow another have its own. */
static size_t new_slots(const mtmi_layout_plan *plan, size_t unit, int *next)
{
    int address = plan->of->place[unit].address;
    int end = address + (int)mtm_rig_unit(plan->of->rig, unit)->mode->slot_count;
    int from = address > *next ? address : *next;

    *next = end > *next ? end : *next;
    return end > from ? (size_t)(end - from) : 0;
}

static void cut_universes(mtmi_layout_plan *plan)
{
    mtmi_plan_run *run = plan->universe;
    size_t count = 0;
    int next = 0;

    for (size_t i = 0; i < plan->units; i++) {
        const mtm_place *place = &plan->of->place[plan->by_slot[i]];
        if (place->address == 0)
            break;
        if (count == 0 || run[count - 1].universe != place->universe) {
            run[count++] = (mtmi_plan_run){.first = i, .universe = place->universe};
            next = 0;
        }
        run[count - 1].count++;
        run[count - 1].slots += new_slots(plan, plan->by_slot[i], &next);
    }
    plan->universe_count = count;
}

static void cut_ports(mtmi_layout_plan *plan)
{
    mtmi_plan_run *run = plan->port;
    size_t count = 0;

    for (size_t i = 0; i < plan->units; i++) {
        const mtm_place *place = &plan->of->place[plan->by_port[i]];
        if (count == 0 || run[count - 1].supply != place->supply ||
            run[count - 1].port != place->port)
            run[count++] =
                (mtmi_plan_run){.first = i, .supply = place->supply, .port = place->port};
        run[count - 1].count++;
        run[count - 1].watts += mtm_demand_full_w(mtm_rig_unit(plan->of->rig, plan->by_port[i]));
    }
    plan->port_count = count;
}

/* Fixtures and modes in the order of their first units; many kinds share the last number. */
static void number_kinds(mtmi_layout_plan *plan)
{
    enum { KINDS = 64 };
    const mtm_mode *mode[KINDS];
    size_t count = 0;

    for (size_t i = 0; i < plan->units; i++) {
        const mtm_mode *own = mtm_rig_unit(plan->of->rig, i)->mode;
        size_t k = 0;
        while (k < count && mode[k] != own)
            k++;
        if (k == count && count < KINDS)
            mode[count++] = own;
        plan->kind[i] = k;
    }
}

mtm_result mtmi_layout_plan_gather(const mtm_layout_view *of, mtmi_layout_plan *plan,
                                   mtm_error *error)
{
    size_t units = mtm_rig_unit_count(of->rig);

    *plan = (mtmi_layout_plan){.of = of,
                               .units = units,
                               .by_slot = calloc(units, sizeof *plan->by_slot),
                               .by_port = calloc(units, sizeof *plan->by_port),
                               .universe = calloc(units, sizeof *plan->universe),
                               .port = calloc(units, sizeof *plan->port),
                               .kind = calloc(units, sizeof *plan->kind)};
    if (plan->by_slot == NULL || plan->by_port == NULL || plan->universe == NULL ||
        plan->port == NULL || plan->kind == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = sort_units(plan, slot_key, plan->by_slot, error);
    if (result == MTM_OK)
        result = sort_units(plan, port_key, plan->by_port, error);
    if (result != MTM_OK)
        return result;
    cut_universes(plan);
    cut_ports(plan);
    number_kinds(plan);
    for (size_t i = 0; i < units; i++) {
        plan->readdressed += mtmi_plan_readdressed(of, i);
        plan->replugged += mtmi_plan_replugged(of, i);
    }
    return MTM_OK;
}

void mtmi_layout_plan_free(mtmi_layout_plan *plan)
{
    free(plan->by_slot);
    free(plan->by_port);
    free(plan->universe);
    free(plan->port);
    free(plan->kind);
}
