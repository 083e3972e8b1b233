/* SPDX-License-Identifier: MIT */
/* The walk through the solve room. */
#include "walk.h"

#include <metamer/agreement.h>
#include <metamer/codes.h>
#include <metamer/judge.h>
#include <metamer/solve.h>
#include <metamer/spectral.h>
#include <metamer/trim.h>
#include <metamer/whites.h>

#define REQUEST(call, member, value)                                                               \
    do {                                                                                           \
        bad = good;                                                                                \
        bad.member = (value);                                                                      \
        call;                                                                                      \
    } while (0)

static void walk_request(const mtm_solver *solver)
{
    const mtm_request good = {.xy = {0.35, 0.36}};
    mtm_request bad = {.goal = MTM_GOAL_LIGHT};
    mtm_answer answer;

    const mtm_rgb_space *space = NULL;

    assert_int_equal(mtm_rgb_space_find("srgb", &space, NULL), MTM_OK);
    REFUSED(mtm_solver_solve_rgb, NULL, space, ((mtm_rgb){1, 1, 1}), &answer);
    REFUSED(mtm_solver_solve_rgb, solver, NULL, ((mtm_rgb){1, 1, 1}), &answer);
    REFUSED(mtm_solver_solve_rgb, solver, space, ((mtm_rgb){1, 1, 1}), NULL);
    EACH_NUMBER(n)
    REFUSED(mtm_solver_solve_rgb, solver, space, ((mtm_rgb){1, *n, 1}), &answer);
    DONE(mtm_solver_solve, solver, &good, &answer);
    REFUSED(mtm_solver_solve, NULL, &good, &answer);
    REFUSED(mtm_solver_solve, solver, NULL, &answer);
    REFUSED(mtm_solver_solve, solver, &good, NULL);
    REFUSED(mtm_solver_solve, solver, &bad, &answer);
#define SOLVE(member, value)                                                                       \
    REQUEST(REFUSED(mtm_solver_solve, solver, &bad, &answer), member, value)
    SOLVE(goal, (mtm_goal)NO_ENUM);
    SOLVE(goal, MTM_GOAL_RENDERING);
    SOLVE(beyond, (mtm_beyond)NO_ENUM);
    SOLVE(output.type, (mtm_output_type)NO_ENUM);
    SOLVE(output, ((mtm_output){MTM_OUTPUT_LM, -1}));
    SOLVE(output, ((mtm_output){MTM_OUTPUT_SHARE, 1.1}));
    EACH_XY(xy)
    SOLVE(xy, *xy);
    EACH_NUMBER(n)
    {
        SOLVE(output, ((mtm_output){MTM_OUTPUT_LM, *n}));
        SOLVE(output, ((mtm_output){MTM_OUTPUT_SHARE, *n}));
        bad = good;
        bad.beyond = MTM_BEYOND_CCT;
        bad.cct_k = *n;
        bad.xy = (mtm_xy){0.05, 0.9};
        REFUSED(mtm_solver_solve, solver, &bad, &answer);
        bad.beyond = MTM_BEYOND_HUE;
        bad.white = (mtm_xy){0.3, *n};
        REFUSED(mtm_solver_solve, solver, &bad, &answer);
    }
}

