/* SPDX-License-Identifier: MIT */
/* One unit's answer: the goal it goes by, the mix, and the codes for it. */
#include "solve/matcher.h"

#include "base/error.h"
#include "base/number.h"
#include "solve/answer.h"
#include "solve/coder.h"

#include <metamer/white.h>

#include <math.h>
#include <string.h>

const char *mtm_fallback_text(mtm_fallback fallback)
{
    static const char *const texts[] = {"",
                                        "one mix only",
                                        "an emitter has no spectrum",
                                        "the colour has no temperature",
                                        "only for the 2° observer",
                                        "it mixes by itself"};

    return (size_t)fallback < sizeof texts / sizeof *texts ? texts[fallback] : NULL;
}

static bool has_spectra(const mtm_fixture *fixture)
{
    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++) {
        if (mtm_fixture_emitter(fixture, i)->spectrum == NULL)
            return false;
    }
    return true;
}

/* What keeps a unit from a goal at the chromaticity aimed at. */
static mtm_fallback obstacle(const mtm_matcher *matcher, size_t leader, mtm_goal goal,
                             struct mtmi_index_request wish, mtm_xy xy)
{
    mtm_white white;

    if (goal == MTM_GOAL_LIGHT)
        return MTM_FALLBACK_NONE;
    const mtm_fixture *fixture = mtm_rig_unit(mtmi_matcher_rig(matcher), leader)->fixture;
    if (mtm_fixture_mixes(fixture))
        return mtm_fixture_dims(fixture) ? MTM_FALLBACK_ONE_MIX : MTM_FALLBACK_MIXES;
    if (!mtmi_solver_is_free(mtm_matcher_solver(matcher, leader), xy))
        return MTM_FALLBACK_ONE_MIX;
    if (goal == MTM_GOAL_WATTS)
        return MTM_FALLBACK_NONE;
    if (mtmi_matcher_observer(matcher) != MTM_OBSERVER_2)
        return MTM_FALLBACK_OBSERVER;
    if (!has_spectra(fixture))
        return MTM_FALLBACK_SPECTRUM;
    if ((goal == MTM_GOAL_RENDERING || wish.reference == NULL) &&
        mtm_white_from_xy(xy, &white, NULL) != MTM_OK)
        return MTM_FALLBACK_WHITE;
    return MTM_FALLBACK_NONE;
}

static bool same_xy(mtm_xy a, mtm_xy b)
{
    return a.x == b.x && a.y == b.y;
}

static bool same_spectrum(const mtm_spectrum *a, const mtm_spectrum *b)
{
    size_t i = 0;

    while (i < MTM_SPECTRUM_COUNT && a->value[i] == b->value[i])
        i++;
    return i == MTM_SPECTRUM_COUNT;
}

/* True if the mix in the cache is the one asked for. */
static bool is_cached(const struct mtmi_cached_mix *mix, const mtm_request *request,
                      struct mtmi_index_request wish)
{
    const mtm_request *cached = &mix->request;

    return mix->valid && cached->goal == request->goal && same_xy(cached->xy, request->xy) &&
           cached->beyond == request->beyond && same_xy(cached->white, request->white) &&
           cached->cct_k == request->cct_k && mix->index == wish.index &&
           mix->has_reference == (wish.reference != NULL) &&
           (wish.reference == NULL || same_spectrum(&mix->reference, wish.reference));
}

static mtm_result find_mix(mtm_matcher *matcher, size_t leader, const mtm_request *request,
                           struct mtmi_index_request wish, struct mtmi_cached_mix *mix,
                           mtm_error *error)
{
    const mtm_spectral *spectral = NULL;
    mtm_best best;
    mtm_result result = mtmi_matcher_spectral(matcher, leader, &spectral, error);

    mix->valid = false;
    mix->request = *request;
    mix->request.output = (mtm_output){MTM_OUTPUT_MAX, 0};
    mix->index = wish.index;
    mix->has_reference = wish.reference != NULL;
    if (mix->has_reference)
        mix->reference = *wish.reference;
    if (result == MTM_OK && request->goal == MTM_GOAL_RENDERING)
        result = mtm_spectral_rendering(spectral, &mix->request, wish.index, wish.reference, &best,
                                        error);
    else if (result == MTM_OK)
        result = mtm_spectral_nearest(spectral, &mix->request, wish.reference, &best, error);
    if (result != MTM_OK)
        return result;
    mix->most = best.answer;
    mix->valid = true;
    return MTM_OK;
}

