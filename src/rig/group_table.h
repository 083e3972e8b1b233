/* SPDX-License-Identifier: MIT */
/* Group table: units under names. */
#ifndef METAMER_RIG_GROUP_TABLE_H
#define METAMER_RIG_GROUP_TABLE_H

#include "base/names.h"

#include <metamer/base.h>

#define MTMI_GROUPS_MAX 256           /**< most groups of a rig */
#define MTMI_GROUP_UNITS_MAX 10000000 /**< most units of all groups of a table together */

/** Units under one name. */
typedef struct mtmi_group {
    const char *name; /**< borrowed */
    size_t *unit;     /**< NULL while it is not known yet */
    size_t unit_count;
} mtmi_group;

/** Groups by name, and those of another table whose names count too. Zeroed is empty. */
typedef struct mtmi_groups {
    const struct mtmi_groups *outer; /**< NULL: none */
    mtmi_group *group;
    mtmi_named *names; /**< sorted */
    size_t count, room;
    size_t member_count; /**< units of all groups together */
    size_t work;         /**< spent on patterns */
} mtmi_groups;

/** A group by name, here or in the outer table; NULL if there is none. */
const mtmi_group *mtmi_groups_find(const mtmi_groups *groups, const char *name);
void mtmi_groups_free(mtmi_groups *groups);
/** Adds a group that holds nothing yet. */
MTM_CHECKED mtm_result mtmi_groups_add(mtmi_groups *groups, const char *name, mtm_error *error);

#endif
