/* SPDX-License-Identifier: MIT */
/* Groups: units under one name, stated by terms that may name other groups. */
#include "rig/group.h"

#include "rig/rig.h"
#include "rig/selection.h"

#include "base/error.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TOO_MANY_MEMBERS "the groups hold more than %d units together"

/* A table of groups while it is read. */
struct reading {
    const mtm_rig *rig;
    mtmi_groups *groups;
    const mtmi_node *list;
    const cJSON *item[MTMI_GROUPS_MAX]; /* by group */
    size_t open[MTMI_GROUPS_MAX];       /* groups that are looked into, each in the one before */
    size_t depth;
};

static mtm_result check_name(const mtm_rig *rig, const mtmi_groups *groups, const char *name,
                             mtm_error *error)
{
    if (name[0] == '\0' || strcmp(name, "all") == 0)
        return mtmi_fail(error, MTM_INVALID,
                         "a group needs a name other than \"all\", which means every unit of the "
                         "rig");
    for (const char *c = name; *c != '\0'; c++) {
        if ((unsigned char)*c < 0x20 || *c == 0x7f)
            return mtmi_fail(error, MTM_INVALID, "found a control character in the name");
    }
    if (strlen(name) > MTMI_JSON_STRING_MAX)
        return mtmi_fail(error, MTM_INVALID, "found a name of %zu bytes, allowed are 1 to %d",
                         strlen(name), MTMI_JSON_STRING_MAX);
    if (mtmi_names_find(rig->unit_names, rig->unit_count, name) != NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a unit of the rig has the name \"%.60s\"; a group needs another", name);
    if (mtmi_groups_find(groups, name) != NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "the rig has a group \"%.60s\" already; a group needs another name", name);
    return MTM_OK;
}

static mtm_result count_members(mtmi_groups *groups, size_t count, mtm_error *error)
{
    groups->member_count += count;
    if (groups->member_count <= MTMI_GROUP_UNITS_MAX)
        return MTM_OK;
    return mtmi_fail(error, MTM_LIMIT, TOO_MANY_MEMBERS, MTMI_GROUP_UNITS_MAX);
}

/* A group that leads back to itself: names the way. */
static mtm_result fail_circle(const mtmi_node *node, const struct reading *reading, size_t group,
                              mtm_error *error)
{
    char way[240];
    size_t used = 0;
    size_t i = reading->depth;

    while (i > 0 && reading->open[i - 1] != group)
        i--;
    for (i--; i < reading->depth && used < sizeof way; i++) {
        int more = snprintf(way + used, sizeof way - used, "\"%.40s\" holds ",
                            reading->groups->group[reading->open[i]].name);
        used += more > 0 ? (size_t)more : 0;
    }
    return mtmi_json_fail(node, error, "groups in a circle: %s\"%.40s\"", way,
                          reading->groups->group[group].name);
}

static mtm_result resolve(struct reading *reading, size_t group, mtm_error *error);