static mtm_result solve_spectral(mtm_matcher *matcher, size_t leader, const mtm_request *request,
                                 struct mtmi_index_request wish, mtm_answer *answer,
                                 mtm_error *error)
{
    struct mtmi_cached_mix *mix = NULL;
    mtm_result result = mtmi_matcher_mix(matcher, leader, &mix, error);

    if (result == MTM_OK && !is_cached(mix, request, wish))
        result = find_mix(matcher, leader, request, wish, mix, error);
    if (result != MTM_OK)
        return result;
    *answer = mix->most;
    mtmi_answer_scale(request->output, answer);
    return MTM_OK;
}

/* The most light first, which tells where the unit aims; then the goal, if it can do that. */
static mtm_result solve(mtm_matcher *matcher, size_t leader, const mtm_request *request,
                        struct mtmi_index_request wish, mtm_match *match, mtm_error *error)
{
    const mtm_solver *solver = mtm_matcher_solver(matcher, leader);
    mtm_request light = *request;

    light.goal = MTM_GOAL_LIGHT;
    mtm_result result = mtm_solver_solve(solver, &light, &match->ideal, error);
    if (result != MTM_OK)
        return result;
    match->fallback = obstacle(matcher, leader, request->goal, wish, match->ideal.xy);
    match->goal = match->fallback == MTM_FALLBACK_NONE ? request->goal : MTM_GOAL_LIGHT;
    if (match->goal == MTM_GOAL_LIGHT)
        return MTM_OK;
    if (match->goal == MTM_GOAL_WATTS)
        return mtm_solver_solve(solver, request, &match->ideal, error);
    result = solve_spectral(matcher, leader, request, wish, &match->ideal, error);
    if (result != MTM_RANGE)
        return result;
    match->goal = MTM_GOAL_LIGHT; /* none of its mixes can be judged */
    match->fallback = MTM_FALLBACK_WHITE;
    return MTM_OK;
}

/* The request with its colour moved to one that a unit's tables of whites can make. */
static mtm_request aim_of_mixer(const mtm_matcher *matcher, size_t leader,
                                const mtm_request *request)
{
    const struct mtmi_mixer *mixer = mtm_matcher_coder(matcher, leader)->channels.mixer;
    mtm_request aimed = *request;

    if (mixer == NULL || !mtm_xy_valid(request->xy))
        return aimed;
    if (request->beyond != MTM_BEYOND_CCT ||
        !mtmi_mixer_at_temperature(mixer, request->xy, request->cct_k, &aimed.xy))
        aimed.xy = mtmi_mixer_nearest(mixer, request->xy);
    return aimed;
}

/* What an answer of a unit that mixes by itself is short of: its limit is its light, not power. */
static void tell_of_mixer(const mtm_request *request, mtm_answer *answer)
{
    answer->shortfall &= ~(unsigned)MTM_SHORT_POWER;
    answer->watts = NAN;
    answer->delta_uv = mtm_uv_distance(mtm_uv_from_xy(answer->xy), mtm_uv_from_xy(request->xy));
    if (answer->delta_uv > MTMI_NOISE)
        answer->shortfall |= MTM_SHORT_GAMUT;
}

/* Where the colour goes with the output: an output that is stated tells both, else the nearest
 * colour does, with its light. */
