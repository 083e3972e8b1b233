/* SPDX-License-Identifier: MIT */
/* Groups: units under one name, stated by terms that may name other groups. */
#ifndef METAMER_RIG_GROUP_H
#define METAMER_RIG_GROUP_H

#include "base/json.h"
#include "rig/group_table.h"

#include <metamer/rig.h>

/** Reads "groups" of a rig or a show, an object of lists of terms by name; names of groups that
 *  stand in it may be terms. The names are borrowed. */
MTM_CHECKED mtm_result mtmi_groups_read(const mtmi_node *root, const mtm_rig *rig,
                                        mtmi_groups *groups, mtm_error *error);

#endif
