/* SPDX-License-Identifier: MIT */
/* The trade-off between output, watts and Rf at one chromaticity. */
#include "solve/matcher.h"
#include "solve/objective.h"

#include "base/error.h"
#include "base/number.h"

#include <math.h>
#include <stdlib.h>

/* Differences that nobody sees or pays for. */
#define SAME_SHARE 1e-3
#define SAME_RF 0.05
#define SAME_UV 1e-4
/* An output so small that no emitter reaches its end: there the fewest watts are the most lumens a
 * watt. */
#define FAINT 1e-6

/* Rows in the making. */
struct rows {
    const mtm_spectral *spectral;
    struct mtmi_feasible_set feasible;
    struct mtmi_objective objective;
    mtm_choice *choice;
    size_t count;
};

static void add(struct rows *rows, const mtm_answer *answer)
{
    double x[MTMI_QP_VARIABLES] = {0}, residual[MTMI_RESIDUALS_MAX];

    for (size_t k = 0; k < rows->spectral->emitters.count; k++)
        x[k] = answer->level[k] * rows->feasible.unit[k];
    double mean_residual =
        mtmi_objective_at(&rows->objective, &rows->feasible, x, INFINITY, residual);
    rows->choice[rows->count].answer = *answer;
    rows->choice[rows->count++].rf = mtmi_objective_index(&rows->objective, mean_residual);
}

static mtm_result add_rendering(struct rows *rows, const mtm_request *request, double limit_w,
                                mtm_error *error)
{
    mtm_best best;
    mtm_result result =
        mtmi_rendering(rows->spectral, request, limit_w, MTM_INDEX_RF, NULL, &best, error);

    if (result == MTM_OK)
        add(rows, &best.answer);
    return result;
}

/* The most lumens a watt, as bright as that mixture goes. */
static mtm_result add_thrifty(struct rows *rows, mtm_request request, mtm_error *error)
{
    mtm_answer answer;
    double x[MTMI_QP_VARIABLES] = {0};

    request.goal = MTM_GOAL_WATTS;
    request.output = (mtm_output){MTM_OUTPUT_SHARE, FAINT};
    mtm_result result = mtm_solver_solve(rows->spectral->solver, &request, &answer, error);
    if (result != MTM_OK || !(answer.xyz.y > 0))
        return result;
    for (size_t k = 0; k < rows->spectral->emitters.count; k++)
        x[k] = answer.level[k] * rows->feasible.unit[k];
    mtmi_feasible_set_answer(&rows->feasible, x, &answer);
    add(rows, &answer);
    return MTM_OK;
}

/* The best rendering at outputs between the best one's own and the most. */
static mtm_result add_lighter(struct rows *rows, mtm_request request, mtm_error *error)
{
    double most = rows->choice[0].answer.xyz.y, best = rows->choice[1].answer.xyz.y;
    mtm_result result = MTM_OK;

    for (int third = 1; third < 3 && result == MTM_OK; third++) {
        request.output = (mtm_output){MTM_OUTPUT_LM, most + third * (best - most) / 3};
        result = add_rendering(rows, &request, rows->spectral->emitters.power_limit_w, error);
    }
    return result;
}

/* At the output of the best rendering, the best of fewer watts, down to the fewest. */
static mtm_result add_fewer_watts(struct rows *rows, mtm_request request, mtm_error *error)
{
    mtm_answer thrifty;

    request.goal = MTM_GOAL_WATTS;
    request.output = (mtm_output){MTM_OUTPUT_LM, rows->choice[1].answer.xyz.y};
    mtm_result result = mtm_solver_solve(rows->spectral->solver, &request, &thrifty, error);
    if (result != MTM_OK)
        return result;
    double most = rows->choice[1].answer.watts, fewest = thrifty.watts;
    for (int third = 1; third < 3 && fewest > 0 && result == MTM_OK; third++) {
        double limit_w =
            fmin(most + third * (fewest - most) / 3, rows->spectral->emitters.power_limit_w);
        result = add_rendering(rows, &request, limit_w, error);
    }
    add(rows, &thrifty);
    return result;
}