/* Looks first into the groups of this table that a list names. */
static mtm_result resolve_named(struct reading *reading, const mtmi_node *list, mtm_error *error)
{
    const mtm_rig *rig = reading->rig;
    const mtmi_groups *groups = reading->groups;
    mtmi_node node;

    for (bool more = mtmi_json_first(list, &node); more; more = mtmi_json_next(&node)) {
        const char *name = cJSON_IsString(node.item) ? node.item->valuestring : "";
        if (mtmi_names_find(rig->unit_names, rig->unit_count, name) != NULL)
            continue;
        const mtmi_named *found = mtmi_names_find(groups->names, groups->count, name);
        if (found == NULL && name[0] == '!')
            found = mtmi_names_find(groups->names, groups->count, name + 1 + strspn(name + 1, " "));
        if (found == NULL || groups->group[found->index].unit != NULL)
            continue;
        for (size_t i = 0; i < reading->depth; i++) {
            if (reading->open[i] == found->index)
                return fail_circle(&node, reading, found->index, error);
        }
        mtm_result result = resolve(reading, found->index, error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

static mtm_result choose(struct reading *reading, size_t group, const mtmi_node *list,
                         mtm_error *error)
{
    mtmi_groups *groups = reading->groups;
    mtmi_selection selection;
    mtm_error inner = {""};
    mtm_result result =
        mtmi_selection_begin(&selection, reading->rig, groups, &groups->work, error);

    if (result == MTM_OK)
        result = mtmi_selection_read(list, &selection, error);
    if (result == MTM_OK) {
        result = mtmi_selection_end(&selection, &inner);
        if (result == MTM_OK)
            result = count_members(groups, selection.count, &inner);
        if (result != MTM_OK)
            result = mtmi_json_fail_as(list, result, &inner, error);
    }
    if (result == MTM_OK)
        groups->group[group].unit =
            mtmi_selection_take(&selection, &groups->group[group].unit_count);
    mtmi_selection_free(&selection);
    return result;
}

/* Finds the units of a group; at most MTMI_GROUPS_MAX deep. */
static mtm_result resolve(struct reading *reading, size_t group, mtm_error *error)
{
    const mtmi_node node = {.item = reading->item[group],
                            .file = reading->list->file,
                            .parent = reading->list,
                            .key = reading->groups->group[group].name};

    if (!cJSON_IsArray(node.item))
        return mtmi_json_fail(&node, error,
                              "found %s, wanted is a list of units, groups or patterns",
                              mtmi_json_type(node.item));
    reading->open[reading->depth++] = group;
    mtm_result result = resolve_named(reading, &node, error);
    reading->depth--;
    return result == MTM_OK ? choose(reading, group, &node, error) : result;
}

static mtm_result read_names(struct reading *reading, mtm_error *error)
{
    mtmi_node node;
    mtm_error inner = {""};

    for (bool more = mtmi_json_first(reading->list, &node); more; more = mtmi_json_next(&node)) {
        mtm_result result = check_name(reading->rig, reading->groups, node.key, &inner);
        if (result == MTM_OK)
            result = mtmi_groups_add(reading->groups, node.key, &inner);
        if (result != MTM_OK)
            return mtmi_json_fail_as(&node, result, &inner, error);
        reading->item[reading->groups->count - 1] = node.item;
    }
    return MTM_OK;
}

mtm_result mtmi_groups_read(const mtmi_node *root, const mtm_rig *rig, mtmi_groups *groups,
                            mtm_error *error)
{
    mtmi_node list;

    if (!mtmi_json_child(root, "groups", &list))
        return MTM_OK;
    if (!cJSON_IsObject(list.item))
        return mtmi_json_fail(&list, error, "found %s, wanted is an object of lists by name",
                              mtmi_json_type(list.item));
    if (cJSON_GetArraySize(list.item) > MTMI_GROUPS_MAX)
        return mtmi_json_fail(&list, error, "found %d groups, allowed are at most %d",
                              cJSON_GetArraySize(list.item), MTMI_GROUPS_MAX);
    struct reading reading = {.rig = rig, .groups = groups, .list = &list};
    mtm_result result = read_names(&reading, error);
    for (size_t i = 0; result == MTM_OK && i < groups->count; i++) {
        if (groups->group[i].unit == NULL)
            result = resolve(&reading, i, error);
    }
    return result;
}

size_t mtm_rig_group_count(const mtm_rig *rig)
{
    return rig != NULL ? rig->groups.count : 0;
}

const char *mtm_rig_group_name(const mtm_rig *rig, size_t index)
{
    return index < mtm_rig_group_count(rig) ? rig->groups.group[index].name : NULL;
}

const size_t *mtm_rig_group(const mtm_rig *rig, size_t index, size_t *unit_count)
{
    if (index >= mtm_rig_group_count(rig) || unit_count == NULL)
        return NULL;
    *unit_count = rig->groups.group[index].unit_count;
    return rig->groups.group[index].unit;
}

/* The names of units as a list of the file; NULL: memory. */
static cJSON *names_of(const mtm_rig *rig, const size_t *unit, size_t count)
{
    cJSON *list = cJSON_CreateArray();

    for (size_t i = 0; list != NULL && i < count; i++) {
        cJSON *name = cJSON_CreateString(rig->units[unit[i]].name);
        if (name == NULL || !cJSON_AddItemToArray(list, name)) {
            cJSON_Delete(name);
            cJSON_Delete(list);
            return NULL;
        }
    }
    return list;
}

/* Puts the list into the tree, which then owns it; NULL: memory. */
static const char *put_list(mtm_rig *rig, const char *name, cJSON *list)
{
    cJSON *groups = cJSON_GetObjectItemCaseSensitive(rig->tree, "groups");

    if (groups == NULL)
        groups = cJSON_AddObjectToObject(rig->tree, "groups");
    if (groups != NULL && list != NULL && cJSON_AddItemToObject(groups, name, list))
        return list->string;
    cJSON_Delete(list);
    return NULL;
}

static mtm_result check_added(const mtm_rig *rig, const char *name, const size_t *unit,
                              size_t count, mtm_error *error)
{
    mtm_result result = check_name(rig, &rig->groups, name, error);

    if (result != MTM_OK)
        return result;
    if (rig->groups.count >= MTMI_GROUPS_MAX)
        return mtmi_fail(error, MTM_LIMIT, "a rig has at most %d groups", MTMI_GROUPS_MAX);
    if (rig->groups.member_count + count > MTMI_GROUP_UNITS_MAX)
        return mtmi_fail(error, MTM_LIMIT, TOO_MANY_MEMBERS, MTMI_GROUP_UNITS_MAX);
    bool *seen = calloc(rig->unit_count + 1, sizeof *seen);
    if (seen == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count && result == MTM_OK; i++) {
        if (unit[i] >= rig->unit_count || seen[unit[i]])
            result = mtmi_fail(error, MTM_INVALID,
                               "group \"%.60s\": unit number %zu stands twice, or is none of 0 to "
                               "%zu",
                               name, unit[i], rig->unit_count - 1);
        else
            seen[unit[i]] = true;
    }
    free(seen);
    return result;
}

mtm_result mtm_rig_add_group(mtm_rig *rig, const char *name, const size_t *unit, size_t count,
                             mtm_error *error)
{
    if (rig == NULL || name == NULL || unit == NULL || count < 1 || count > rig->unit_count)
        return mtmi_fail(error, MTM_INVALID, "a rig, a name and units of the rig are needed");
    mtmi_groups *groups = &rig->groups;
    mtm_result result = check_added(rig, name, unit, count, error);
    if (result != MTM_OK)
        return result;
    size_t *copy = malloc(count * sizeof *copy);
    if (copy == NULL)
        return mtmi_fail_memory(error);
    memcpy(copy, unit, count * sizeof *copy);
    const char *kept = put_list(rig, name, names_of(rig, unit, count));
    result = kept != NULL ? mtmi_groups_add(groups, kept, error) : mtmi_fail_memory(error);
    if (result != MTM_OK) {
        cJSON_DeleteItemFromObjectCaseSensitive(
            cJSON_GetObjectItemCaseSensitive(rig->tree, "groups"), name);
        free(copy);
        return result;
    }
    groups->group[groups->count - 1].unit = copy;
    groups->group[groups->count - 1].unit_count = count;
    groups->member_count += count;
    return MTM_OK;
}