static void walk_solver(void)
{
    const mtm_xyz xyz[2] = {{90, 100, 30}, {80, 70, 90}};
    const double watts[2] = {1, 1};
    const double level[MTM_EMITTERS_MAX] = {NAN, 1};
    mtm_solver *none = NULL;
    mtm_solver *solver = NULL;
    mtm_xy corner[MTM_EMITTERS_MAX];
    double away = 0;

    REFUSED(mtm_solver_create, NULL, watts, 2, 10, &none);
    REFUSED(mtm_solver_create, xyz, NULL, 2, 10, &none);
    REFUSED(mtm_solver_create, xyz, watts, 0, 10, &none);
    REFUSED(mtm_solver_create, xyz, watts, 17, 10, &none);
    REFUSED(mtm_solver_create, xyz, watts, 2, 0, &none);
    REFUSED(mtm_solver_create, xyz, watts, 2, NAN, &none);
    REFUSED(mtm_solver_create, xyz, watts, 2, 10, NULL);
    EACH_NUMBER(n)
    {
        const mtm_xyz odd[2] = {{90, 100, *n}, {80, 70, 90}};
        const double odd_watts[2] = {1, *n};
        REFUSED(mtm_solver_create, odd, watts, 2, 10, &none);
        REFUSED(mtm_solver_create, xyz, odd_watts, 2, 10, &none);
    }
    REFUSED(mtm_solver_create_for, NULL, MTM_OBSERVER_2, &none);
    REFUSED(mtm_solver_create_for, world.fixture, (mtm_observer)NO_ENUM, &none);
    REFUSED(mtm_solver_create_for, world.fixture, MTM_OBSERVER_2, NULL);
    assert_null(none);
    DONE(mtm_solver_create_for, world.fixture, MTM_OBSERVER_2, &solver);
    walk_request(solver);
    NOTHING(mtm_xyz, mtm_solver_xyz, NULL, level);
    NOTHING(mtm_xyz, mtm_solver_xyz, solver, NULL);
    NOTHING(mtm_xyz, mtm_solver_xyz, solver, level);
    NOTHING(mtm_xy, mtm_solver_nearest, NULL, (mtm_xy){0.3, 0.3}, &away);
    EACH_NUMBER(n)
    {
        NOTHING(mtm_xy, mtm_solver_nearest, solver, (mtm_xy){*n, 0.3}, &away);
        HOLDS(mtm_solver_nearest, isinf(away));
    }
    HOLDS(mtm_solver_gamut, mtm_solver_gamut(NULL, corner) == 0);
    HOLDS(mtm_solver_gamut, mtm_solver_gamut(solver, NULL) == 0);
    mtm_solver_free(solver);
    LEAVES(away, mtm_solver_free, NULL);
}

static void walk_whites(void)
{
    const double cct_k[] = {3200};
    mtm_fixture_white white;
    mtm_white_range range;

#define WHITES(...) REFUSED(mtm_fixture_whites, __VA_ARGS__)
    DONE(mtm_fixture_whites, world.fixture, MTM_OBSERVER_2, cct_k, 1, &white, &range);
    WHITES(NULL, MTM_OBSERVER_2, cct_k, 1, &white, NULL);
    WHITES(world.fixture, (mtm_observer)NO_ENUM, cct_k, 1, &white, NULL);
    WHITES(world.fixture, MTM_OBSERVER_2, NULL, 1, &white, NULL);
    WHITES(world.fixture, MTM_OBSERVER_2, cct_k, 1, NULL, NULL);
    EACH_NUMBER(n)
    WHITES(world.fixture, MTM_OBSERVER_2, n, 1, &white, NULL);
}

/* Values come from people: what is none is told as an error of what was written. */
static void walk_values(const mtm_mode *mode)
{
    double value[MTM_SLOTS_MAX] = {0};
    mtm_codes codes = {0};

#define VALUES(...) REFUSED(mtm_codes_from_values, __VA_ARGS__)
    VALUES(NULL, mode, MTM_VALUES_SLOTS, value, mode->slot_count, &codes);
    VALUES(world.fixture, NULL, MTM_VALUES_SLOTS, value, mode->slot_count, &codes);
    VALUES(world.fixture, mode, (mtm_value_type)NO_ENUM, value, mode->slot_count, &codes);
    VALUES(world.fixture, mode, MTM_VALUES_SLOTS, NULL, mode->slot_count, &codes);
    VALUES(world.fixture, mode, MTM_VALUES_SLOTS, value, mode->slot_count, NULL);
    DONE(mtm_codes_from_values, world.fixture, mode, MTM_VALUES_SLOTS, value, mode->slot_count,
         &codes);
    EACH_NUMBER(n)
    {
        value[0] = *n;
        HOLDS(mtm_codes_from_values,
              mtm_codes_from_values(world.fixture, mode, MTM_VALUES_SLOTS, value, mode->slot_count,
                                    &codes, NULL) != MTM_OK);
    }
}

