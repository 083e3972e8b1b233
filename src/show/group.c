/* SPDX-License-Identifier: MIT */
/* Reading the groups of a show. */
#include "show/show.h"

#include "base/error.h"
#include "base/grow.h"
#include "base/name.h"

#include <stdlib.h>
#include <string.h>

mtm_result mtmi_show_add_group(mtm_show *show, const char *name, size_t count, size_t *index,
                               mtm_error *error)
{
    mtmi_group *grown =
        mtmi_grown(show->groups, show->group_count, &show->group_room, sizeof *grown);

    if (grown == NULL)
        return mtmi_fail_memory(error);
    show->groups = grown;
    size_t *unit = calloc(count + 1, sizeof *unit);
    if (unit == NULL)
        return mtmi_fail_memory(error);
    *index = show->group_count;
    show->groups[show->group_count++] = (mtmi_group){.name = name, .unit = unit};
    return MTM_OK;
}

static mtm_result add_unit(const mtmi_node *node, mtm_show *show, size_t group, mtm_error *error)
{
    const char *name = NULL;
    size_t unit = 0;
    mtm_error inner = {""};
    mtm_result result = mtmi_json_as_string(node, &name, error);

    if (result != MTM_OK)
        return result;
    result = mtm_rig_find_unit(show->rig, name, &unit, &inner);
    if (result != MTM_OK)
        return mtmi_json_fail_as(node, result, &inner, error);
    mtmi_group *added = &show->groups[group];
    added->unit[added->unit_count++] = unit;
    return MTM_OK;
}

static int by_index(const void *a, const void *b)
{
    const size_t *x = a;
    const size_t *y = b;

    return (*x > *y) - (*x < *y);
}

/* A list of names of units as a group of them, in the order of the rig. */
static mtm_result read_units(const mtmi_node *list, const char *name, mtm_show *show, size_t *group,
                             mtm_error *error)
{
    mtmi_node node;
    size_t most = mtm_rig_unit_count(show->rig);
    size_t count = cJSON_IsArray(list->item) ? (size_t)cJSON_GetArraySize(list->item) : 0;

    if (count < 1 || count > most)
        return mtmi_json_fail(list, error, "wanted is a list of 1 to %zu names of units", most);
    mtm_result result = mtmi_show_add_group(show, name, count, group, error);
    for (bool more = mtmi_json_first(list, &node); more && result == MTM_OK;
         more = mtmi_json_next(&node))
        result = add_unit(&node, show, *group, error);
    if (result != MTM_OK)
        return result;
    const mtmi_group *made = &show->groups[*group];
    qsort(made->unit, made->unit_count, sizeof *made->unit, by_index);
    for (size_t i = 1; i < made->unit_count; i++) {
        if (made->unit[i] == made->unit[i - 1])
            return mtmi_json_fail(list, error, "\"%.60s\" stands twice",
                                  mtm_rig_unit(show->rig, made->unit[i])->name);
    }
    return MTM_OK;
}

mtm_result mtmi_show_add_all(mtm_show *show, mtm_error *error)
{
    size_t count = mtm_rig_unit_count(show->rig);
    size_t group = 0;
    mtm_result result = mtmi_show_add_group(show, "all", count, &group, error);

    if (result != MTM_OK)
        return result;
    for (size_t i = 0; i < count; i++)
        show->groups[group].unit[i] = i;
    show->groups[group].unit_count = count;
    show->named_group_count = 1;
    return MTM_OK;
}

mtm_result mtmi_read_groups(const mtmi_node *root, mtm_show *show, mtm_error *error)
{
    mtmi_node list;
    mtmi_node node;
    mtm_result result = mtmi_show_add_all(show, error);

    if (result != MTM_OK || !mtmi_json_child(root, "groups", &list))
        return result;
    if (!cJSON_IsObject(list.item))
        return mtmi_json_fail(&list, error, "found %s, wanted is an object of lists by name",
                              mtmi_json_type(list.item));
    for (bool more = mtmi_json_first(&list, &node); more; more = mtmi_json_next(&node)) {
        size_t group = 0;

        if (strcmp(node.key, "all") == 0 || node.key[0] == '\0')
            return mtmi_json_fail(&node, error,
                                  "a group needs a name other than \"all\", which "
                                  "means every unit of the rig");
        if (show->group_count >= MTM_SHOW_GROUPS_MAX)
            return mtmi_json_fail(&list, error, "more than %d groups", MTM_SHOW_GROUPS_MAX - 1);
        result = read_units(&node, node.key, show, &group, error);
        if (result != MTM_OK)
            return result;
        show->named_group_count = show->group_count;
    }
    return MTM_OK;
}

static const char *group_name_at(const void *list, size_t index)
{
    const mtm_show *show = list;

    return index < show->named_group_count ? show->groups[index].name : NULL;
}

static mtm_result find_group(const mtmi_node *node, const mtm_show *show, size_t *group,
                             mtm_error *error)
{
    const char *name = NULL;
    mtm_result result = mtmi_json_as_string(node, &name, error);

    if (result != MTM_OK)
        return result;
    for (size_t i = 0; i < show->named_group_count; i++) {
        if (strcmp(show->groups[i].name, name) == 0) {
            *group = i;
            return MTM_OK;
        }
    }
    const char *nearest = mtmi_name_nearest(name, show, group_name_at);
    (void)mtmi_json_fail(node, error, "there is no group \"%.60s\"%s%.60s%s", name,
                         nearest != NULL ? "; the nearest is \"" : "",
                         nearest != NULL ? nearest : "", nearest != NULL ? "\"" : "");
    return MTM_NOT_FOUND;
}

mtm_result mtmi_read_group_of(const mtmi_node *node, mtm_show *show, size_t *group,
                              mtm_error *error)
{
    mtmi_node of_group;
    mtmi_node of_unit;
    mtmi_node of_units;
    bool has_group = mtmi_json_child(node, "group", &of_group);
    bool has_unit = mtmi_json_child(node, "unit", &of_unit);
    bool has_units = mtmi_json_child(node, "units", &of_units);

    if (has_group + has_unit + has_units != 1)
        return mtmi_json_fail(node, error,
                              "one of \"group\", \"unit\" and \"units\" is wanted, to say which "
                              "units are set");
    if (has_group)
        return find_group(&of_group, show, group, error);
    if (has_units)
        return read_units(&of_units, NULL, show, group, error);
    mtm_result result = mtmi_show_add_group(show, NULL, 1, group, error);
    if (result == MTM_OK)
        result = add_unit(&of_unit, show, *group, error);
    return result;
}
