/* SPDX-License-Identifier: MIT */
/* Common gamut: the chromaticities inside every one of several gamuts, in u', v'. */
#include "solve/common_gamut.h"

#include <math.h>
#include <string.h>

/* The points p with (p - at) . normal >= 0; normal has length 1. */
struct half_plane {
    mtm_uv at;
    mtm_uv normal;
};

static double height(const struct half_plane *plane, mtm_uv p)
{
    return (p.u - plane->at.u) * plane->normal.u + (p.v - plane->at.v) * plane->normal.v;
}

static void push(mtm_uv *list, size_t *count, mtm_uv p)
{
    if (*count > 0 && list[*count - 1].u == p.u && list[*count - 1].v == p.v)
        return;
    list[(*count)++] = p;
}

/* Sutherland and Hodgman's step; a crossing is put on the plane itself. */
static void clip_by_plane(mtmi_polygon *polygon, const struct half_plane *plane, mtm_uv *scratch)
{
    size_t count = 0;

    for (size_t i = 0; i < polygon->count; i++) {
        mtm_uv a = polygon->corner[i];
        mtm_uv b = polygon->corner[(i + 1) % polygon->count];
        double height_a = height(plane, a);
        double height_b = height(plane, b);
        bool a_in = height_a >= -MTMI_GAMUT_SLACK;
        bool b_in = height_b >= -MTMI_GAMUT_SLACK;

        if (a_in)
            push(scratch, &count, a);
        if (a_in != b_in) {
            double t = fmin(fmax(height_a / (height_a - height_b), 0), 1);
            push(scratch, &count, (mtm_uv){a.u + t * (b.u - a.u), a.v + t * (b.v - a.v)});
        }
    }
    while (count > 1 && scratch[count - 1].u == scratch[0].u &&
           scratch[count - 1].v == scratch[0].v)
        count--;
    memcpy(polygon->corner, scratch, count * sizeof *scratch);
    polygon->count = count;
}

/* Left of the way from a to b. */
static struct half_plane left_of(mtm_uv a, mtm_uv b)
{
    double length = hypot(b.u - a.u, b.v - a.v);

    return (struct half_plane){a, {-(b.v - a.v) / length, (b.u - a.u) / length}};
}

/* On the side of a that b is on, at right angles to a-b. */
static struct half_plane beyond(mtm_uv a, mtm_uv b)
{
    double length = hypot(b.u - a.u, b.v - a.v);

    return (struct half_plane){a, {(b.u - a.u) / length, (b.v - a.v) / length}};
}

static void clip_by_point(mtmi_polygon *polygon, mtm_uv at, mtm_uv *scratch)
{
    const struct half_plane box[] = {{at, {1, 0}}, {at, {-1, 0}}, {at, {0, 1}}, {at, {0, -1}}};

    for (size_t i = 0; i < 4; i++)
        clip_by_plane(polygon, &box[i], scratch);
}

void mtmi_polygon_clip(mtmi_polygon *polygon, const mtm_uv *gamut, size_t count, mtm_uv *scratch)
{
    if (count == 1) {
        clip_by_point(polygon, gamut[0], scratch);
        return;
    }
    for (size_t i = 0; i < count; i++) {
        struct half_plane side = left_of(gamut[i], gamut[(i + 1) % count]);
        clip_by_plane(polygon, &side, scratch);
    }
    if (count == 2) {
        struct half_plane cap = beyond(gamut[0], gamut[1]);
        clip_by_plane(polygon, &cap, scratch);
        cap = beyond(gamut[1], gamut[0]);
        clip_by_plane(polygon, &cap, scratch);
    }
}

static mtm_uv nearest_on_segment(mtm_uv a, mtm_uv b, mtm_uv p)
{
    double du = b.u - a.u;
    double dv = b.v - a.v;
    double square = du * du + dv * dv;
    double t = square > 0 ? ((p.u - a.u) * du + (p.v - a.v) * dv) / square : 0;

    t = fmin(fmax(t, 0), 1);
    return (mtm_uv){a.u + t * du, a.v + t * dv};
}

static bool holds(const mtmi_polygon *polygon, mtm_uv p)
{
    for (size_t i = 0; i < polygon->count; i++) {
        mtm_uv a = polygon->corner[i];
        mtm_uv b = polygon->corner[(i + 1) % polygon->count];
        if ((b.u - a.u) * (p.v - a.v) - (b.v - a.v) * (p.u - a.u) < 0)
            return false;
    }
    return polygon->count > 2;
}

mtm_uv mtmi_polygon_nearest(const mtmi_polygon *polygon, mtm_uv uv)
{
    mtm_uv nearest = polygon->corner[0];

    if (holds(polygon, uv))
        return uv;
    for (size_t i = 0; i < polygon->count; i++) {
        mtm_uv p =
            nearest_on_segment(polygon->corner[i], polygon->corner[(i + 1) % polygon->count], uv);
        if (mtm_uv_distance(p, uv) < mtm_uv_distance(nearest, uv))
            nearest = p;
    }
    return nearest;
}