static void walk_codes(void)
{
    const mtm_mode *mode = mtm_fixture_mode(world.fixture, 0);
    const mtm_slot beyond[] = {{.role = MTM_SLOT_EMITTER, .emitter = 200}};
    const mtm_mode odd = {.name = "m", .slots = beyond, .slot_count = 1};
    const mtm_mode zeroed = {0};
    double level[MTM_EMITTERS_MAX] = {NAN, INFINITY, -INFINITY, -1, 2};
    mtm_codes codes = {0};
    mtm_coder *none = NULL;
    mtm_coder *coder = NULL;
    uint8_t slot[MTM_SLOTS_MAX] = {0};

    REFUSED(mtm_coder_create, NULL, mode, MTM_OBSERVER_2, &none);
    REFUSED(mtm_coder_create, world.fixture, NULL, MTM_OBSERVER_2, &none);
    REFUSED(mtm_coder_create, world.fixture, mode, (mtm_observer)NO_ENUM, &none);
    REFUSED(mtm_coder_create, world.fixture, mode, MTM_OBSERVER_2, NULL);
    assert_null(none);
    for (size_t i = 0; i < mtm_fixture_mode_count(world.fixture); i++) {
        DONE(mtm_coder_create, world.fixture, mtm_fixture_mode(world.fixture, i), MTM_OBSERVER_2,
             &coder);
        mtm_coder_round(coder, level, &codes);
        HOLDS(mtm_coder_round, codes.emitter[0] == 0 && codes.emitter[2] == 0); /* dark */
        mtm_coder_free(coder);
    }
    DONE(mtm_coder_create, world.fixture, mode, MTM_OBSERVER_2, &coder);
    walk_values(mode);
    LEAVES(codes, mtm_coder_round, NULL, level, &codes);
    LEAVES(codes, mtm_coder_round, coder, NULL, &codes);
    LEAVES(codes, mtm_coder_round, coder, level, NULL);
    LEAVES(codes, mtm_coder_round_by, NULL, MTM_DIMMING_DIMMER, level, &codes);
    LEAVES(codes, mtm_coder_round_by, coder, MTM_DIMMING_DIMMER, NULL, &codes);
    LEAVES(codes, mtm_coder_round_by, coder, MTM_DIMMING_DIMMER, level, NULL);
    mtm_coder_round_by(coder, (mtm_dimming)NO_ENUM, level, &codes);
    HOLDS(mtm_coder_round_by, codes.emitter[0] == 0 && codes.emitter[2] == 0);
    HOLDS(mtm_coder_chooses_dimming, !mtm_coder_chooses_dimming(NULL));
    HOLDS(mtm_dimming_count, mtm_dimming_count() == MTM_DIMMING_EMITTERS + 1);
    HOLDS(mtm_dimming_at, mtm_dimming_at(mtm_dimming_count()) == NULL);
    LEAVES(level, mtm_coder_levels, NULL, &codes, level);
    LEAVES(level, mtm_coder_levels, coder, NULL, level);
    LEAVES(level, mtm_coder_levels, coder, &codes, NULL);
    LEAVES(slot, mtm_codes_to_slots, NULL, &codes, slot);
    LEAVES(slot, mtm_codes_to_slots, mode, NULL, slot);
    LEAVES(slot, mtm_codes_to_slots, mode, &codes, NULL);
    LEAVES(slot, mtm_codes_to_slots, &zeroed, &codes, slot);
    LEAVES(slot, mtm_codes_to_slots, &odd, &codes, slot);
    LEAVES(slot, mtm_black_to_slots, NULL, slot);
    LEAVES(slot, mtm_black_to_slots, mode, NULL);
    LEAVES(codes, mtm_codes_from_slots, NULL, slot, &codes);
    LEAVES(codes, mtm_codes_from_slots, mode, NULL, &codes);
    LEAVES(codes, mtm_codes_from_slots, mode, slot, NULL);
    memset(&codes, 0, sizeof codes);
    LEAVES(codes, mtm_codes_from_slots, &odd, slot, &codes);
    HOLDS(mtm_slots_standing, mtm_slots_standing(NULL, slot).type == MTM_STANDING_GOOD);
    HOLDS(mtm_slots_standing, mtm_slots_standing(mode, NULL).type == MTM_STANDING_GOOD);
    HOLDS(mtm_slots_standing, mtm_slots_standing(mode, slot).type == MTM_STANDING_GOOD);
    mtm_standing standing = {MTM_STANDING_BETWEEN, MTM_SLOTS_MAX, 0};
    char text[80] = "";
    LEAVES(text, mtm_standing_text, NULL, mode, &standing, text, sizeof text);
    LEAVES(text, mtm_standing_text, world.fixture, NULL, &standing, text, sizeof text);
    LEAVES(text, mtm_standing_text, world.fixture, mode, NULL, text, sizeof text);
    LEAVES(text, mtm_standing_text, world.fixture, mode, &standing, text, sizeof text);
    LEAVES(text, mtm_standing_text, world.fixture, mode, &standing, NULL, sizeof text);
    LEAVES(text, mtm_standing_text, world.fixture, mode, &standing, text, 0);
    mtm_coder_free(coder);
    LEAVES(codes, mtm_coder_free, NULL);
}

