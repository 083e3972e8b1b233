/* SPDX-License-Identifier: MIT */
/* Show inside: what owns what while a show is read and kept. */
#ifndef METAMER_SHOW_SHOW_H
#define METAMER_SHOW_SHOW_H

#include <metamer/show.h>

#include "base/json.h"
#include "rig/group_table.h"

#include <metamer/filter.h>
#include <metamer/palette.h>

#define MTMI_SHOW_REFRESH_HZ 40.0 /**< where nothing is said */
#define MTMI_SETTINGS_MAX 100000  /**< most settings of a cue */
#define MTMI_CUE_MIN 0.1          /**< lowest number of a cue */
#define MTMI_CUE_MAX 9999.9       /**< highest number of a cue */

typedef struct mtmi_cue {
    mtm_cue cue;
    mtm_setting *settings;
    size_t setting_count;
} mtmi_cue;

typedef struct mtmi_colour {
    const char *name; /* NULL for one that stands inside a cue */
    mtm_target target;
} mtmi_colour;

struct mtm_show {
    cJSON *tree; /* as read; names and texts are borrowed from it */
    const char *name;
    mtm_rig *own_rig; /* NULL where the caller gave one */
    const mtm_rig *rig;
    mtm_filters *filters; /* NULL until a colour names one */
    mtm_observer observer;
    double refresh_hz;
    /* targets are pointed to: each lives on its own */
    mtmi_colour **colours;
    size_t colour_count, named_colour_count, colour_room;
    mtm_palette **palettes; /* whose names are borrowed */
    size_t palette_count, palette_room;
    /* "all", those of the rig, the show's own; behind them units that cues name, without a name */
    mtmi_group *groups;
    mtmi_named *group_names; /* sorted */
    size_t group_count, named_group_count, group_room;
    size_t member_count; /* units of all groups together */
    size_t work;         /* spent on patterns of units */
    mtmi_cue *cues;
    size_t cue_count, cue_room;
    bool
        made; /* not read: tree is a list of its texts, and all its colours and groups have names */
};

/** Reads the "colours" of the root. */
MTM_CHECKED mtm_result mtmi_read_colours(const mtmi_node *root, const char *base_dir,
                                         mtm_show *show, mtm_error *error);
/** The colour of a setting: a name, or a colour that stands there. */
MTM_CHECKED mtm_result mtmi_read_colour_of(const mtmi_node *node, const char *base_dir,
                                           mtm_show *show, const mtm_target **target,
                                           mtm_error *error);
/** Reads the "groups" of the root; "all" and the rig's are there without being written. */
MTM_CHECKED mtm_result mtmi_read_groups(const mtmi_node *root, mtm_show *show, mtm_error *error);
/** The group of a setting, from its "group", "unit" or "units". */
MTM_CHECKED mtm_result mtmi_read_group_of(const mtmi_node *node, mtm_show *show, size_t *group,
                                          mtm_error *error);
/** Reads the "cues" of the root. */
MTM_CHECKED mtm_result mtmi_read_cues(const mtmi_node *root, const char *base_dir, mtm_show *show,
                                      mtm_error *error);

/** Adds a group of count units (NULL: the first), put in the order of the rig; name (NULL: none)
 *  stays the caller's. */
MTM_CHECKED mtm_result mtmi_show_add_group(mtm_show *show, const char *name, const size_t *unit,
                                           size_t count, mtm_error *error);
/** Adds the group "all", always the first, and those of the rig. */
MTM_CHECKED mtm_result mtmi_show_add_given(mtm_show *show, mtm_error *error);
/** Makes a number whole tenths; MTM_PARSE where it is not, or not behind the last cue. */
MTM_CHECKED mtm_result mtmi_show_cue_number(const mtm_show *show, mtm_cue *cue, mtm_error *error);

#endif
