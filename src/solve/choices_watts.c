/* SPDX-License-Identifier: MIT */
/* The choices of a unit: between output and watts alone where no spectra tell of rendering, and
 * none where it mixes by itself. */
#include "base/error.h"
#include "solve/matcher.h"
#include "solve/solver.h"

#include <metamer/judge.h>

#include <math.h>

/* Differences that nobody sees or pays for. */
#define SAME_SHARE 1e-3
/* An output so small that no emitter reaches its end: there the fewest watts are the most lumens a
 * watt. */
#define FAINT 1e-6
/* Outputs between the two ends. */
#define BETWEEN 2

/* The same mix, as bright as it goes. */
static void brighten(const mtm_solver *solver, mtm_answer *answer)
{
    double highest = 0;

    for (size_t k = 0; k < solver->count; k++) {
        if (solver->most[k] > 0)
            highest = fmax(highest, answer->level[k] / solver->most[k]);
    }
    double scale = fmin(1 / highest, solver->power_limit_w / answer->watts);
    for (size_t k = 0; k < solver->count; k++)
        answer->level[k] = fmin(answer->level[k] * scale, solver->most[k]);
    answer->watts *= scale;
    answer->xyz = mtm_solver_xyz(solver, answer->level);
}

static bool differ(const mtm_answer *a, const mtm_answer *b)
{
    return fabs(a->xyz.y - b->xyz.y) > SAME_SHARE * a->xyz.y ||
           fabs(a->watts - b->watts) > SAME_SHARE * a->watts;
}

static mtm_result choose_by_watts(const mtm_solver *solver, const mtm_request *request,
                                  mtm_choice choice[MTM_CHOICES_MAX], size_t *count,
                                  mtm_error *error)
{
    mtm_request asked = *request;
    mtm_answer answer[BETWEEN + 2];
    size_t made = 0;

    asked.goal = MTM_GOAL_LIGHT;
    asked.output = (mtm_output){MTM_OUTPUT_MAX, 0};
    mtm_result result = mtm_solver_solve(solver, &asked, &answer[0], error);
    asked.goal = MTM_GOAL_WATTS;
    asked.output = (mtm_output){MTM_OUTPUT_SHARE, FAINT};
    mtm_answer *thrifty = &answer[BETWEEN + 1];
    if (result == MTM_OK)
        result = mtm_solver_solve(solver, &asked, thrifty, error);
    if (result != MTM_OK)
        return result;
    brighten(solver, thrifty);
    double most = answer[0].xyz.y, step = (thrifty->xyz.y - most) / (BETWEEN + 1);
    for (size_t i = 1; i <= BETWEEN; i++) {
        asked.output = (mtm_output){MTM_OUTPUT_LM, most + (double)i * step};
        result = mtm_solver_solve(solver, &asked, &answer[i], error);
        if (result != MTM_OK)
            return result;
    }
    for (size_t i = 0; i < BETWEEN + 2; i++) {
        if (made == 0 || differ(&choice[made - 1].answer, &answer[i]))
            choice[made++] = (mtm_choice){answer[i], NAN};
    }
    *count = made;
    return MTM_OK;
}

/* There is one way to the codes of a unit that mixes by itself. */
static mtm_result choose_the_one(mtm_matcher *matcher, size_t unit,
                                 const mtm_match_request *request, const mtm_request *asked,
                                 mtm_choice choice[MTM_CHOICES_MAX], size_t *count,
                                 mtm_error *error)
{
    mtm_match match;
    mtm_result result =
        mtmi_matcher_solve(matcher, unit, asked, mtmi_index_request_of(request), &match, error);

    if (result != MTM_OK)
        return result;
    choice[0] = (mtm_choice){match.ideal, NAN};
    *count = 1;
    return MTM_OK;
}

static bool same_levels(const mtm_answer *a, const mtm_answer *b)
{
    size_t i = 0;

    while (i < MTM_EMITTERS_MAX && a->level[i] == b->level[i])
        i++;
    return i == MTM_EMITTERS_MAX;
}

