/* SPDX-License-Identifier: MIT */
/* The request of a trim: checked, and with the white that all its units can reach. */
#include "trim/request.h"

#include "base/error.h"
#include "calibrate/calibration.h"
#include "numeric/convex.h"
#include "solve/matcher.h"

#include <metamer/tolerance.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

mtm_result mtmi_trim_check_request(const mtm_trim_request *request, mtm_error *error)
{
    if (!mtm_xy_valid(request->target))
        return mtmi_fail(error, MTM_INVALID, "the target %g, %g is no chromaticity",
                         request->target.x, request->target.y);
    if (!(request->steps > 0 && request->steps <= 100))
        return mtmi_fail(error, MTM_INVALID, "a tolerance of %g steps; allowed is above 0 to 100",
                         request->steps);
    if ((unsigned)request->output.type > MTM_OUTPUT_SHARE)
        return mtmi_fail(error, MTM_INVALID,
                         "a trim makes light equal as it leaves the units; its output is stated in "
                         "lumens or per cent");
    if (request->output.type != MTM_OUTPUT_MAX &&
        !(request->output.value > 0 && isfinite(request->output.value)))
        return mtmi_fail(error, MTM_INVALID, "an output of %g; allowed is above 0",
                         request->output.value);
    if ((int)request->goal < MTM_GOAL_LIGHT || (int)request->goal > MTM_GOAL_SPECTRUM)
        return mtmi_fail(error, MTM_INVALID, "goal %d; allowed are those of mtm_goal_at",
                         (int)request->goal);
    if ((int)request->index < MTM_INDEX_RF || (int)request->index > MTM_INDEX_SSI)
        return mtmi_fail(error, MTM_INVALID, "index %d; allowed are those of mtm_index_at",
                         (int)request->index);
    if (request->output.type == MTM_OUTPUT_SHARE && request->output.value > 1)
        return mtmi_fail(error, MTM_INVALID, "an output of %g of the most; allowed is up to 1",
                         request->output.value);
    return MTM_OK;
}

/* The gamut of a unit in u', v', by its own emitters at full; returns how many corners it has. */
static mtm_result gamut_of(const mtm_calibration *calibration, size_t unit, mtmi_point *corner,
                           size_t *count, mtm_error *error)
{
    double full[MTM_EMITTERS_MAX];
    mtm_xy xy[MTM_EMITTERS_MAX];
    mtm_fixture *own = NULL;
    mtm_solver *solver = NULL;

    for (size_t i = 0; i < MTM_EMITTERS_MAX; i++)
        full[i] = 1;
    mtm_result result = mtmi_calibration_own_fixture(calibration, unit, full, &own, error);
    if (result == MTM_OK)
        result = mtm_solver_create_for(own, MTM_OBSERVER_2, &solver, error);
    if (result == MTM_OK) {
        *count = mtm_solver_gamut(solver, xy);
        for (size_t i = 0; i < *count; i++) {
            mtm_uv uv = mtm_uv_from_xy(xy[i]);
            corner[i] = (mtmi_point){uv.u, uv.v};
        }
    }
    mtm_solver_free(solver);
    mtm_fixture_free(own);
    return result;
}

/* What all units reach, clipped unit after unit. */
static mtm_result clip_all(const mtm_calibration *calibration, const mtm_rig *rig,
                           const mtm_trim_unit *units, size_t count, mtmi_polygon *common,
                           mtmi_point *scratch, mtm_error *error)
{
    mtm_result result = gamut_of(calibration, units[0].unit, common->corner, &common->count, error);

    for (size_t i = 1; i < count && result == MTM_OK; i++) {
        mtmi_point corner[MTM_EMITTERS_MAX];
        size_t corners = 0;
        result = gamut_of(calibration, units[i].unit, corner, &corners, error);
        if (result != MTM_OK)
            return result;
        mtmi_polygon_clip(common, corner, corners, scratch);
        if (common->count == 0)
            return mtmi_fail(error, MTM_RANGE,
                             "unit \"%.60s\" has no colour in common with those before it; leave "
                             "some out, or trim without a common white",
                             mtm_rig_unit(rig, units[i].unit)->name);
    }
    return result;
}

/* A later round keeps the white that the round before found: what was read since moves the edge of
 * what all reach by less than the tolerance, and a white that moves with it would never settle. */
static mtm_xy keep_white(const mtm_trim_aim *then, const mtm_trim_request *request, mtm_xy found)
{
    if (then == NULL)
        return found;
    double moved = mtm_uv_distance(mtm_uv_from_xy(then->target), mtm_uv_from_xy(found));
    return moved <= request->steps * MTM_STEP_UV ? then->target : found;
}

/* A white is what is asked for, so that it is not moved as a colour of a cue would be. */
static mtm_result check_purity(const mtm_rig *rig, mtm_xy target, const mtm_trim_unit *units,
                               size_t count, mtm_error *error)
{
    for (size_t i = 0; i < count; i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, units[i].unit);
        const mtm_limits *limits = mtm_fixture_limits(unit->fixture);
        mtm_xy pure = target;
        if (mtmi_bring_in(limits, MTM_OBSERVER_2, &pure))
            return mtmi_fail(error, MTM_INVALID,
                             "the limits of unit \"%.60s\" allow a purity of %g, and the white to "
                             "trim to has more",
                             unit->name, limits->most_purity);
    }
    return MTM_OK;
}

mtm_result mtmi_trim_state_request(const mtm_calibration *calibration, const mtm_rig *rig,
                                   const mtm_trim_request *request, const mtm_trim_unit *units,
                                   size_t count, const mtm_trim_aim *then, mtm_trim_request *stated,
                                   mtm_error *error)
{
    size_t room = count * MTMI_POLYGON_GROWTH(MTM_EMITTERS_MAX) + MTM_EMITTERS_MAX;
    mtmi_point *corner = NULL;
    mtmi_point *scratch = NULL;

    *stated = *request;
    if (!request->together)
        return check_purity(rig, request->target, units, count, error);
    corner = calloc(room, sizeof *corner);
    scratch = calloc(room, sizeof *scratch);
    mtmi_polygon common = {.corner = corner, .room = room};
    mtm_result result = corner == NULL || scratch == NULL
                            ? mtmi_fail_memory(error)
                            : clip_all(calibration, rig, units, count, &common, scratch, error);
    if (result == MTM_OK) {
        mtm_uv wanted = mtm_uv_from_xy(request->target);
        mtmi_point on = mtmi_polygon_nearest(&common, (mtmi_point){wanted.u, wanted.v});
        mtm_uv nearest = {on.x, on.y};
        if (mtm_uv_distance(nearest, wanted) > MTMI_CONVEX_SLACK)
            stated->target = keep_white(then, request, mtm_xy_from_uv(nearest));
    }
    if (result == MTM_OK)
        result = check_purity(rig, stated->target, units, count, error);
    free(corner);
    free(scratch);
    return result;
}
