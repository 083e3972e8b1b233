/* SPDX-License-Identifier: MIT */
/* Convex polygons: hull of points, clipping, nearest points. */
#ifndef METAMER_NUMERIC_CONVEX_H
#define METAMER_NUMERIC_CONVEX_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/** A point of the plane, or a way in it. */
typedef struct mtmi_point {
    double x, y;
} mtmi_point;

static inline double mtmi_point_distance(mtmi_point a, mtmi_point b)
{
    return hypot(a.x - b.x, a.y - b.y);
}

/** Twice the area of the triangle a, b, c; above 0 where it turns left. */
static inline double mtmi_turn(mtmi_point a, mtmi_point b, mtmi_point c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/** The share of the way from a to b, 0..1, at which it is nearest to p. */
double mtmi_segment_nearest_share(mtmi_point a, mtmi_point b, mtmi_point p);

/**
 * The convex hull of points: Andrew's monotone chain (A. M. Andrew, Information Processing Letters
 * 9, 1979). Points within same of each other are one, and a corner bends its edges by more.
 *
 * @param point  count of them; sorted, and those that are one joined
 * @param corner count + 1 places; gets the corners counter-clockwise
 * @return the number of corners: 2 where the points lie on a line, 1 where they are one
 */
size_t mtmi_convex_hull(mtmi_point *point, size_t count, double same, mtmi_point *corner);

/** A convex polygon, corners counter-clockwise; a segment has two corners, a point one,
 *  nothing none. */
typedef struct mtmi_polygon {
    mtmi_point *corner;
    size_t count;
    size_t room;
} mtmi_polygon;

/** Corners that clipping by a polygon of this many corners can add. */
#define MTMI_POLYGON_GROWTH(corners) ((corners) + 4)

/** Half planes may be missed by this much: rounding. */
#define MTMI_CONVEX_SLACK 1e-9

/** Clips polygon by the convex polygon with these corners; polygon->room must have the growth to
 * spare. scratch has polygon->room places. */
void mtmi_polygon_clip(mtmi_polygon *polygon, const mtmi_point *by, size_t count,
                       mtmi_point *scratch);

/** The point of a polygon (one corner at least) nearest to p. */
mtmi_point mtmi_polygon_nearest(const mtmi_polygon *polygon, mtmi_point p);

#endif
