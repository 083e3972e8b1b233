/* SPDX-License-Identifier: MIT */
/* The groups of a show: all units, those of the rig, its own, and units that a cue names. */
#include "show/show.h"

#include "base/error.h"
#include "base/grow.h"
#include "rig/group.h"
#include "rig/rig.h"
#include "rig/selection.h"

#include <stdlib.h>
#include <string.h>

static int by_index(const void *a, const void *b)
{
    const size_t *x = a;
    const size_t *y = b;

    return (*x > *y) - (*x < *y);
}

mtm_result mtmi_show_add_group(mtm_show *show, const char *name, const size_t *unit, size_t count,
                               mtm_error *error)
{
    size_t named = show->named_group_count + (name != NULL);
    mtmi_group *grown =
        mtmi_grown(show->groups, show->group_count, &show->group_room, sizeof *grown);

    if (grown == NULL)
        return mtmi_fail_memory(error);
    show->groups = grown;
    mtmi_named *names = realloc(show->group_names, (named + 1) * sizeof *names);
    if (names == NULL)
        return mtmi_fail_memory(error);
    show->group_names = names;
    mtmi_group *group = &grown[show->group_count];
    *group = (mtmi_group){
        .name = name, .unit = malloc((count + 1) * sizeof *group->unit), .unit_count = count};
    if (group->unit == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count; i++)
        group->unit[i] = unit != NULL ? unit[i] : i;
    if (unit != NULL)
        qsort(group->unit, count, sizeof *unit, by_index);
    if (name != NULL)
        mtmi_names_insert(names, show->named_group_count, (mtmi_named){name, show->group_count});
    show->named_group_count = named;
    show->group_count++;
    return MTM_OK;
}

mtm_result mtmi_show_add_given(mtm_show *show, mtm_error *error)
{
    mtm_result result =
        mtmi_show_add_group(show, "all", NULL, mtm_rig_unit_count(show->rig), error);

    for (size_t i = 0; i < mtm_rig_group_count(show->rig) && result == MTM_OK; i++) {
        size_t count = 0;
        const size_t *unit = mtm_rig_group(show->rig, i, &count);
        result = mtmi_show_add_group(show, mtm_rig_group_name(show->rig, i), unit, count, error);
    }
    return result;
}

mtm_result mtmi_read_groups(const mtmi_node *root, mtm_show *show, mtm_error *error)
{
    mtmi_groups own = {.outer = &show->rig->groups};
    mtm_result result = mtmi_show_add_given(show, error);

    if (result == MTM_OK)
        result = mtmi_groups_read(root, show->rig, &own, error);
    for (size_t i = 0; i < own.count && result == MTM_OK; i++)
        result = mtmi_show_add_group(show, own.group[i].name, own.group[i].unit,
                                     own.group[i].unit_count, error);
    mtmi_groups_free(&own);
    return result;
}

/* The named groups as terms see them. */
static mtmi_groups table_of(const mtm_show *show)
{
    return (mtmi_groups){
        .group = show->groups, .names = show->group_names, .count = show->named_group_count};
}

/* Units that a setting names, by a list of terms or by a text, as a group without a name. */
static mtm_result read_units(const mtmi_node *node, mtm_show *show, size_t *group, mtm_error *error)
{
    const mtmi_groups table = table_of(show);
    mtmi_selection selection;
    mtm_error inner = {""};
    mtm_result result = mtmi_selection_begin(&selection, show->rig, &table, &show->work, error);

    if (result == MTM_OK)
        result = mtmi_selection_read(node, &selection, error);
    if (result == MTM_OK) {
        result = mtmi_selection_end(&selection, &inner);
        show->member_count += selection.count;
        if (result == MTM_OK && show->member_count > MTMI_GROUP_UNITS_MAX)
            result = mtmi_fail(&inner, MTM_LIMIT,
                               "the cues name more than %d units one by one; make groups of them",
                               MTMI_GROUP_UNITS_MAX);
        if (result != MTM_OK)
            result = mtmi_json_fail_as(node, result, &inner, error);
    }
    *group = show->group_count;
    if (result == MTM_OK)
        result = mtmi_show_add_group(show, NULL, selection.unit, selection.count, error);
    mtmi_selection_free(&selection);
    return result;
}

static mtm_result read_group(const mtmi_node *node, mtm_show *show, size_t *group, mtm_error *error)
{
    const char *name = NULL;
    mtm_result result = mtmi_json_as_string(node, &name, error);

    if (result != MTM_OK)
        return result;
    const mtmi_named *found = mtmi_names_find(show->group_names, show->named_group_count, name);
    if (found == NULL)
        return read_units(node, show, group, error);
    *group = found->index;
    return MTM_OK;
}

static mtm_result read_unit(const mtmi_node *node, mtm_show *show, size_t *group, mtm_error *error)
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
    *group = show->group_count;
    return mtmi_show_add_group(show, NULL, &unit, 1, error);
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
        return read_group(&of_group, show, group, error);
    return has_units ? read_units(&of_units, show, group, error)
                     : read_unit(&of_unit, show, group, error);
}

mtm_result mtm_show_select(const mtm_show *show, const char *text, size_t *unit, size_t *unit_count,
                           mtm_error *error)
{
    if (show == NULL || unit == NULL || unit_count == NULL)
        return mtmi_fail(error, MTM_INVALID, "a show and room for units are needed");
    const mtmi_groups table = table_of(show);
    return mtmi_select(show->rig, &table, text, unit, unit_count, error);
}