static void walk_spectral(void)
{
    const mtm_request good = {.xy = {0.35, 0.36}};
    mtm_request bad;
    mtm_spectral *none = NULL;
    mtm_spectral *spectral = NULL;
    mtm_best best;
    mtm_choice choice[MTM_CHOICES_MAX];
    size_t count = 0;

    REFUSED(mtm_spectral_create, NULL, &none);
    REFUSED(mtm_spectral_create, world.fixture, NULL);
    assert_null(none);
    DONE(mtm_spectral_create, world.fixture, &spectral);
#define RENDER(...) REFUSED(mtm_spectral_rendering, __VA_ARGS__)
    RENDER(NULL, &good, MTM_INDEX_RF, NULL, &best);
    RENDER(spectral, NULL, MTM_INDEX_RF, NULL, &best);
    RENDER(spectral, &good, (mtm_index)NO_ENUM, NULL, &best);
    RENDER(spectral, &good, MTM_INDEX_SSI, &world.no_spectrum, &best);
    RENDER(spectral, &good, MTM_INDEX_RF, NULL, NULL);
    REFUSED(mtm_spectral_nearest, NULL, &good, NULL, &best);
    REFUSED(mtm_spectral_nearest, spectral, NULL, NULL, &best);
    REFUSED(mtm_spectral_nearest, spectral, &good, &world.no_spectrum, &best);
    REFUSED(mtm_spectral_nearest, spectral, &good, NULL, NULL);
    REFUSED(mtm_spectral_choices, NULL, &good, choice, &count);
    REFUSED(mtm_spectral_choices, spectral, NULL, choice, &count);
    REFUSED(mtm_spectral_choices, spectral, &good, NULL, &count);
    REFUSED(mtm_spectral_choices, spectral, &good, choice, NULL);
    EACH_XY(xy)
    {
        REQUEST(RENDER(spectral, &bad, MTM_INDEX_RF, NULL, &best), xy, *xy);
        REFUSED(mtm_spectral_nearest, spectral, &bad, NULL, &best);
        REFUSED(mtm_spectral_choices, spectral, &bad, choice, &count);
    }
    EACH_NUMBER(n)
    {
        REQUEST(RENDER(spectral, &bad, MTM_INDEX_RF, NULL, &best), output,
                ((mtm_output){MTM_OUTPUT_LM, *n}));
        REFUSED(mtm_spectral_nearest, spectral, &bad, NULL, &best);
    }
    mtm_spectral_free(spectral);
    LEAVES(count, mtm_spectral_free, NULL);
}

static void walk_judge(void)
{
    const double level[MTM_EMITTERS_MAX] = {1, 0.5};
    mtm_judgement made = {.has_spectrum = false};
    mtm_judgement other = made;
    mtm_metamerism metamerism;

    DONE(mtm_judge, world.fixture, level, &made);
    REFUSED(mtm_judge, NULL, level, &made);
    REFUSED(mtm_judge, world.fixture, NULL, &made);
    REFUSED(mtm_judge, world.fixture, level, NULL);
    EACH_NUMBER(n)
    {
        const double odd[MTM_EMITTERS_MAX] = {1, *n};
        REFUSED(mtm_judge, world.fixture, odd, &made);
    }
    REFUSED(mtm_judge_pair, NULL, &made, &metamerism);
    REFUSED(mtm_judge_pair, &made, NULL, &metamerism);
    REFUSED(mtm_judge_pair, &made, &made, NULL);
    GIVES_RESULT(MTM_UNSUPPORTED, mtm_judge_pair, &made, &other, &metamerism);
    other = made;
    other.spectrum = world.no_spectrum;
    REFUSED(mtm_judge_pair, &made, &other, &metamerism);
}

