/* SPDX-License-Identifier: MIT */
/* Kinds: units sorted by fixture and mode. */
#include "unit/kind.h"

#include "base/error.h"

#include <stdint.h>
#include <stdlib.h>

/* A unit, while those of one fixture and mode are brought together. */
struct listed {
    const mtm_fixture *fixture;
    const mtm_mode *mode;
    size_t place; /* in the list */
};

static int by_kind(const void *a, const void *b)
{
    const struct listed *x = a;
    const struct listed *y = b;

    if (x->fixture != y->fixture)
        return (uintptr_t)x->fixture < (uintptr_t)y->fixture ? -1 : 1;
    if (x->mode != y->mode)
        return (uintptr_t)x->mode < (uintptr_t)y->mode ? -1 : 1;
    return (x->place > y->place) - (x->place < y->place);
}

static size_t unit_at(const size_t *unit, size_t place)
{
    return unit != NULL ? unit[place] : place;
}

/* For each place of the list, the first place of its kind. */
static void find_leaders(struct listed *listed, size_t count, size_t *leader)
{
    qsort(listed, count, sizeof *listed, by_kind);
    for (size_t i = 0; i < count; i++) {
        bool same = i > 0 && listed[i].fixture == listed[i - 1].fixture &&
                    listed[i].mode == listed[i - 1].mode;
        leader[listed[i].place] = same ? leader[listed[i - 1].place] : listed[i].place;
    }
}

/* A leader stands before those it leads, so that its kind has its number when they ask for it. */
static void number(struct mtmi_kinds *kinds, const size_t *unit, size_t count, const size_t *leader)
{
    for (size_t place = 0; place < count; place++) {
        if (leader[place] == place) {
            kinds->first[kinds->count] = unit_at(unit, place);
            kinds->of_unit[unit_at(unit, place)] = kinds->count++;
        } else {
            kinds->of_unit[unit_at(unit, place)] = kinds->of_unit[unit_at(unit, leader[place])];
        }
    }
}

mtm_result mtmi_kinds_create(const mtm_rig *rig, const size_t *unit, size_t count,
                             struct mtmi_kinds *kinds, mtm_error *error)
{
    size_t units = mtm_rig_unit_count(rig);
    struct mtmi_kinds made = {0};
    mtmi_pool work = {0};
    struct listed *listed = mtmi_pool_take(&work, count, sizeof *listed);
    size_t *leader = mtmi_pool_take(&work, count, sizeof *leader);

    made.of_unit = mtmi_pool_take(&made.pool, units, sizeof *made.of_unit);
    made.first = mtmi_pool_take(&made.pool, count, sizeof *made.first);
    if (work.failed || made.pool.failed) {
        mtmi_pool_free(&work);
        mtmi_kinds_free(&made);
        return mtmi_fail_memory(error);
    }
    for (size_t i = 0; i < units; i++)
        made.of_unit[i] = MTMI_NO_KIND;
    for (size_t place = 0; place < count; place++) {
        const mtm_unit *of = mtm_rig_unit(rig, unit_at(unit, place));
        listed[place] = (struct listed){of->fixture, of->mode, place};
    }
    find_leaders(listed, count, leader);
    number(&made, unit, count, leader);
    mtmi_pool_free(&work);
    *kinds = made;
    return MTM_OK;
}

void mtmi_kinds_free(struct mtmi_kinds *kinds)
{
    mtmi_pool_free(&kinds->pool);
    *kinds = (struct mtmi_kinds){0};
}