/* Moves choices with an emitter below its lowest level to what the unit may give, as a match does,
 * and judges them anew; of what then is alike, or covered, one is left. */
static mtm_result hold(const mtm_matcher *matcher, size_t leader, mtm_xy wanted,
                       mtm_choice choice[MTM_CHOICES_MAX], size_t *count, mtm_error *error)
{
    const mtm_fixture *fixture = mtm_rig_unit(mtmi_matcher_rig(matcher), leader)->fixture;
    bool moved = false;

    for (size_t i = 0; i < *count; i++) {
        mtm_answer *answer = &choice[i].answer;
        mtm_match match = {.ideal = *answer, .goal = i == 0 ? MTM_GOAL_LIGHT : MTM_GOAL_RENDERING};
        const mtm_output most = {MTM_OUTPUT_MAX, 0}, same = {MTM_OUTPUT_LM, answer->xyz.y};
        mtm_judgement judgement;
        mtmi_matcher_hold(matcher, leader, i == 0 ? most : same, &match);
        if (same_levels(&match.ideal, answer))
            continue;
        moved = true;
        *answer = match.ideal;
        answer->shortfall |= match.shortfall;
        answer->delta_uv = mtm_uv_distance(mtm_uv_from_xy(answer->xy), mtm_uv_from_xy(wanted));
        if (!isfinite(choice[i].rf))
            continue;
        mtm_result result = mtm_judge(fixture, answer->level, &judgement, error);
        if (result != MTM_OK)
            return result;
        choice[i].rf = judgement.has_quality ? judgement.rf : 0;
    }
    if (moved)
        *count = mtmi_choices_thin(choice, *count);
    return MTM_OK;
}

mtm_result mtm_matcher_choices(mtm_matcher *matcher, size_t unit, const mtm_match_request *request,
                               mtm_choice choice[MTM_CHOICES_MAX], size_t *count,
                               mtm_fallback *fallback, mtm_error *error)
{
    const mtm_spectral *spectral = NULL;
    mtm_match_request rendering;
    mtm_fallback found;
    mtm_goal goal;

    if (matcher == NULL || request == NULL || choice == NULL || count == NULL || fallback == NULL)
        return mtmi_fail(error, MTM_INVALID, "choices need a matcher, a request and places");
    rendering = *request;
    rendering.goal = MTM_GOAL_RENDERING;
    rendering.output = (mtm_output){MTM_OUTPUT_MAX, 0};
    mtm_result result = mtm_matcher_goal(matcher, unit, &rendering, &goal, &found, error);
    if (result != MTM_OK)
        return result;
    mtm_request asked = {.xy = request->target.xy,
                         .goal = MTM_GOAL_RENDERING,
                         .output = rendering.output,
                         .beyond = request->beyond,
                         .cct_k = request->target.cct_k};
    size_t leader = mtmi_matcher_leader(matcher, unit);
    const mtm_fixture *fixture = mtm_rig_unit(mtmi_matcher_rig(matcher), leader)->fixture;
    (void)mtmi_bring_in(mtm_fixture_limits(fixture), mtmi_matcher_observer(matcher), &asked.xy);
    if (goal == MTM_GOAL_RENDERING) {
        result = mtmi_matcher_spectral(matcher, leader, &spectral, error);
        if (result == MTM_OK)
            result = mtm_spectral_choices(spectral, &asked, choice, count, error);
    } else if (mtm_fixture_mixes(fixture)) {
        result = choose_the_one(matcher, unit, request, &asked, choice, count, error);
    } else {
        result = choose_by_watts(mtm_matcher_solver(matcher, leader), &asked, choice, count, error);
    }
    if (result == MTM_OK && !mtm_fixture_mixes(fixture))
        result = hold(matcher, leader, asked.xy, choice, count, error);
    if (result == MTM_OK)
        *fallback = found;
    return result;
}