static mtm_answer answer_of_dims(const mtm_matcher *matcher, size_t leader,
                                 const mtm_request *request)
{
    const mtm_fixture *fixture = mtm_rig_unit(mtmi_matcher_rig(matcher), leader)->fixture;
    const struct mtmi_mixer *mixer = mtm_matcher_coder(matcher, leader)->channels.mixer;
    const double most = 1 - mtm_fixture_limits(fixture)->headroom;
    mtm_answer answer = {.most = most * mixer->mixing.flux_lm};
    double share = request->output.type == MTM_OUTPUT_MAX
                       ? mtmi_mixer_dims_nearest(mixer, request->xy, most)
                       : mtmi_wanted_output(request->output, answer.most, &answer.shortfall) /
                             mixer->mixing.flux_lm;

    mtmi_mixer_levels(mixer, NULL, share, answer.level);
    answer.xyz = mtmi_mixer_xyz(mixer, answer.level);
    answer.xy = mtm_xy_from_uv(mtmi_mixer_dims_uv(mixer, share));
    answer.watts = mtm_fixture_watts_at(fixture, answer.level);
    answer.delta_uv = mtm_uv_distance(mtm_uv_from_xy(answer.xy), mtm_uv_from_xy(request->xy));
    answer.shortfall |= answer.delta_uv > MTMI_NOISE ? MTM_SHORT_GAMUT : 0;
    return answer;
}

/* Lux are lumens of the unit, by what arrives of them. */
static mtm_result take_lux(const mtm_unit *unit, mtm_output *output, mtm_error *error)
{
    double lux_per_lm = mtm_unit_lux_per_lm(unit);

    if (output->type != MTM_OUTPUT_LUX)
        return MTM_OK;
    if (!(lux_per_lm > 0))
        return mtmi_fail(
            error, MTM_RANGE,
            "%.60s: its output is asked for in lux, but the rig states no cd_per_klm and "
            "distance_m for it",
            unit->name);
    *output = (mtm_output){MTM_OUTPUT_LM, output->value / lux_per_lm};
    return MTM_OK;
}

static const mtm_limits *limits_of(const mtm_matcher *matcher, size_t leader)
{
    return mtm_fixture_limits(mtm_rig_unit(mtmi_matcher_rig(matcher), leader)->fixture);
}

/* Halvings of the way to the white: to 1e-9 of it. */
#define PURITY_ROUNDS 30

/* A colour beyond the gamut becomes another, which may be too pure again: the target then goes on
 * towards the white until what is made of it is not. Dark where nothing is. */
static mtm_result keep_purity(mtm_matcher *matcher, size_t leader, const mtm_request *request,
                              struct mtmi_index_request wish, mtm_match *match, mtm_error *error)
{
    const mtm_limits *limits = limits_of(matcher, leader);
    const mtm_observer observer = mtmi_matcher_observer(matcher);
    const mtm_xy equal = {1.0 / 3, 1.0 / 3};
    const mtm_xy white = limits->purity_white.y > 0 ? limits->purity_white : equal;
    mtm_match kept = {.shortfall = match->shortfall | MTM_SHORT_PURITY, .goal = match->goal};
    mtm_match tried = *match;
    double low = -1, high = 1; /* from the white on; what low makes is kept */
    mtm_xy made = match->ideal.xy;

    if (!mtmi_bring_in(limits, observer, &made))
        return MTM_OK;
    for (int round = 0; round < PURITY_ROUNDS && (round == 0 || low >= 0); round++) {
        const double at = round == 0 ? 0 : (low + high) / 2;
        mtm_request nearer = *request;
        nearer.xy = (mtm_xy){white.x + at * (request->xy.x - white.x),
                             white.y + at * (request->xy.y - white.y)};
        nearer = aim_of_mixer(matcher, leader, &nearer);
        mtm_result result = solve(matcher, leader, &nearer, wish, &tried, error);
        if (result != MTM_OK)
            return result;
        made = tried.ideal.xy;
        bool within = !mtmi_bring_in(limits, observer, &made);
        low = within ? at : low;
        high = within ? high : at;
        if (within) {
            kept = tried;
            kept.shortfall = match->shortfall | MTM_SHORT_PURITY;
        }
    }
    *match = kept;
    return MTM_OK;
}

