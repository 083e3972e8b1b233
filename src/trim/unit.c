/* SPDX-License-Identifier: MIT */
/* One unit's levels where its emitters depend on them: a fixed point around the linear solver. */
#include "trim/unit.h"

#include "calibrate/calibration.h"

#include <math.h>

#define ROUNDS_MAX 60
#define ROUNDS_FREE 20
#define STILL 1e-7
/* Below this an emitter is not in use. */
#define IN_USE 1e-9
/* Directions tried on the circle of the tolerance, and halvings of their gap about the best. */
#define DIRECTIONS 32
#define REFINEMENTS 8
#define TURN 6.28318530717958647692

/* Between two ways to reach a target (which emitters to use) the iteration could swing for ever:
 * from a point on, emitters that are not in use stay dark. */
static void drop_unused(const mtm_unit_model *model, const double *level, mtm_xyz *xyz,
                        double *watts)
{
    for (size_t i = 0; i < model->count; i++) {
        if (level[i] > IN_USE)
            continue;
        xyz[i] = (mtm_xyz){0, 0, 0};
        watts[i] = 0;
    }
}

/* Emitters that may not be at full are emitters of less light: levels are then parts of most. */
static void shorten(const struct mtmi_trim_bounds *bounds, size_t count, mtm_xyz *xyz,
                    double *watts)
{
    for (size_t i = 0; i < count; i++) {
        const double most = bounds->most[i];
        xyz[i] = (mtm_xyz){most * xyz[i].x, most * xyz[i].y, most * xyz[i].z};
        watts[i] *= most;
    }
}

/* A solver for a unit's emitters as they are alone, with which every iteration begins. */
static mtm_result first_solver(const mtm_unit_model *model, const struct mtmi_trim_bounds *bounds,
                               mtm_solver **solver, mtm_error *error)
{
    mtm_xyz xyz[MTM_EMITTERS_MAX];
    double watts[MTM_EMITTERS_MAX];

    for (size_t i = 0; i < model->count; i++) {
        xyz[i] = model->emitter[i].xyz;
        watts[i] = model->emitter[i].watts;
    }
    shorten(bounds, model->count, xyz, watts);
    return mtm_solver_create(xyz, watts, model->count, mtmi_trim_limit(model, bounds), solver,
                             error);
}

static mtm_result solve_linear(const mtm_xyz *xyz, const double *watts, size_t count,
                               double power_limit_w, const mtm_request *request, mtm_answer *answer,
                               mtm_error *error)
{
    mtm_solver *solver = NULL;

    mtm_result result = mtm_solver_create(xyz, watts, count, power_limit_w, &solver, error);
    if (result == MTM_OK)
        result = mtm_solver_solve(solver, request, answer, error);
    mtm_solver_free(solver);
    return result;
}

struct mtmi_trim_bounds mtmi_trim_bounds_of(const mtm_fixture *fixture)
{
    struct mtmi_trim_bounds bounds = {.power_limit_w = mtm_fixture_power_limit_w(fixture) *
                                                       (1 - mtm_fixture_limits(fixture)->headroom)};

    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++)
        bounds.most[i] = mtm_fixture_most_level(fixture, i);
    return bounds;
}

double mtmi_trim_limit(const mtm_unit_model *model, const struct mtmi_trim_bounds *bounds)
{
    double all = 0;

    for (size_t i = 0; i < model->count; i++)
        all += model->emitter[i].watts;
    return model->sharing == MTM_SHARING_LIMIT && all > 0
               ? fmin(bounds->power_limit_w, model->share * all)
               : bounds->power_limit_w;
}

static double take_levels(const mtm_unit_model *model, const double *found, double *level)
{
    double moved = 0;

    for (size_t i = 0; i < model->count; i++) {
        moved = fmax(moved, fabs(found[i] - level[i]));
        level[i] = found[i];
    }
    return moved;
}

