/* SPDX-License-Identifier: MIT */
/* Restricting a rig to some of its units: what is left is written as if it had been all. */
#include "rig/rig.h"

#include "base/error.h"

#include <metamer/selection.h>

#include <stdlib.h>

#define GONE SIZE_MAX

/* Where each unit goes. */
struct move {
    mtm_rig *rig;
    size_t *to; /* by unit as before; GONE: nowhere */
};

/* The first that is left of those that follow a unit which goes leads the others. */
static void pass_lead(struct move *move, size_t unit, size_t *leader)
{
    mtm_unit *follower = &move->rig->units[unit];
    size_t led_by = (size_t)follower->follows;

    if (leader[led_by] == GONE)
        leader[led_by] = unit;
    if (leader[led_by] == unit)
        follower->follows = -1;
    else
        follower->follows = (int)leader[led_by];
}

static mtm_result pass_leads(struct move *move, mtm_error *error)
{
    mtm_rig *rig = move->rig;
    size_t *leader = malloc((rig->unit_count + 1) * sizeof *leader);

    if (leader == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < rig->unit_count; i++)
        leader[i] = move->to[i] == GONE ? GONE : i;
    for (size_t i = 0; i < rig->unit_count; i++) {
        if (move->to[i] != GONE && rig->units[i].follows >= 0)
            pass_lead(move, i, leader);
    }
    free(leader);
    return MTM_OK;
}

/* A list of the units of a group that are left, perhaps empty; NULL: memory. */
static cJSON *list_left(const struct move *move, const mtmi_group *group)
{
    cJSON *list = cJSON_CreateArray();

    for (size_t i = 0; list != NULL && i < group->unit_count; i++) {
        if (move->to[group->unit[i]] == GONE)
            continue;
        cJSON *name = cJSON_CreateString(move->rig->units[group->unit[i]].name);
        if (name == NULL || !cJSON_AddItemToArray(list, name)) {
            cJSON_Delete(name);
            cJSON_Delete(list);
            return NULL;
        }
    }
    return list;
}

/* The lists of all groups; NULL: memory. */
static cJSON *lists_left(const struct move *move)
{
    const mtmi_groups *groups = &move->rig->groups;
    cJSON *lists = cJSON_CreateArray();

    for (size_t i = 0; lists != NULL && i < groups->count; i++) {
        cJSON *list = list_left(move, &groups->group[i]);
        if (list == NULL || !cJSON_AddItemToArray(lists, list)) {
            cJSON_Delete(list);
            cJSON_Delete(lists);
            return NULL;
        }
    }
    return lists;
}

/* Puts new names into a list of the tree, and takes away the old ones with the new list. */
static void swap_names(cJSON *list, cJSON *names)
{
    cJSON *old = list->child;

    list->child = names->child;
    names->child = old;
}

static void move_groups(struct move *move, cJSON *lists)
{
    mtmi_groups *groups = &move->rig->groups;
    cJSON *object = cJSON_GetObjectItemCaseSensitive(move->rig->tree, "groups");
    cJSON *names = lists->child;
    size_t left = 0;

    groups->member_count = 0;
    for (size_t i = 0; i < groups->count; i++, names = names->next) {
        mtmi_group group = groups->group[i];
        size_t count = 0;
        for (size_t k = 0; k < group.unit_count; k++) {
            if (move->to[group.unit[k]] != GONE)
                group.unit[count++] = move->to[group.unit[k]];
        }
        group.unit_count = count;
        groups->member_count += count;
        if (count == 0) {
            free(group.unit);
            cJSON_DeleteItemFromObjectCaseSensitive(object, group.name);
            continue;
        }
        swap_names(cJSON_GetObjectItemCaseSensitive(object, group.name), names);
        groups->names[left] = (mtmi_named){group.name, left};
        groups->group[left++] = group;
    }
    groups->count = left;
    mtmi_names_sort(groups->names, left);
    if (left == 0)
        cJSON_DeleteItemFromObjectCaseSensitive(move->rig->tree, "groups");
}

static void move_units(struct move *move)
{
    mtm_rig *rig = move->rig;
    cJSON *list = cJSON_GetObjectItemCaseSensitive(rig->tree, "units");
    cJSON *object = list->child;
    size_t left = 0;

    rig->follower_count = 0;
    for (size_t i = 0; i < rig->unit_count; i++) {
        mtm_unit unit = rig->units[i];
        cJSON *next = object->next;
        if (move->to[i] == GONE) {
            if (rig->own != NULL)
                mtm_fixture_free(rig->own[i]);
            cJSON_Delete(cJSON_DetachItemViaPointer(list, object));
        } else {
            if (unit.follows >= 0)
                unit.follows = (int)move->to[unit.follows];
            if (rig->own != NULL)
                rig->own[left] = rig->own[i];
            rig->units[left] = unit;
            rig->unit_names[left] = (mtmi_named){unit.name, left};
            left++;
        }
        object = next;
    }
    for (size_t i = left; rig->own != NULL && i < rig->unit_count; i++)
        rig->own[i] = NULL;
    rig->unit_count = left;
    mtmi_names_sort(rig->unit_names, left);
    for (size_t i = 0; i < left; i++)
        mtmi_rig_enlist(rig, i);
}

static mtm_result restrict_to(struct move *move, mtm_error *error)
{
    cJSON *lists = lists_left(move);
    mtm_result result = lists == NULL ? mtmi_fail_memory(error) : pass_leads(move, error);

    if (result == MTM_OK) {
        move_groups(move, lists);
        move_units(move);
    }
    cJSON_Delete(lists);
    return result;
}

mtm_result mtm_rig_restrict(mtm_rig *rig, const size_t *unit, size_t count, mtm_error *error)
{
    if (rig == NULL || unit == NULL || count < 1)
        return mtmi_fail(error, MTM_INVALID, "a rig and at least one of its units are needed");
    struct move move = {.rig = rig, .to = malloc((rig->unit_count + 1) * sizeof *move.to)};
    if (move.to == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = MTM_OK;
    size_t left = 0;
    for (size_t i = 0; i < rig->unit_count; i++)
        move.to[i] = GONE;
    for (size_t i = 0; i < count && result == MTM_OK; i++) {
        if (unit[i] < rig->unit_count)
            move.to[unit[i]] = 0;
        else
            result = mtmi_fail(error, MTM_INVALID, "unit number %zu: the rig has %zu", unit[i],
                               rig->unit_count);
    }
    for (size_t i = 0; i < rig->unit_count; i++) {
        if (move.to[i] != GONE)
            move.to[i] = left++;
    }
    if (result == MTM_OK)
        result = restrict_to(&move, error);
    free(move.to);
    return result;
}
