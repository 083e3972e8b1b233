/* SPDX-License-Identifier: MIT */
/* A unit's mix as near to a recipe as the target allows. */
#include "trim/near.h"

#include "base/number.h"
#include "numeric/qp.h"

#include <math.h>

#define ROUNDS_MAX 60
#define STILL 1e-7
/* What the others reach is reached: a gain in u', v' below this lights no emitter. */
#define REACHED 1e-7
/* The share that weighs an emitter which the recipe leaves dark and the target needs. */
#define UNWANTED 0.01

/* One round: the emitters as they are at the levels of the last one. */
typedef struct mix {
    size_t count;
    const mtmi_recipe *recipe;
    mtm_xy xy;
    bool
        wide; /* emitters beside the recipe's may be lit: without them the target is out of reach */
    mtm_xyz xyz[MTM_EMITTERS_MAX];
    double size[MTM_EMITTERS_MAX];  /* X + Y + Z; 0: dark */
    double share[MTM_EMITTERS_MAX]; /* found */
    bool short_of_gamut;
} mix;

static double size_of(mtm_xyz xyz)
{
    return fmax(xyz.x + xyz.y + xyz.z, 0);
}

mtmi_recipe mtmi_recipe_of(const mtm_xyz *xyz, const double *level, size_t count)
{
    mtmi_recipe recipe = {{0}};
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += level[i] * size_of(xyz[i]);
    for (size_t i = 0; i < count && sum > 0; i++)
        recipe.share[i] = level[i] * size_of(xyz[i]) / sum;
    return recipe;
}

/* A mix that reaches what can be reached, from the recipe's emitters or from all. */
static mtm_result reach(const mix *m, bool all, mtm_answer *answer, mtm_error *error)
{
    const mtm_request request = {.xy = m->xy, .goal = MTM_GOAL_LIGHT};
    mtm_xyz xyz[MTM_EMITTERS_MAX];
    double watts[MTM_EMITTERS_MAX] = {0};
    mtm_solver *solver = NULL;
    bool lit = false;

    for (size_t i = 0; i < m->count; i++) {
        bool used = m->size[i] > 0 && (all || m->recipe->share[i] > 0);
        xyz[i] = used ? m->xyz[i] : (mtm_xyz){0, 0, 0};
        lit = lit || used;
    }
    *answer = (mtm_answer){.delta_uv = INFINITY};
    if (!lit)
        return MTM_OK;
    mtm_result result = mtm_solver_create(xyz, watts, m->count, INFINITY, &solver, error);
    if (result == MTM_OK)
        result = mtm_solver_solve(solver, &request, answer, error);
    mtm_solver_free(solver);
    return result;
}

/* Weights: x = share / weight, so that equal relative changes count alike. */
static double weight_of(const mix *m, size_t i)
{
    if (!(m->size[i] > 0))
        return 0;
    if (m->recipe->share[i] > 0)
        return m->recipe->share[i];
    return m->wide ? UNWANTED : 0;
}

static void least_change(mix *m, const mtmi_recipe *start)
{
    struct mtmi_qp qp = {.count = m->count, .rows = 3};
    double x[MTMI_QP_VARIABLES] = {0};
    double gap = 0;
    double sum = 0;

    for (size_t i = 0; i < m->count; i++) {
        double weight = weight_of(m, i);
        qp.h[i][i] = 1;
        qp.c[i] = m->recipe->share[i] > 0 ? -1 : 0;
        if (!(weight > 0))
            continue; /* no row, no room */
        qp.upper[i] = INFINITY;
        qp.a[0][i] = weight * m->xyz[i].x / m->size[i];
        qp.a[1][i] = weight * m->xyz[i].y / m->size[i];
        qp.a[2][i] = weight * m->xyz[i].z / m->size[i];
        x[i] = start->share[i] / weight;
    }
    mtmi_qp_solve(&qp, x, &gap);
    for (size_t i = 0; i < m->count; i++) {
        m->share[i] = fmax(x[i], 0) * weight_of(m, i);
        sum += m->share[i];
    }
    for (size_t i = 0; i < m->count && sum > 0; i++)
        m->share[i] /= sum;
}

static mtm_result find_mix(mix *m, mtm_error *error)
{
    mtm_answer own;
    mtm_answer all;

    mtm_result result = reach(m, false, &own, error);
    if (result == MTM_OK)
        result = reach(m, true, &all, error);
    if (result != MTM_OK)
        return result;
    m->wide = m->wide || own.delta_uv > all.delta_uv + REACHED;
    m->short_of_gamut = all.shortfall & MTM_SHORT_GAMUT;
    const mtmi_recipe start = mtmi_recipe_of(m->xyz, m->wide ? all.level : own.level, m->count);
    least_change(m, &start);
    return MTM_OK;
}

/* Levels of the mix at the output; returns by how much they moved. */
static double scale(const mix *m, const mtm_unit_model *model,
                    const struct mtmi_trim_bounds *bounds, mtm_output output, mtmi_settled *at)
{
    const double limit_w = mtmi_trim_limit(model, bounds);
    double level[MTM_EMITTERS_MAX] = {0};
    double highest = 0; /* as parts of what they may be */
    double watts = 0;
    double light = 0;
    double moved = 0;

    for (size_t i = 0; i < m->count; i++) {
        level[i] = m->size[i] > 0 ? m->share[i] / m->size[i] : 0;
        highest = level[i] > 0 ? fmax(highest, level[i] / bounds->most[i]) : highest;
        watts += level[i] * model->emitter[i].watts;
        light += level[i] * m->xyz[i].y;
    }
    double most = highest > 0 ? 1 / highest : 0;
    bool power = mtmi_exceeds(watts * most, limit_w);
    if (watts * most > limit_w)
        most = limit_w / watts;
    double wanted = output.type == MTM_OUTPUT_LM && light > 0 ? output.value / light : most;
    bool cut = mtmi_exceeds(wanted, most);
    at->shortfall = (m->short_of_gamut ? MTM_SHORT_GAMUT : 0U) | (cut ? MTM_SHORT_OUTPUT : 0U) |
                    (power && !mtmi_exceeds(most, wanted) ? MTM_SHORT_POWER : 0U);
    for (size_t i = 0; i < m->count; i++) {
        double next = fmin(level[i] * fmin(wanted, most), bounds->most[i]);
        moved = fmax(moved, fabs(next - at->level[i]));
        at->level[i] = next;
    }
    return moved;
}

mtm_result mtmi_trim_near(const mtm_unit_model *model, const struct mtmi_trim_bounds *bounds,
                          mtm_xy xy, const mtmi_recipe *recipe, mtm_output output,
                          mtmi_settled *settled, mtm_error *error)
{
    mix m = {.count = model->count, .recipe = recipe, .xy = xy};
    mtmi_settled at = {.rounds = 0};

    for (size_t i = 0; i < m.count; i++)
        m.xyz[i] = model->emitter[i].xyz;
    while (at.rounds < ROUNDS_MAX && !at.settled) {
        for (size_t i = 0; i < m.count; i++)
            m.size[i] = m.xyz[i].y > 0 && bounds->most[i] > 0 ? size_of(m.xyz[i]) : 0;
        mtm_result result = find_mix(&m, error);
        if (result != MTM_OK)
            return result;
        at.settled = scale(&m, model, bounds, output, &at) < STILL;
        at.rounds++;
        mtm_unit_model_effective(model, at.level, m.xyz);
    }
    at.xyz = mtm_unit_model_xyz(model, at.level);
    *settled = at;
    return MTM_OK;
}
