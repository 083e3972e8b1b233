/* SPDX-License-Identifier: MIT */
/* Making a solver, and what it knows without a request. */
#include "solve/solver.h"

#include "base/error.h"
#include "unit/emitters.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Rounding, and meters, put the chromaticity of a deep red a little beyond x + y = 1; what matters
 * is that mixtures have a chromaticity in x, y and in u', v'. */
static bool is_light(mtm_xyz xyz)
{
    double xy_sum = xyz.x + xyz.y + xyz.z, uv_sum = xyz.x + 15 * xyz.y + 3 * xyz.z;

    if (xyz.x == 0 && xyz.y == 0 && xyz.z == 0)
        return true;
    return xyz.y >= 0 && xy_sum > 0 && uv_sum > 0 && isfinite(xy_sum) && isfinite(uv_sum);
}

static mtm_result check_emitters(const mtm_xyz *xyz, const double *watts, size_t count,
                                 double power_limit_w, mtm_error *error)
{
    if (count < 1 || count > MTM_EMITTERS_MAX)
        return mtmi_fail(error, MTM_INVALID, "found %zu emitters, allowed are 1 to %d", count,
                         MTM_EMITTERS_MAX);
    for (size_t k = 0; k < count; k++) {
        if (!is_light(xyz[k]))
            return mtmi_fail(error, MTM_INVALID,
                             "emitter %zu has XYZ %g, %g, %g; allowed are finite values, Y of at "
                             "least 0, that have a chromaticity, or 0, 0, 0",
                             k + 1, xyz[k].x, xyz[k].y, xyz[k].z);
        if (!(watts[k] >= 0 && isfinite(watts[k])))
            return mtmi_fail(error, MTM_INVALID,
                             "emitter %zu takes %g W; allowed are finite values of at least 0",
                             k + 1, watts[k]);
    }
    if (!(power_limit_w > 0))
        return mtmi_fail(error, MTM_INVALID, "the power limit is %g W, it must be more than 0",
                         power_limit_w);
    return MTM_OK;
}

/* Copies the emitters in units of the longest; false if all are dark. */
static bool take_emitters(mtm_solver *solver, const mtm_xyz *xyz, const double *watts)
{
    for (size_t k = 0; k < solver->count; k++) {
        double length = hypot(hypot(xyz[k].x, xyz[k].y), xyz[k].z);
        solver->unit = length > solver->unit ? length : solver->unit;
    }
    for (size_t k = 0; k < solver->count; k++) {
        double scale = solver->unit > 0 ? solver->unit : 1;
        solver->a[k][0] = xyz[k].x / scale;
        solver->a[k][1] = xyz[k].y / scale;
        solver->a[k][2] = xyz[k].z / scale;
        solver->watts[k] = watts[k];
        memcpy(solver->whole[k], solver->a[k], sizeof solver->whole[k]);
        solver->most[k] = 1;
    }
    return solver->unit > 0;
}

mtm_result mtm_solver_create(const mtm_xyz *xyz, const double *watts, size_t count,
                             double power_limit_w, mtm_solver **out, mtm_error *error)
{
    if (xyz == NULL || watts == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a solver needs emitters and their watts");
    mtm_result result = check_emitters(xyz, watts, count, power_limit_w, error);
    if (result != MTM_OK)
        return result;

    mtm_solver *solver = calloc(1, sizeof *solver);
    if (solver == NULL)
        return mtmi_fail_memory(error);
    solver->count = count;
    solver->power_limit_w = power_limit_w;
    if (take_emitters(solver, xyz, watts)) {
        mtmi_hull_prepare(&solver->hull, xyz, count);
        if (!mtmi_zonotope_prepare(solver)) {
            mtm_solver_free(solver);
            return mtmi_fail_memory(error);
        }
    }
    *out = solver;
    return MTM_OK;
}

/* Emitters that may not be at full are emitters of less light; whoever asks is told their levels.
 */
static mtm_result create_limited(const struct mtmi_emitters *emitters, mtm_solver **out,
                                 mtm_error *error)
{
    mtm_xyz xyz[MTM_EMITTERS_MAX];
    double watts[MTM_EMITTERS_MAX];
    mtm_solver *solver = NULL;
    bool limited = false;

    for (size_t k = 0; k < emitters->count; k++) {
        double most = emitters->most[k];
        xyz[k] = (mtm_xyz){most * emitters->xyz[k].x, most * emitters->xyz[k].y,
                           most * emitters->xyz[k].z};
        watts[k] = most * emitters->watts[k];
        limited = limited || most < 1;
    }
    mtm_result result =
        mtm_solver_create(xyz, watts, emitters->count, emitters->power_limit_w, &solver, error);
    if (result != MTM_OK || solver == NULL)
        return result;
    solver->limited = limited;
    double scale = solver->unit > 0 ? solver->unit : 1;
    for (size_t k = 0; limited && k < emitters->count; k++) {
        solver->most[k] = emitters->most[k];
        solver->whole[k][0] = emitters->xyz[k].x / scale;
        solver->whole[k][1] = emitters->xyz[k].y / scale;
        solver->whole[k][2] = emitters->xyz[k].z / scale;
    }
    *out = solver;
    return MTM_OK;
}

mtm_result mtm_solver_create_for(const mtm_fixture *fixture, mtm_observer observer,
                                 mtm_solver **out, mtm_error *error)
{
    struct mtmi_emitters emitters;

    if (fixture == NULL || out == NULL || (unsigned)observer >= MTM_OBSERVER_COUNT)
        return mtmi_fail(error, MTM_INVALID, "a solver needs a fixture and an observer");
    mtm_result result = mtmi_emitters_from(fixture, observer, &emitters, error);
    if (result != MTM_OK)
        return result;
    return create_limited(&emitters, out, error);
}

void mtm_solver_free(mtm_solver *solver)
{
    if (solver == NULL)
        return;
    mtmi_zonotope_release(solver);
    free(solver);
}

mtm_xyz mtm_solver_xyz(const mtm_solver *solver, const double *level)
{
    if (solver == NULL || level == NULL)
        return (mtm_xyz){0, 0, 0};
    mtm_xyz sum = {0, 0, 0};

    for (size_t k = 0; k < solver->count; k++) {
        double scaled = level[k] * solver->unit;
        sum.x += scaled * solver->whole[k][0];
        sum.y += scaled * solver->whole[k][1];
        sum.z += scaled * solver->whole[k][2];
    }
    return sum;
}

mtm_xy mtm_solver_nearest(const mtm_solver *solver, mtm_xy xy, double *delta_uv)
{
    mtm_xy nearest = xy;
    double away = 0;

    if (solver == NULL || !isfinite(xy.x) || !isfinite(xy.y) || solver->hull.count == 0) {
        nearest = (mtm_xy){0, 0};
        away = INFINITY;
    } else if (!mtmi_hull_holds(&solver->hull, xy)) {
        nearest = mtmi_hull_nearest(&solver->hull, xy);
        away = mtm_uv_distance(mtm_uv_from_xy(xy), mtm_uv_from_xy(nearest));
    }
    if (delta_uv != NULL)
        *delta_uv = away;
    return nearest;
}

size_t mtm_solver_gamut(const mtm_solver *solver, mtm_xy corner[MTM_EMITTERS_MAX])
{
    if (solver == NULL || corner == NULL)
        return 0;
    for (size_t i = 0; i < solver->hull.count; i++)
        corner[i] = solver->hull.corner[i].xy;
    return solver->hull.count;
}
