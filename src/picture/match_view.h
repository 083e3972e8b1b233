/* SPDX-License-Identifier: MIT */
/* Match view: what a picture of a match shows, gathered: kinds of units, and units that give the
 * same. */
#ifndef METAMER_PICTURE_MATCH_VIEW_H
#define METAMER_PICTURE_MATCH_VIEW_H

#include "picture/mark.h"

#include <metamer/diagram.h>

/** Units of one fixture, by its name: also those that were measured one by one. Of those that mix
 * by themselves, one mode. */
typedef struct mtmi_view_kind {
    const mtm_unit *unit;   /**< the first */
    size_t first;           /**< match of that */
    size_t count;           /**< of units */
    const mtm_match *worst; /**< farthest from the target of those that are lit; NULL: all dark */
    double least_uv;        /**< from the target, of those that are lit */
    size_t corner_count;
    mtm_xy corner[MTM_EMITTERS_MAX]; /**< of the gamut of the first */
} mtmi_view_kind;

/** Units of one kind that give the same light. */
typedef struct mtmi_view_group {
    size_t kind;
    size_t first, last; /**< matches: of the first and of the last of them */
    size_t count;
    const mtm_match *match; /**< of the first */
    const char *reason;     /**< why it comes no closer; "" for none */
    bool lit;
} mtmi_view_group;

/** All that is drawn. */
typedef struct mtmi_view {
    const mtm_match_view *of;
    mtmi_view_kind *kind;
    size_t kind_count;
    mtmi_view_group *group;
    size_t group_count;
    mtm_xy *common; /**< corners of what all the units reach */
    size_t common_count;
    bool by_kind; /**< the list has no room for groups: kinds stand for them */
} mtmi_view;

/** Gathers. mtmi_view_free it, also after a failure. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_view_gather(const mtm_match_view *of, mtmi_view *view,
                                        mtm_error *error);
void mtmi_view_free(mtmi_view *view);

/** The unit of a match. */
const mtm_unit *mtmi_view_unit(const mtmi_view *view, size_t match);
/** Mark and ink of a kind: together they tell 36 apart. */
mtmi_shape mtmi_view_shape(size_t kind);
mtmi_ink mtmi_view_ink(const mtmi_canvas *canvas, size_t kind);

#endif
