/* SPDX-License-Identifier: MIT */
/* Show inside: what owns what while a show is read and kept. */
#ifndef METAMER_SHOW_SHOW_H
#define METAMER_SHOW_SHOW_H

#include <metamer/show.h>

#include "base/json.h"

#include <metamer/filter.h>

/** What one entry of a cue's "set" does to a group of units. */
typedef struct mtmi_setting {
    size_t group;             /* index into groups */
    const mtm_target *target; /* NULL: the colour stays */
    bool has_output;          /* false: the output stays; full where a colour is given */
    mtm_output output;
    bool has_goal; /* false: the goal stays, as a mix does when only its output changes */
    mtm_goal goal;
    mtm_path_type path;
    mtm_shape_type shape;
} mtmi_setting;

typedef struct mtmi_cue {
    mtm_cue cue;
    mtmi_setting *settings;
    size_t setting_count;
} mtmi_cue;

typedef struct mtmi_colour {
    const char *name; /* NULL for one that stands inside a cue */
    mtm_target target;
} mtmi_colour;

/* A single unit that a cue names is a group without a name. */
typedef struct mtmi_group {
    const char *name;
    size_t *unit;
    size_t unit_count;
} mtmi_group;

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
    mtmi_group *groups;
    size_t group_count, named_group_count, group_room;
    mtmi_cue *cues;
    size_t cue_count;
};

/** Reads the "colours" of the root. */
MTM_CHECKED mtm_result mtmi_read_colours(const mtmi_node *root, const char *base_dir,
                                         mtm_show *show, mtm_error *error);
/** The colour of a setting: a name, or a colour that stands there. */
MTM_CHECKED mtm_result mtmi_read_colour_of(const mtmi_node *node, const char *base_dir,
                                           mtm_show *show, const mtm_target **target,
                                           mtm_error *error);
/** Reads the "groups" of the root; "all" is there without being written. */
MTM_CHECKED mtm_result mtmi_read_groups(const mtmi_node *root, mtm_show *show, mtm_error *error);
/** The group of a setting, from its "group", "unit" or "units". */
MTM_CHECKED mtm_result mtmi_read_group_of(const mtmi_node *node, mtm_show *show, size_t *group,
                                          mtm_error *error);
/** Reads the "cues" of the root. */
MTM_CHECKED mtm_result mtmi_read_cues(const mtmi_node *root, const char *base_dir, mtm_show *show,
                                      mtm_error *error);

#endif