mtm_result mtmi_matcher_solve(mtm_matcher *matcher, size_t unit, const mtm_request *request,
                              struct mtmi_index_request wish, mtm_match *match, mtm_error *error)
{
    const size_t leader = mtmi_matcher_leader(matcher, unit);
    const bool mixes = mtm_fixture_mixes(mtm_rig_unit(mtmi_matcher_rig(matcher), leader)->fixture);
    const mtm_limits *limits = limits_of(matcher, leader);
    mtm_request aimed = *request;
    mtm_match made = {0};

    if ((unsigned)request->goal > MTM_GOAL_SPECTRUM)
        return mtmi_fail(error, MTM_INVALID, "the goal is none of those known");
    mtm_result result =
        take_lux(mtm_rig_unit(mtmi_matcher_rig(matcher), leader), &aimed.output, error);
    if (result != MTM_OK)
        return result;
    if (mtm_xy_valid(request->xy) &&
        mtmi_bring_in(limits, mtmi_matcher_observer(matcher), &aimed.xy))
        made.shortfall = MTM_SHORT_PURITY;
    aimed = aim_of_mixer(matcher, leader, &aimed);
    result = solve(matcher, leader, &aimed, wish, &made, error);
    if (result == MTM_OK && limits->most_purity > 0)
        result = keep_purity(matcher, leader, &aimed, wish, &made, error);
    if (result != MTM_OK) {
        mtmi_error_prefix(error, mtm_rig_unit(mtmi_matcher_rig(matcher), unit)->name);
        return result;
    }
    if (mixes && mtm_fixture_dims(mtm_rig_unit(mtmi_matcher_rig(matcher), leader)->fixture)) {
        aimed.xy = request->xy;
        made.ideal = answer_of_dims(matcher, leader, &aimed);
    } else if (mixes) {
        tell_of_mixer(request, &made.ideal);
    }
    if ((made.shortfall & MTM_SHORT_PURITY) != 0)
        made.ideal.delta_uv =
            mtm_uv_distance(mtm_uv_from_xy(made.ideal.xy), mtm_uv_from_xy(request->xy));
    made.shortfall |= made.ideal.shortfall;
    *match = made;
    return MTM_OK;
}

/* A step that the lowest level is named for: less is nobody's loss. */
#define TOLD_STEPS 0.1

void mtmi_matcher_hold(const mtm_matcher *matcher, size_t unit, mtm_output output, mtm_match *match)
{
    const size_t leader = mtmi_matcher_leader(matcher, unit);
    const mtm_fixture *fixture = mtm_rig_unit(mtmi_matcher_rig(matcher), leader)->fixture;
    mtm_answer *ideal = &match->ideal;
    const double before = ideal->xyz.y;
    const bool most = output.type == MTM_OUTPUT_MAX;
    double cost = 0;
    enum mtmi_lowest_goal goal = match->goal == MTM_GOAL_WATTS && !most  ? MTMI_LOWEST_WATTS
                                 : match->goal <= MTM_GOAL_WATTS && most ? MTMI_LOWEST_LIGHT
                                                                         : MTMI_LOWEST_NEAREST;

    if (!mtmi_coder_hold(mtm_matcher_coder(matcher, leader), goal, ideal->level, &cost))
        return;
    ideal->xyz = mtm_solver_xyz(mtm_matcher_solver(matcher, leader), ideal->level);
    ideal->xy = ideal->xyz.y > 0 ? mtm_xy_from_xyz(ideal->xyz) : ideal->xy;
    ideal->watts = 0;
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
        ideal->watts += ideal->level[k] * mtm_fixture_emitter(fixture, k)->watts;
    ideal->most = most ? ideal->xyz.y : ideal->most;
    double output_steps = fabs(ideal->xyz.y / before - 1) / MTM_STEP_OUTPUT;
    if (cost > TOLD_STEPS * TOLD_STEPS || output_steps > TOLD_STEPS)
        match->shortfall |= MTM_SHORT_LOWEST;
}

