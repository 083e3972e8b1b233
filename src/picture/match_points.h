/* SPDX-License-Identifier: MIT */
/* Points of a match: what the units give beside what was asked, in a chromaticity diagram. */
#ifndef METAMER_PICTURE_MATCH_POINTS_H
#define METAMER_PICTURE_MATCH_POINTS_H

#include "picture/match_view.h"
#include "picture/plane.h"

/** The neighbourhood of the target in which units lie close together. */
typedef struct mtmi_near {
    bool exists;
    double half; /**< of its side, in the diagram's units */
} mtmi_near;

/** Where units lie close to the target, how much of the diagram holds them. */
mtmi_near mtmi_near_of(const mtmi_view *view, mtm_diagram diagram);

/** Which group's label names a group: the first near enough on the plane that has a label itself,
 * which may be the group. owner has a place for each group. */
void mtmi_points_own(const mtmi_plane *plane, const mtmi_view *view, size_t *owner);

/** Draws the target and what each group gives, with its miss. */
void mtmi_points_draw(mtmi_canvas *canvas, mtmi_plane *plane, const mtmi_view *view);
/** Writes their numbers, and the misses above one step. inside: another plane that is drawn and
 *  holds some of them, which need none here; may be NULL. */
void mtmi_points_write(mtmi_canvas *canvas, mtmi_plane *plane, const mtmi_view *view,
                       const mtmi_plane *inside);

#endif