static void walk_agreement(void)
{
    mtm_match match[2] = {{.unit = 0}, {.unit = 1}};
    mtm_judgement judgement[2] = {{.has_spectrum = false}};
    mtm_metameric_pair pair[2];
    mtm_pair_limits limits = mtm_pair_limits_usual();
    const mtm_observer two = MTM_OBSERVER_2;
    double spread_uv = 0;
    size_t found = 0;

    HOLDS(mtm_pair_limits_usual, limits.agree_uv > 0);
    mtm_match stray = {.unit = SIZE_MAX};
    DONE(mtm_judge_matches, world.rig, match, 2, judgement);
    REFUSED(mtm_judge_matches, NULL, match, 2, judgement);
    REFUSED(mtm_judge_matches, world.rig, NULL, 2, judgement);
    REFUSED(mtm_judge_matches, world.rig, match, 2, NULL);
    REFUSED(mtm_judge_matches, world.rig, &stray, 1, judgement);
    DONE(mtm_match_spread, match, 2, &spread_uv);
    REFUSED(mtm_match_spread, NULL, 2, &spread_uv);
    REFUSED(mtm_match_spread, match, 2, NULL);
    HOLDS(mtm_match_farthest, mtm_match_farthest(NULL, 2) == NULL);
    HOLDS(mtm_match_farthest, mtm_match_farthest(match, 0) == NULL);
    HOLDS(mtm_match_misses, mtm_match_misses(NULL, true) == 0);
    HOLDS(mtm_match_reached, !mtm_match_reached(NULL, false));
    HOLDS(mtm_colour_misses, mtm_colour_misses((double)NAN, 1, 1) == 0);
    HOLDS(mtm_choices_extremes, mtm_choices_extremes(NULL, 2).light == SIZE_MAX);
    HOLDS(mtm_choices_extremes, mtm_choices_extremes(&(mtm_choice){.rf = 1}, 0).light == SIZE_MAX);
    DONE(mtm_match_pairs, world.rig, match, judgement, 2, two, NULL, pair, 2, &found);
    REFUSED(mtm_match_pairs, NULL, match, judgement, 2, two, NULL, pair, 2, &found);
    REFUSED(mtm_match_pairs, world.rig, NULL, judgement, 2, two, NULL, pair, 2, &found);
    REFUSED(mtm_match_pairs, world.rig, match, NULL, 2, two, NULL, pair, 2, &found);
    REFUSED(mtm_match_pairs, world.rig, match, judgement, 2, (mtm_observer)NO_ENUM, NULL, pair, 2,
            &found);
    REFUSED(mtm_match_pairs, world.rig, match, judgement, 2, two, NULL, NULL, 2, &found);
    REFUSED(mtm_match_pairs, world.rig, match, judgement, 2, two, NULL, pair, 2, NULL);
    EACH_NUMBER(n)
    {
        limits.agree_uv = *n;
        REFUSED(mtm_match_pairs, world.rig, match, judgement, 2, two, &limits, pair, 2, &found);
        limits = mtm_pair_limits_usual();
        limits.apart_uv = *n;
        REFUSED(mtm_match_pairs, world.rig, match, judgement, 2, two, &limits, pair, 2, &found);
        limits = mtm_pair_limits_usual();
        limits.least_ssi = *n;
        REFUSED(mtm_match_pairs, world.rig, match, judgement, 2, two, &limits, pair, 2, &found);
        limits = mtm_pair_limits_usual();
    }
    match[1].unit = mtm_rig_unit_count(world.rig);
    REFUSED(mtm_match_pairs, world.rig, match, judgement, 2, two, NULL, pair, 2, &found);
}

void walk_solve(void **state)
{
    (void)state;
    walk_solver();
    walk_whites();
    walk_codes();
    walk_spectral();
    walk_judge();
    walk_agreement();
}