void mtmi_matcher_finish(const mtm_matcher *matcher, size_t unit, const mtm_match_request *request,
                         mtm_match *match)
{
    size_t leader = mtmi_matcher_leader(matcher, unit);
    mtm_codes codes;

    memset(&codes, 0, sizeof codes);
    mtm_coder_round_by(mtm_matcher_coder(matcher, leader), request->dimming, match->ideal.level,
                       &codes);
    mtm_matcher_predict(matcher, unit, &codes, match);
    mtm_match_compare(match, request->target.xy);
}

/* Where the nearest that a unit reaches is too far, no light is better than wrong light. */
static void leave_dark(const mtm_match_request *request, mtm_match *match)
{
    mtm_uv wanted = mtm_uv_from_xy(request->target.xy);

    if (!(request->leave_dark_uv > 0) || !(match->ideal.xyz.y > 0))
        return;
    double nearest_uv = mtm_uv_distance(mtm_uv_from_xyz(match->ideal.xyz), wanted);
    if (!mtmi_exceeds(nearest_uv, request->leave_dark_uv))
        return;
    match->left_dark_uv = nearest_uv;
    memset(match->ideal.level, 0, sizeof match->ideal.level);
    match->ideal.xyz = (mtm_xyz){0, 0, 0};
    match->ideal.watts = 0;
}

static mtm_result check(const mtm_matcher *matcher, size_t unit, const mtm_match_request *request,
                        mtm_error *error)
{
    mtm_result result = mtmi_match_request_check(matcher, request, error);

    if (result != MTM_OK)
        return result;
    if (mtm_matcher_solver(matcher, unit) == NULL)
        return mtmi_fail(error, MTM_INVALID, "the matcher was made without unit %zu", unit);
    return MTM_OK;
}

static mtm_request request_of(const mtm_match_request *request)
{
    return (mtm_request){
        .xy = request->target.xy,
        .goal = request->goal,
        .output = request->output,
        .beyond = request->beyond,
        .cct_k = request->target.cct_k,
    };
}

mtm_result mtm_matcher_unit(mtm_matcher *matcher, size_t unit, const mtm_match_request *request,
                            mtm_match *match, mtm_error *error)
{
    mtm_match made = {0};

    if (matcher == NULL || request == NULL || match == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a matcher, a request and a place for the match are needed");
    const mtm_request asked = request_of(request);
    mtm_result result = check(matcher, unit, request, error);
    if (result == MTM_OK)
        result =
            mtmi_matcher_solve(matcher, unit, &asked, mtmi_index_request_of(request), &made, error);
    if (result != MTM_OK)
        return result;
    leave_dark(request, &made);
    mtmi_matcher_hold(matcher, unit, request->output, &made);
    mtmi_matcher_finish(matcher, unit, request, &made);
    *match = made;
    return MTM_OK;
}

mtm_result mtm_matcher_goal(mtm_matcher *matcher, size_t unit, const mtm_match_request *request,
                            mtm_goal *goal, mtm_fallback *fallback, mtm_error *error)
{
    mtm_answer answer;

    if (matcher == NULL || request == NULL || goal == NULL || fallback == NULL)
        return mtmi_fail(error, MTM_INVALID, "a matcher, a request and places are needed");
    mtm_request asked = request_of(request);
    asked.goal = MTM_GOAL_LIGHT;
    asked.output = (mtm_output){MTM_OUTPUT_MAX, 0};
    mtm_result result = check(matcher, unit, request, error);
    if (result != MTM_OK)
        return result;
    if ((unsigned)request->goal > MTM_GOAL_SPECTRUM)
        return mtmi_fail(error, MTM_INVALID, "the goal is none of those known");
    size_t leader = mtmi_matcher_leader(matcher, unit);
    (void)mtmi_bring_in(limits_of(matcher, leader), mtmi_matcher_observer(matcher), &asked.xy);
    result = mtm_solver_solve(mtm_matcher_solver(matcher, leader), &asked, &answer, error);
    if (result != MTM_OK)
        return result;
    *fallback = obstacle(matcher, leader, request->goal, mtmi_index_request_of(request), answer.xy);
    *goal = *fallback == MTM_FALLBACK_NONE ? request->goal : MTM_GOAL_LIGHT;
    return MTM_OK;
}
