/* SPDX-License-Identifier: MIT */
/* The gamut: convex hull of the emitters' chromaticities. Mixtures of two lights lie on a straight
 * line in x, y and, the map being projective, in u', v' too: one hull serves both. */
#include "base/number.h"
#include "numeric/convex.h"
#include "solve/solver.h"

#include <math.h>
#include <string.h>

/* Corners nearer than this are one, and a corner that bends an edge less than this is none. */
#define SAME 1e-12
/* How far outside still counts as rounding. */
#define EDGE_SLACK 1e-13

static void prepare_edges(struct mtmi_hull *hull)
{
    for (size_t i = 0; i < hull->count; i++) {
        mtm_xy p = hull->corner[i].xy;
        mtm_xy q = hull->corner[(i + 1) % hull->count].xy;
        double length = hypot(p.x - q.x, p.y - q.y);
        double *edge = hull->edge[i];

        edge[0] = -(q.y - p.y) / length;
        edge[1] = (q.x - p.x) / length;
        edge[2] = -(edge[0] * p.x + edge[1] * p.y);
    }
}

void mtmi_hull_prepare(struct mtmi_hull *hull, const mtm_xyz *xyz, size_t count)
{
    mtmi_point lit[MTM_EMITTERS_MAX], corner[MTM_EMITTERS_MAX + 1];
    size_t lit_count = 0;

    for (size_t i = 0; i < count; i++) {
        if (!(xyz[i].x + xyz[i].y + xyz[i].z > 0))
            continue;
        mtm_xy xy = mtm_xy_from_xyz(xyz[i]);
        lit[lit_count++] = (mtmi_point){xy.x, xy.y};
    }
    hull->count = mtmi_convex_hull(lit, lit_count, SAME, corner);
    for (size_t i = 0; i < hull->count; i++) {
        hull->corner[i].xy = (mtm_xy){corner[i].x, corner[i].y};
        hull->corner[i].uv = mtm_uv_from_xy(hull->corner[i].xy);
    }
    if (hull->count >= 3)
        prepare_edges(hull);
}

bool mtmi_hull_holds(const struct mtmi_hull *hull, mtm_xy xy)
{
    double least = hull->count >= 3 ? 0 : -1;

    for (size_t i = 0; i < hull->count; i++) {
        const double *edge = hull->edge[i];
        double value = edge[0] * xy.x + edge[1] * xy.y + edge[2];
        least = value < least ? value : least;
    }
    return least >= -EDGE_SLACK;
}

/* The nearest point of a segment, and its distance. */
static mtm_xy nearest_on(const struct mtmi_corner *a, const struct mtmi_corner *b, mtm_uv p,
                         double *away)
{
    double t = mtmi_segment_nearest_share((mtmi_point){a->uv.u, a->uv.v},
                                          (mtmi_point){b->uv.u, b->uv.v}, (mtmi_point){p.u, p.v});

    if (!(t > 0)) {
        *away = mtm_uv_distance(p, a->uv);
        return a->xy;
    }
    if (t >= 1) {
        *away = mtm_uv_distance(p, b->uv);
        return b->xy;
    }
    mtm_uv foot = {a->uv.u + t * (b->uv.u - a->uv.u), a->uv.v + t * (b->uv.v - a->uv.v)};
    *away = mtm_uv_distance(p, foot);
    return mtm_xy_from_uv(foot);
}

mtm_xy mtmi_hull_nearest(const struct mtmi_hull *hull, mtm_xy xy)
{
    mtm_uv p = mtm_uv_from_xy(xy);
    mtm_xy best = hull->corner[0].xy;
    double best_away = INFINITY;

    for (size_t i = 0; i < hull->count; i++) {
        double away = 0;
        mtm_xy foot = nearest_on(&hull->corner[i], &hull->corner[(i + 1) % hull->count], p, &away);
        if (mtmi_exceeds(best_away, away)) {
            best_away = away;
            best = foot;
        }
    }
    return best;
}

mtm_xy mtmi_segment_nearest(mtm_xy a, mtm_xy b, mtm_xy xy)
{
    struct mtmi_corner ends[2] = {{a, mtm_uv_from_xy(a)}, {b, mtm_uv_from_xy(b)}};
    double away = 0;

    return nearest_on(&ends[0], &ends[1], mtm_uv_from_xy(xy), &away);
}

static bool clip_polygon(const struct mtmi_hull *hull, mtm_xy from, mtm_xy to, double t[2])
{
    double low = -INFINITY, high = INFINITY;

    for (size_t i = 0; i < hull->count; i++) {
        const double *edge = hull->edge[i];
        double at_from = edge[0] * from.x + edge[1] * from.y + edge[2];
        double slope = edge[0] * (to.x - from.x) + edge[1] * (to.y - from.y);

        if (slope > 0)
            low = fmax(low, -at_from / slope);
        else if (slope < 0)
            high = fmin(high, -at_from / slope);
        else if (at_from < 0)
            return false;
    }
    t[0] = low;
    t[1] = high;
    return low <= high && isfinite(low) && isfinite(high);
}

static bool clip_segment(const struct mtmi_hull *hull, mtm_xy from, mtm_xy to, double t[2])
{
    mtm_xy a = hull->corner[0].xy, b = hull->corner[1].xy;
    mtmi_point start = {from.x, from.y}, end = {to.x, to.y};
    double side_a = mtmi_turn(start, end, (mtmi_point){a.x, a.y});
    double side_b = mtmi_turn(start, end, (mtmi_point){b.x, b.y});
    double along = side_a / (side_a - side_b); /* from a (0) to b (1); NaN if parallel */

    if (!(along >= 0 && along <= 1))
        return false;
    mtm_xy meet = {a.x + along * (b.x - a.x), a.y + along * (b.y - a.y)};
    double dx = to.x - from.x, dy = to.y - from.y;
    t[0] = ((meet.x - from.x) * dx + (meet.y - from.y) * dy) / (dx * dx + dy * dy);
    t[1] = t[0];
    return isfinite(t[0]);
}

bool mtmi_hull_clip(const struct mtmi_hull *hull, mtm_xy from, mtm_xy to, double t[2])
{
    if (hull->count >= 3)
        return clip_polygon(hull, from, to, t);
    return hull->count == 2 && clip_segment(hull, from, to, t);
}