/* The iteration; first is the solver of first_solver. */
static mtm_result settle(const mtm_unit_model *model, const struct mtmi_trim_bounds *bounds,
                         mtm_solver *first, mtm_xy xy, mtm_output output, mtmi_settled *settled,
                         mtm_error *error)
{
    const mtm_request request = {.xy = xy, .goal = MTM_GOAL_LIGHT, .output = output};
    const double limit_w = mtmi_trim_limit(model, bounds);
    mtmi_settled at = {.rounds = 0};
    mtm_xyz effective[MTM_EMITTERS_MAX];
    double watts[MTM_EMITTERS_MAX];

    while (at.rounds < ROUNDS_MAX && !at.settled) {
        mtm_answer answer;
        for (size_t i = 0; i < model->count; i++)
            watts[i] = model->emitter[i].watts;
        if (at.rounds >= ROUNDS_FREE)
            drop_unused(model, at.level, effective, watts);
        if (at.rounds > 0)
            shorten(bounds, model->count, effective, watts);
        mtm_result result = at.rounds == 0 ? mtm_solver_solve(first, &request, &answer, error)
                                           : solve_linear(effective, watts, model->count, limit_w,
                                                          &request, &answer, error);
        if (result != MTM_OK)
            return result;
        for (size_t i = 0; i < model->count; i++)
            answer.level[i] *= bounds->most[i];
        at.settled = take_levels(model, answer.level, at.level) < STILL;
        at.shortfall = answer.shortfall;
        at.rounds++;
        mtm_unit_model_effective(model, at.level, effective);
    }
    at.xyz = mtm_unit_model_xyz(model, at.level);
    *settled = at;
    return MTM_OK;
}

mtm_result mtmi_trim_solve(const mtm_unit_model *model, const struct mtmi_trim_bounds *bounds,
                           mtm_xy xy, mtm_output output, mtmi_settled *settled, mtm_error *error)
{
    mtm_solver *first = NULL;

    mtm_result result = first_solver(model, bounds, &first, error);
    if (result == MTM_OK)
        result = settle(model, bounds, first, xy, output, settled, error);
    mtm_solver_free(first);
    return result;
}

/* The circle that is searched, and the most found so far. */
typedef struct circle {
    const mtm_unit_model *model;
    const struct mtmi_trim_bounds *bounds;
    mtm_solver *first;
    mtm_uv middle;
    double radius;
    double most;
    double angle; /* of the most */
} circle;

static mtm_result try_point(circle *c, double radius, double angle, mtm_error *error)
{
    const mtm_output all = {.type = MTM_OUTPUT_MAX};
    mtm_uv uv = {c->middle.u + radius * cos(angle), c->middle.v + radius * sin(angle)};
    mtm_xy there = mtm_xy_from_uv(uv);
    mtmi_settled settled;

    if (!mtm_xy_valid(there))
        return MTM_OK;
    mtm_result result = settle(c->model, c->bounds, c->first, there, all, &settled, error);
    if (result != MTM_OK)
        return result;
    /* a point out of reach is answered by another, which may lie outside the circle */
    if (mtm_uv_distance(mtm_uv_from_xyz(settled.xyz), c->middle) > c->radius * (1 + 1e-6) ||
        settled.xyz.y <= c->most)
        return MTM_OK;
    c->most = settled.xyz.y;
    c->angle = angle;
    return MTM_OK;
}

mtm_result mtmi_trim_most_within(const mtm_unit_model *model, const struct mtmi_trim_bounds *bounds,
                                 mtm_xy xy, double distance_uv, double *most, mtm_error *error)
{
    circle c = {
        .model = model, .bounds = bounds, .middle = mtm_uv_from_xy(xy), .radius = distance_uv};

    mtm_result result = first_solver(model, bounds, &c.first, error);
    if (result == MTM_OK)
        result = try_point(&c, 0, 0, error);
    for (int i = 0; i < DIRECTIONS && result == MTM_OK; i++)
        result = try_point(&c, distance_uv, TURN * i / DIRECTIONS, error);
    double step = TURN / DIRECTIONS;
    for (int i = 0; i < REFINEMENTS && result == MTM_OK; i++) {
        double angle = c.angle;
        step /= 2;
        result = try_point(&c, distance_uv, angle - step, error);
        if (result == MTM_OK)
            result = try_point(&c, distance_uv, angle + step, error);
    }
    if (result == MTM_OK)
        *most = c.most;
    mtm_solver_free(c.first);
    return result;
}
