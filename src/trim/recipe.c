/* SPDX-License-Identifier: MIT */
/* The one mix that all units of a kind are trimmed about. */
#include "trim/recipe.h"

#include "base/error.h"
#include "unit/emitters.h"

#include <metamer/spectral.h>

#include <math.h>

/* The units of a kind taken together. */
typedef struct typical {
    size_t count; /* emitters */
    mtm_xyz xyz[MTM_EMITTERS_MAX];
    double watts[MTM_EMITTERS_MAX];
    double limit_w;
} typical;

/* The mean chromaticity of each emitter (of X + Y + Z = 1), as much as the weakest unit
 * may give. */
static typical find_typical(const mtm_calibration *calibration, const mtm_rig *rig,
                            const mtm_fixture *fixture)
{
    const struct mtmi_trim_bounds bounds = mtmi_trim_bounds_of(fixture);
    typical found = {.count = mtm_fixture_emitter_count(fixture), .limit_w = bounds.power_limit_w};

    for (size_t e = 0; e < found.count; e++) {
        mtm_xyz sum = {0, 0, 0};
        double units = 0;
        double least = INFINITY;
        for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
            const mtm_unit_model *model = mtm_calibration_unit(calibration, i);
            if (mtm_rig_unit(rig, i)->fixture != fixture || !model->calibrated)
                continue;
            mtm_xyz one = model->emitter[e].xyz;
            double size = bounds.most[e] * (one.x + one.y + one.z);
            found.watts[e] = bounds.most[e] * model->emitter[e].watts;
            least = fmin(least, size);
            if (!(size > 0 && one.y > 0))
                continue;
            size = one.x + one.y + one.z;
            sum = (mtm_xyz){sum.x + one.x / size, sum.y + one.y / size, sum.z + one.z / size};
            units++;
        }
        if (units > 0 && least > 0)
            found.xyz[e] =
                (mtm_xyz){sum.x * least / units, sum.y * least / units, sum.z * least / units};
    }
    return found;
}

static mtm_result by_light(const typical *mean, const mtm_trim_request *request, mtm_goal goal,
                           mtmi_recipe *recipe, mtm_error *error)
{
    const mtm_request wanted = {.xy = request->target,
                                .goal = goal,
                                .output = goal == MTM_GOAL_WATTS ? request->output
                                                                 : (mtm_output){MTM_OUTPUT_MAX, 0}};
    mtm_solver *solver = NULL;
    mtm_answer answer;

    mtm_result result =
        mtm_solver_create(mean->xyz, mean->watts, mean->count, mean->limit_w, &solver, error);
    if (result == MTM_OK)
        result = mtm_solver_solve(solver, &wanted, &answer, error);
    mtm_solver_free(solver);
    if (result == MTM_OK)
        *recipe = mtmi_recipe_of(mean->xyz, answer.level, mean->count);
    return result;
}

/* Spectra are those of the fixture file: the recipe is the kind's, not a unit's. */
static mtm_result by_spectra(const mtm_fixture *fixture, const mtm_trim_request *request,
                             mtmi_recipe *recipe, mtm_error *error)
{
    const mtm_request wanted = {.xy = request->target};
    struct mtmi_emitters emitters;
    mtm_spectral *spectral = NULL;
    mtm_best best;

    mtm_result result = mtmi_emitters_from(fixture, MTM_OBSERVER_2, &emitters, error);
    if (result == MTM_OK)
        result = mtm_spectral_create(fixture, &spectral, error);
    if (result == MTM_OK && request->goal == MTM_GOAL_RENDERING)
        result = mtm_spectral_rendering(spectral, &wanted, request->index, request->reference,
                                        &best, error);
    else if (result == MTM_OK)
        result = mtm_spectral_nearest(spectral, &wanted, request->reference, &best, error);
    mtm_spectral_free(spectral);
    if (result != MTM_OK)
        return result;
    *recipe = mtmi_recipe_of(emitters.xyz, best.answer.level, emitters.count);
    return MTM_OK;
}

static mtm_result find_recipe(const mtm_calibration *calibration, const mtm_rig *rig,
                              const mtm_fixture *fixture, const mtm_trim_request *request,
                              mtmi_recipe *recipe, mtm_goal *goal, mtm_error *error)
{
    const typical all = find_typical(calibration, rig, fixture);

    if (request->goal == MTM_GOAL_RENDERING || request->goal == MTM_GOAL_SPECTRUM) {
        mtm_result result = by_spectra(fixture, request, recipe, error);
        *goal = request->goal;
        if (result != MTM_UNSUPPORTED && result != MTM_RANGE)
            return result;
    }
    *goal = request->goal == MTM_GOAL_WATTS ? MTM_GOAL_WATTS : MTM_GOAL_LIGHT;
    return by_light(&all, request, *goal, recipe, error);
}

mtm_result mtmi_trim_recipes(const mtm_calibration *calibration, const mtm_rig *rig,
                             const mtm_trim_request *request, mtm_trim_unit *units, size_t count,
                             mtmi_recipe *recipe, mtm_error *error)
{
    mtm_result result = MTM_OK;

    for (size_t i = 0; i < count && result == MTM_OK; i++) {
        const mtm_fixture *fixture = mtm_rig_unit(rig, units[i].unit)->fixture;
        size_t first = 0;
        while (mtm_rig_unit(rig, units[first].unit)->fixture != fixture)
            first++;
        if (first == i)
            result =
                find_recipe(calibration, rig, fixture, request, &recipe[i], &units[i].goal, error);
        units[i].goal = units[first].goal;
        recipe[i] = recipe[first];
    }
    return result;
}