static void walk_goals(mtm_matcher *m, size_t absent)
{
    const mtm_match_request good = {.target = world.target};
    mtm_match_request bad;
    mtm_goal goal;
    mtm_fallback fallback;
    mtm_choice choice[MTM_CHOICES_MAX];
    size_t count = 0;

    DONE(mtm_matcher_goal, m, 0, &good, &goal, &fallback);
    REFUSED(mtm_matcher_goal, NULL, 0, &good, &goal, &fallback);
    REFUSED(mtm_matcher_goal, m, absent, &good, &goal, &fallback);
    REFUSED(mtm_matcher_goal, m, 0, NULL, &goal, &fallback);
    REFUSED(mtm_matcher_goal, m, 0, &good, NULL, &fallback);
    REFUSED(mtm_matcher_goal, m, 0, &good, &goal, NULL);
    REFUSED(mtm_matcher_choices, NULL, 0, &good, choice, &count, &fallback);
    REFUSED(mtm_matcher_choices, m, absent, &good, choice, &count, &fallback);
    REFUSED(mtm_matcher_choices, m, 0, NULL, choice, &count, &fallback);
    REFUSED(mtm_matcher_choices, m, 0, &good, NULL, &count, &fallback);
    REFUSED(mtm_matcher_choices, m, 0, &good, choice, NULL, &fallback);
    REFUSED(mtm_matcher_choices, m, 0, &good, choice, &count, NULL);
    REQUEST(REFUSED(mtm_matcher_goal, m, 0, &bad, &goal, &fallback), goal, (mtm_goal)NO_ENUM);
    REQUEST(REFUSED(mtm_matcher_choices, m, 0, &bad, choice, &count, &fallback), beyond,
            (mtm_beyond)NO_ENUM);
    EACH_XY(xy)
    {
        REQUEST(REFUSED(mtm_matcher_goal, m, 0, &bad, &goal, &fallback), target.xy, *xy);
        REFUSED(mtm_matcher_choices, m, 0, &bad, choice, &count, &fallback);
    }
}

