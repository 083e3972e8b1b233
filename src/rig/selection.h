/* SPDX-License-Identifier: MIT */
/* Selection inside: units gathered term by term. */
#ifndef METAMER_RIG_SELECTION_H
#define METAMER_RIG_SELECTION_H

#include <metamer/selection.h>

#include "base/json.h"
#include "rig/group_table.h"

/** Units that are gathered. */
typedef struct mtmi_selection {
    const mtm_rig *rig;
    const mtmi_groups *groups;
    size_t *work;        /**< spent on patterns; counted on */
    unsigned char *mark; /**< by unit */
    size_t *unit;        /**< chosen so far, in order */
    size_t count;
    bool takes, leaves; /**< terms that choose, and terms with "!", were among them */
} mtmi_selection;

/** Begins with nothing chosen. mtmi_selection_free it, also after a failure. */
MTM_CHECKED mtm_result mtmi_selection_begin(mtmi_selection *selection, const mtm_rig *rig,
                                            const mtmi_groups *groups, size_t *work,
                                            mtm_error *error);
/** Adds one term. */
MTM_CHECKED mtm_result mtmi_selection_add(mtmi_selection *selection, const char *term,
                                          mtm_error *error);
/** Adds the terms of a text, which commas split. */
MTM_CHECKED mtm_result mtmi_selection_add_text(mtmi_selection *selection, const char *text,
                                               mtm_error *error);
/** Takes away what is to be left out. */
MTM_CHECKED mtm_result mtmi_selection_end(mtmi_selection *selection, mtm_error *error);
/** Hands its units over, in room for no more than they are. */
size_t *mtmi_selection_take(mtmi_selection *selection, size_t *count);
void mtmi_selection_free(mtmi_selection *selection);

/** All of it for one text (NULL: every unit), as mtm_rig_select. */
MTM_CHECKED mtm_result mtmi_select(const mtm_rig *rig, const mtmi_groups *groups, const char *text,
                                   size_t *unit, size_t *unit_count, mtm_error *error);

/** Adds the terms of a list, or of a text. */
MTM_CHECKED mtm_result mtmi_selection_read(const mtmi_node *node, mtmi_selection *selection,
                                           mtm_error *error);

#endif
