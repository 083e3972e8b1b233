/* SPDX-License-Identifier: MIT */
/* Common gamut: the chromaticities inside every one of several gamuts, in u', v'. */
#ifndef METAMER_SOLVE_COMMON_GAMUT_H
#define METAMER_SOLVE_COMMON_GAMUT_H

#include <metamer/colour.h>

#include <stdbool.h>
#include <stddef.h>

/** A convex polygon in u', v', corners counter-clockwise; a segment has two corners, a point one,
 *  nothing none. */
typedef struct mtmi_polygon {
    mtm_uv *corner;
    size_t count;
    size_t room;
} mtmi_polygon;

/** Corners that clipping by a gamut of this many corners can add. */
#define MTMI_POLYGON_GROWTH(corners) ((corners) + 4)

/** A gamut's half planes may be missed by this much in u', v': rounding, far below any light. */
#define MTMI_GAMUT_SLACK 1e-9

/** Clips polygon by the gamut with these corners; polygon->room must have the growth to spare.
 *  scratch has polygon->room places. */
void mtmi_polygon_clip(mtmi_polygon *polygon, const mtm_uv *gamut, size_t count, mtm_uv *scratch);

/** The point of a polygon (one corner at least) nearest to uv. */
mtm_uv mtmi_polygon_nearest(const mtmi_polygon *polygon, mtm_uv uv);

#endif