/* True if b is as good as a in all, so that a is not needed. Of what has no Rf that is left out. */
static bool covers(const mtm_choice *b, const mtm_choice *a)
{
    return b->answer.xyz.y >= a->answer.xyz.y * (1 - SAME_SHARE) &&
           b->answer.watts <= a->answer.watts * (1 + SAME_SHARE) && !(b->rf < a->rf - SAME_RF) &&
           b->answer.delta_uv <= a->answer.delta_uv + SAME_UV;
}

/* Most light first; of the same output, the best rendering. */
static int by_output(const void *a, const void *b)
{
    const mtm_choice *x = a, *y = b;

    if (fabs(x->answer.xyz.y - y->answer.xyz.y) > SAME_SHARE * x->answer.xyz.y)
        return x->answer.xyz.y < y->answer.xyz.y ? 1 : -1;
    return (x->rf < y->rf) - (x->rf > y->rf);
}

/* Drops rows that another covers. The first two, the most light and the best rendering, go last. */
static size_t thin(mtm_choice *choice, size_t count)
{
    for (size_t i = count; i-- > 0;) {
        for (size_t j = 0; j < count; j++) {
            if (j == i || !covers(&choice[j], &choice[i]))
                continue;
            for (size_t k = i + 1; k < count; k++)
                choice[k - 1] = choice[k];
            count--;
            break;
        }
    }
    return count;
}

size_t mtmi_choices_thin(mtm_choice *choice, size_t count)
{
    count = thin(choice, count);
    qsort(choice, count, sizeof *choice, by_output);
    return count;
}

mtm_result mtm_spectral_choices(const mtm_spectral *spectral, const mtm_request *request,
                                mtm_choice choice[MTM_CHOICES_MAX], size_t *count, mtm_error *error)
{
    if (spectral == NULL || request == NULL || choice == NULL || count == NULL)
        return mtmi_fail(error, MTM_INVALID, "choices need a fixture, a request and places");

    mtm_choice made[MTM_CHOICES_MAX];
    struct rows rows = {.spectral = spectral, .choice = made};
    mtm_request bare = *request;
    bare.output = (mtm_output){MTM_OUTPUT_MAX, 0};
    mtm_result result = mtmi_feasible_set_prepare(spectral, &bare, spectral->emitters.power_limit_w,
                                                  &rows.feasible, error);
    if (result == MTM_OK)
        result = mtmi_objective_prepare(&rows.feasible, MTM_INDEX_RF, NULL, &rows.objective, error);
    if (result != MTM_OK)
        return result;
    add(&rows, &rows.feasible.answer);
    result = add_rendering(&rows, &bare, spectral->emitters.power_limit_w, error);
    if (result == MTM_OK)
        result = add_lighter(&rows, bare, error);
    if (result == MTM_OK)
        result = add_fewer_watts(&rows, bare, error);
    if (result == MTM_OK)
        result = add_thrifty(&rows, bare, error);
    if (result != MTM_OK)
        return result;
    *count = mtmi_choices_thin(made, rows.count);
    for (size_t i = 0; i < *count; i++)
        choice[i] = made[i];
    return MTM_OK;
}

static double lumens_a_watt(const mtm_choice *choice)
{
    return choice->answer.watts > 0 ? choice->answer.xyz.y / choice->answer.watts : 0;
}

mtm_choice_extremes mtm_choices_extremes(const mtm_choice *choice, size_t count)
{
    mtm_choice_extremes extremes = {SIZE_MAX, SIZE_MAX, SIZE_MAX};

    if (choice == NULL || count == 0)
        return extremes;
    extremes = (mtm_choice_extremes){0, 0, 0};
    for (size_t i = 1; i < count; i++) {
        if (!mtmi_exceeds(lumens_a_watt(&choice[extremes.efficacy]), lumens_a_watt(&choice[i])))
            extremes.efficacy = i;
        if (mtmi_exceeds(choice[i].rf, choice[extremes.rendering].rf))
            extremes.rendering = i;
    }
    if (!(lumens_a_watt(&choice[extremes.efficacy]) > 0))
        extremes.efficacy = SIZE_MAX;
    if (!isfinite(choice[extremes.rendering].rf))
        extremes.rendering = SIZE_MAX;
    return extremes;
}