static void walk_matcher(void)
{
    const mtm_match_request good = {.target = world.target};
    mtm_match_request bad;
    mtm_matcher *m = world.matcher;
    mtm_matcher *none = NULL;
    mtm_match match[2] = {{.unit = 0}};
    mtm_common common;
    mtm_codes codes = {0};
    const size_t unit[2] = {0, 1};
    const size_t absent = mtm_rig_unit_count(world.rig);

    REFUSED(mtm_matcher_create, NULL, MTM_OBSERVER_2, &none);
    REFUSED(mtm_matcher_create, world.rig, (mtm_observer)NO_ENUM, &none);
    REFUSED(mtm_matcher_create, world.rig, MTM_OBSERVER_2, NULL);
    REFUSED(mtm_matcher_create_for, NULL, unit, 2, MTM_OBSERVER_2, &none);
    REFUSED(mtm_matcher_create_for, world.rig, NULL, 2, MTM_OBSERVER_2, &none);
    REFUSED(mtm_matcher_create_for, world.rig, &absent, 1, MTM_OBSERVER_2, &none);
    REFUSED(mtm_matcher_create_for, world.rig, unit, 2, (mtm_observer)NO_ENUM, &none);
    REFUSED(mtm_matcher_create_for, world.rig, unit, 2, MTM_OBSERVER_2, NULL);
    assert_null(none);
    const uint8_t slot[MTM_ADDRESS_MAX] = {0};
    HOLDS(mtm_matcher_decode, !mtm_matcher_decode(NULL, 0, slot, sizeof slot, match));
    HOLDS(mtm_matcher_decode, !mtm_matcher_decode(m, absent, slot, sizeof slot, match));
    HOLDS(mtm_matcher_decode, !mtm_matcher_decode(m, 0, NULL, sizeof slot, match));
    HOLDS(mtm_matcher_decode, !mtm_matcher_decode(m, 0, slot, 0, match));
    HOLDS(mtm_matcher_decode, !mtm_matcher_decode(m, 0, slot, sizeof slot, NULL));
    DONE(mtm_matcher_unit, m, 0, &good, match);
    REFUSED(mtm_matcher_unit, NULL, 0, &good, match);
    REFUSED(mtm_matcher_unit, m, absent, &good, match);
    REFUSED(mtm_matcher_unit, m, 0, NULL, match);
    REFUSED(mtm_matcher_unit, m, 0, &good, NULL);
    DONE(mtm_matcher_together, m, unit, 2, &good, match, &common);
    REFUSED(mtm_matcher_together, NULL, unit, 2, &good, match, &common);
    REFUSED(mtm_matcher_together, m, NULL, 2, &good, match, &common);
    REFUSED(mtm_matcher_together, m, &absent, 1, &good, match, &common);
    REFUSED(mtm_matcher_together, m, unit, 0, &good, match, &common);
    REFUSED(mtm_matcher_together, m, unit, 2, NULL, match, &common);
    REFUSED(mtm_matcher_together, m, unit, 2, &good, NULL, &common);
    REFUSED(mtm_matcher_together, m, unit, 2, &good, match, NULL);
#define MATCH(member, value)                                                                       \
    do {                                                                                           \
        REQUEST(REFUSED(mtm_matcher_unit, m, 0, &bad, match), member, value);                      \
        REFUSED(mtm_matcher_together, m, unit, 2, &bad, match, &common);                           \
    } while (0)
    MATCH(target, ((mtm_target){.cct_k = 0}));
    MATCH(target.observer, (mtm_observer)NO_ENUM);
    MATCH(target.observer, MTM_OBSERVER_10);
    MATCH(goal, (mtm_goal)NO_ENUM);
    MATCH(output.type, (mtm_output_type)NO_ENUM);
    MATCH(beyond, (mtm_beyond)NO_ENUM);
    EACH_XY(xy)
    MATCH(target.xy, *xy);
    EACH_NUMBER(n)
    {
        MATCH(output, ((mtm_output){MTM_OUTPUT_LM, *n}));
        REQUEST(REFUSED(mtm_matcher_unit, m, 0, &bad, match), leave_dark_uv, *n);
    }
    REQUEST(bad.index = (mtm_index)NO_ENUM, goal, MTM_GOAL_RENDERING);
    REFUSED(mtm_matcher_unit, m, 0, &bad, match);
    HOLDS(mtm_fallback_text, mtm_fallback_text((mtm_fallback)NO_ENUM) == NULL);
    walk_goals(m, absent);
    LEAVES(match, mtm_match_compare, NULL, world.target.xy);
    EACH_NUMBER(n)
    LEAVES(match, mtm_match_compare, match, ((mtm_xy){*n, 0.3}));
    LEAVES(match, mtm_matcher_predict, NULL, 0, &codes, match);
    LEAVES(match, mtm_matcher_predict, m, absent, &codes, match);
    LEAVES(match, mtm_matcher_predict, m, 0, NULL, match);
    LEAVES(match, mtm_matcher_predict, m, 0, &codes, NULL);
    HOLDS(mtm_matcher_solver, mtm_matcher_solver(NULL, 0) == NULL);
    HOLDS(mtm_matcher_solver, mtm_matcher_solver(m, absent) == NULL);
    HOLDS(mtm_matcher_coder, mtm_matcher_coder(NULL, 0) == NULL);
    HOLDS(mtm_matcher_coder, mtm_matcher_coder(m, absent) == NULL);
    LEAVES(match, mtm_matcher_free, NULL);
}

