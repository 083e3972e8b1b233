/* SPDX-License-Identifier: MIT */
/* Freedom: whether a chromaticity can be mixed in more than one way. */
#include "solve/solver.h"

#include <math.h>

/* Nearer than this, in x, y, a point lies on a side of the gamut. */
#define ON_SIDE 1e-9

static double beside(const double edge[3], mtm_xy xy)
{
    return edge[0] * xy.x + edge[1] * xy.y + edge[2];
}

/* On a side of the gamut only the emitters of that side can take part. */
static bool takes_part(const struct mtmi_hull *hull, mtm_xy emitter, mtm_xy xy)
{
    for (size_t i = 0; i < hull->count; i++) {
        if (beside(hull->edge[i], xy) <= ON_SIDE && beside(hull->edge[i], emitter) > ON_SIDE)
            return false;
    }
    return true;
}

static size_t sides_at(const struct mtmi_hull *hull, mtm_xy xy)
{
    size_t sides = 0;

    for (size_t i = 0; i < hull->count; i++)
        sides += beside(hull->edge[i], xy) <= ON_SIDE;
    return sides < 2 ? sides : 2;
}

static bool same_place(mtm_xy a, mtm_xy b)
{
    return hypot(a.x - b.x, a.y - b.y) <= ON_SIDE;
}

/* At an end of a segment, or where the gamut is a point, only emitters of that very chromaticity.
 */
static bool at_end(const struct mtmi_hull *hull, mtm_xy xy)
{
    for (size_t i = 0; i < hull->count; i++) {
        if (same_place(hull->corner[i].xy, xy))
            return true;
    }
    return false;
}

bool mtmi_solver_is_free(const mtm_solver *solver, mtm_xy xy)
{
    const struct mtmi_hull *hull = &solver->hull;
    bool polygon = hull->count >= 3, end = !polygon && at_end(hull, xy);
    size_t needed = polygon ? 3 - sides_at(hull, xy) : end ? 1 : 2, count = 0;

    for (size_t k = 0; k < solver->count; k++) {
        mtm_xyz xyz = {solver->a[k][0], solver->a[k][1], solver->a[k][2]};
        if (!(xyz.x + xyz.y + xyz.z > 0))
            continue;
        mtm_xy emitter = mtm_xy_from_xyz(xyz);
        count += polygon ? takes_part(hull, emitter, xy) : !end || same_place(emitter, xy);
    }
    return count > needed;
}
