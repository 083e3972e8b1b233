/* SPDX-License-Identifier: MIT */
/* Group table: units under names. */
#include "rig/group_table.h"

#include "base/error.h"
#include "base/grow.h"

#include <stdlib.h>

const mtmi_group *mtmi_groups_find(const mtmi_groups *groups, const char *name)
{
    for (; groups != NULL; groups = groups->outer) {
        const mtmi_named *found = mtmi_names_find(groups->names, groups->count, name);
        if (found != NULL)
            return &groups->group[found->index];
    }
    return NULL;
}

void mtmi_groups_free(mtmi_groups *groups)
{
    for (size_t i = 0; i < groups->count; i++)
        free(groups->group[i].unit);
    free(groups->group);
    free(groups->names);
    *groups = (mtmi_groups){0};
}

mtm_result mtmi_groups_add(mtmi_groups *groups, const char *name, mtm_error *error)
{
    size_t room = groups->room;
    mtmi_group *grown = mtmi_grown(groups->group, groups->count, &room, sizeof *grown);

    if (grown == NULL)
        return mtmi_fail_memory(error);
    groups->group = grown;
    mtmi_named *names = realloc(groups->names, room * sizeof *names);
    if (names == NULL)
        return mtmi_fail_memory(error);
    groups->names = names;
    groups->room = room;
    mtmi_names_insert(names, groups->count, (mtmi_named){name, groups->count});
    grown[groups->count++] = (mtmi_group){.name = name};
    return MTM_OK;
}