static void walk_trim(void)
{
    const mtm_trim_request good = {.target = {0.4, 0.39}, .steps = 3};
    const mtm_meter no_meter = {.xy = NAN};
    mtm_trim_request bad = {.steps = 0};
    const mtm_rig *rig = world.rig;
    const mtm_calibration *c = world.calibration;
    mtm_trim *none = NULL;
    mtm_trim *trim = NULL;
    mtm_moved *moved = calloc(mtm_rig_unit_count(rig), sizeof *moved);
    mtm_rig *other = NULL;
    double output[2];
    size_t count = 0;

    assert_non_null(moved);
    assert_int_equal(mtm_rig_load("examples/hall.json", &other, NULL), MTM_OK);
    DONE(mtm_trim_run, c, rig, NULL, NULL, &good, &trim);
#define TRIM(...) REFUSED(mtm_trim_run, __VA_ARGS__, &none)
    TRIM(NULL, rig, NULL, NULL, &good);
    TRIM(c, NULL, NULL, NULL, &good);
    TRIM(c, other, NULL, NULL, &good);
    TRIM(c, rig, NULL, &no_meter, &good);
    TRIM(c, rig, NULL, NULL, NULL);
    TRIM(c, rig, NULL, NULL, &bad);
    REFUSED(mtm_trim_run, c, rig, NULL, NULL, &good, NULL);
    REQUEST(TRIM(c, rig, NULL, NULL, &bad), steps, 0);
    REQUEST(TRIM(c, rig, NULL, NULL, &bad), output.type, (mtm_output_type)NO_ENUM);
    REQUEST(TRIM(c, rig, NULL, NULL, &bad), output, ((mtm_output){MTM_OUTPUT_SHARE, 1.1}));
    EACH_XY(xy)
    REQUEST(TRIM(c, rig, NULL, NULL, &bad), target, *xy);
    EACH_NUMBER(n)
    {
        REQUEST(TRIM(c, rig, NULL, NULL, &bad), steps, *n);
        REQUEST(TRIM(c, rig, NULL, NULL, &bad), output, ((mtm_output){MTM_OUTPUT_LM, *n}));
    }
#define COMPARE(...) REFUSED(mtm_trim_compare, __VA_ARGS__)
    COMPARE(NULL, c, rig, &good, moved, &count, &output[0], &output[1]);
    COMPARE(c, NULL, rig, &good, moved, &count, &output[0], &output[1]);
    COMPARE(c, c, NULL, &good, moved, &count, &output[0], &output[1]);
    COMPARE(c, c, rig, NULL, moved, &count, &output[0], &output[1]);
    COMPARE(c, c, rig, &bad, moved, &count, &output[0], &output[1]);
    COMPARE(c, c, rig, &good, NULL, &count, &output[0], &output[1]);
    COMPARE(c, c, rig, &good, moved, NULL, &output[0], &output[1]);
    COMPARE(c, c, rig, &good, moved, &count, NULL, &output[1]);
    COMPARE(c, c, rig, &good, moved, &count, &output[0], NULL);
    assert_null(none);
    HOLDS(mtm_trim_count, mtm_trim_count(NULL) == 0);
    HOLDS(mtm_trim_at, mtm_trim_at(NULL, 0) == NULL);
    HOLDS(mtm_trim_at, mtm_trim_at(trim, mtm_trim_count(trim)) == NULL);
    HOLDS(mtm_trim_summarise, mtm_trim_summarise(NULL).output == 0);
    LEAVES(count, mtm_trim_store, NULL, world.calibration);
    LEAVES(count, mtm_trim_store, trim, NULL);
    mtm_trim_free(trim);
    LEAVES(count, mtm_trim_free, NULL);
    size_t set[64];
    assert_true(mtm_rig_unit_count(rig) <= COUNT(set));
#define SPLIT(...) REFUSED(mtm_alike_split, __VA_ARGS__)
    SPLIT(NULL, NULL, MTM_ALIKE_ALL, set, &count);
    SPLIT(rig, NULL, (mtm_alike)-1, set, &count);
    SPLIT(rig, NULL, (mtm_alike)9, set, &count);
    SPLIT(rig, NULL, MTM_ALIKE_KIND, NULL, &count);
    SPLIT(rig, NULL, MTM_ALIKE_KIND, set, NULL);
    HOLDS(mtm_alike_at, mtm_alike_at(MTM_ALIKE_GROUP)->alike == MTM_ALIKE_GROUP);
    HOLDS(mtm_alike_at, mtm_alike_at(MTM_ALIKE_GROUP + 1) == NULL);
    HOLDS(mtm_alike_name, mtm_alike_name(NULL, MTM_ALIKE_KIND, 0) == NULL);
    HOLDS(mtm_alike_name, mtm_alike_name(rig, MTM_ALIKE_KIND, SIZE_MAX) == NULL);
    mtm_rig_free(other);
    free(moved);
}

void walk_match(void **state)
{
    (void)state;
    walk_matcher();
    walk_trim();
}
