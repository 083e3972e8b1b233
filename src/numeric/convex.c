/* SPDX-License-Identifier: MIT */
/* Convex polygons. */
#include "numeric/convex.h"

#include <math.h>
#include <string.h>

/* Sorted by x, then y, without repetition; returns how many are left. */
static size_t sort_unique(mtmi_point *xy, size_t count, double same)
{
    size_t kept = 0;

    for (size_t i = 1; i < count; i++) {
        mtmi_point value = xy[i];
        size_t j = i;
        for (;
             j > 0 && (xy[j - 1].x > value.x || (xy[j - 1].x == value.x && xy[j - 1].y > value.y));
             j--)
            xy[j] = xy[j - 1];
        xy[j] = value;
    }
    for (size_t i = 0; i < count; i++) {
        if (kept == 0 || mtmi_point_distance(xy[kept - 1], xy[i]) > same)
            xy[kept++] = xy[i];
    }
    return kept;
}

/* Adds a point to the chain that begins at corner first; drops those that no longer bend it. */
static size_t extend(mtmi_point *corner, size_t count, size_t first, mtmi_point p, double same)
{
    while (count >= first + 2 && !(mtmi_turn(corner[count - 2], corner[count - 1], p) >
                                   same * mtmi_point_distance(corner[count - 2], p)))
        count--;
    corner[count++] = p;
    return count;
}

size_t mtmi_convex_hull(mtmi_point *point, size_t count, double same, mtmi_point *corner)
{
    size_t made = 0;

    count = sort_unique(point, count, same);
    for (size_t i = 0; i < count; i++) /* along the lower side */
        made = extend(corner, made, 0, point[i], same);
    size_t lower = made;
    for (size_t i = count; lower >= 2 && i-- > 1;) /* back along the upper */
        made = extend(corner, made, lower - 1, point[i - 1], same);
    return lower >= 2 ? made - 1 : made; /* the first point has come again */
}

/* The points p with (p - at) . normal >= 0; normal has length 1. */
struct half_plane {
    mtmi_point at;
    mtmi_point normal;
};

static double height(const struct half_plane *plane, mtmi_point p)
{
    return (p.x - plane->at.x) * plane->normal.x + (p.y - plane->at.y) * plane->normal.y;
}

static void push(mtmi_point *list, size_t *count, mtmi_point p)
{
    if (*count > 0 && list[*count - 1].x == p.x && list[*count - 1].y == p.y)
        return;
    list[(*count)++] = p;
}

/* Sutherland and Hodgman's step; a crossing is put on the plane itself. */
static void clip_by_plane(mtmi_polygon *polygon, const struct half_plane *plane,
                          mtmi_point *scratch)
{
    size_t count = 0;

    for (size_t i = 0; i < polygon->count; i++) {
        mtmi_point a = polygon->corner[i];
        mtmi_point b = polygon->corner[(i + 1) % polygon->count];
        double height_a = height(plane, a);
        double height_b = height(plane, b);
        bool a_in = height_a >= -MTMI_CONVEX_SLACK;
        bool b_in = height_b >= -MTMI_CONVEX_SLACK;

        if (a_in)
            push(scratch, &count, a);
        if (a_in != b_in) {
            double t = fmin(fmax(height_a / (height_a - height_b), 0), 1);
            push(scratch, &count, (mtmi_point){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)});
        }
    }
    while (count > 1 && scratch[count - 1].x == scratch[0].x &&
           scratch[count - 1].y == scratch[0].y)
        count--;
    memcpy(polygon->corner, scratch, count * sizeof *scratch);
    polygon->count = count;
}

/* Left of the way from a to b. */
static struct half_plane left_of(mtmi_point a, mtmi_point b)
{
    double length = hypot(b.x - a.x, b.y - a.y);

    return (struct half_plane){a, {-(b.y - a.y) / length, (b.x - a.x) / length}};
}

/* On the side of a that b is on, at right angles to a-b. */
static struct half_plane beyond(mtmi_point a, mtmi_point b)
{
    double length = hypot(b.x - a.x, b.y - a.y);

    return (struct half_plane){a, {(b.x - a.x) / length, (b.y - a.y) / length}};
}

static void clip_by_point(mtmi_polygon *polygon, mtmi_point at, mtmi_point *scratch)
{
    const struct half_plane box[] = {{at, {1, 0}}, {at, {-1, 0}}, {at, {0, 1}}, {at, {0, -1}}};

    for (size_t i = 0; i < 4; i++)
        clip_by_plane(polygon, &box[i], scratch);
}

void mtmi_polygon_clip(mtmi_polygon *polygon, const mtmi_point *by, size_t count,
                       mtmi_point *scratch)
{
    if (count == 1) {
        clip_by_point(polygon, by[0], scratch);
        return;
    }
    for (size_t i = 0; i < count; i++) {
        struct half_plane side = left_of(by[i], by[(i + 1) % count]);
        clip_by_plane(polygon, &side, scratch);
    }
    if (count == 2) {
        struct half_plane cap = beyond(by[0], by[1]);
        clip_by_plane(polygon, &cap, scratch);
        cap = beyond(by[1], by[0]);
        clip_by_plane(polygon, &cap, scratch);
    }
}

double mtmi_segment_nearest_share(mtmi_point a, mtmi_point b, mtmi_point p)
{
    double dx = b.x - a.x, dy = b.y - a.y;
    double square = dx * dx + dy * dy;
    double t = square > 0 ? ((p.x - a.x) * dx + (p.y - a.y) * dy) / square : 0;

    return fmin(fmax(t, 0), 1);
}

static mtmi_point nearest_on_segment(mtmi_point a, mtmi_point b, mtmi_point p)
{
    double t = mtmi_segment_nearest_share(a, b, p);

    return (mtmi_point){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

static bool holds(const mtmi_polygon *polygon, mtmi_point p)
{
    for (size_t i = 0; i < polygon->count; i++) {
        mtmi_point a = polygon->corner[i];
        mtmi_point b = polygon->corner[(i + 1) % polygon->count];
        if (mtmi_turn(a, b, p) < 0)
            return false;
    }
    return polygon->count > 2;
}

mtmi_point mtmi_polygon_nearest(const mtmi_polygon *polygon, mtmi_point p)
{
    mtmi_point nearest = polygon->corner[0];

    if (holds(polygon, p))
        return p;
    for (size_t i = 0; i < polygon->count; i++) {
        mtmi_point on =
            nearest_on_segment(polygon->corner[i], polygon->corner[(i + 1) % polygon->count], p);
        if (mtmi_point_distance(on, p) < mtmi_point_distance(nearest, p))
            nearest = on;
    }
    return nearest;
}
