/* SPDX-License-Identifier: MIT */
/* Dimming keeps the light: a unit's mix for a colour is the same at every output, and a goal that a
 * unit cannot follow is told, not refused. What is checked are laws that follow from light adding
 * in XYZ (CIE 015:2018, 7): less of a mix is the same spectrum, scaled. */
#include "support/check.h"

#include "solve/solver.h"

#include <metamer/judge.h>
#include <metamer/match.h>
#include <metamer/rig.h>

#include <math.h>

static mtm_rig *hall, *foyer;
static mtm_matcher *of_hall, *of_foyer;

static void open_rig(const char *name, mtm_rig **rig, mtm_matcher **matcher)
{
    char path[1024];
    mtm_error error = {""};

    (void)snprintf(path, sizeof path, "%s/examples/%s", getenv("METAMER_SOURCE"), name);
    if (mtm_rig_load(path, rig, &error) != MTM_OK ||
        mtm_matcher_create(*rig, MTM_OBSERVER_2, matcher, &error) != MTM_OK)
        fail_msg("%s", error.text);
}

static int open_rigs(void **state)
{
    (void)state;
    open_rig("hall.json", &hall, &of_hall);
    open_rig("foyer.json", &foyer, &of_foyer);
    return 0;
}

static int close_rigs(void **state)
{
    (void)state;
    mtm_matcher_free(of_hall);
    mtm_matcher_free(of_foyer);
    mtm_rig_free(hall);
    mtm_rig_free(foyer);
    return 0;
}

static mtm_match_request ask_xy(mtm_xy xy, mtm_goal goal)
{
    mtm_match_request request = {.goal = goal};

    assert_int_equal(mtm_target_from_xy(xy, MTM_OBSERVER_2, &request.target, NULL), MTM_OK);
    return request;
}

static mtm_match_request ask_white(double cct_k, mtm_goal goal)
{
    mtm_match_request request = {.goal = goal};

    assert_int_equal(
        mtm_target_from_white((mtm_white){cct_k, 0}, MTM_OBSERVER_2, &request.target, NULL),
        MTM_OK);
    return request;
}

static mtm_match match_of(mtm_matcher *matcher, size_t unit, const mtm_match_request *request)
{
    mtm_match match;
    mtm_error error = {""};

    if (mtm_matcher_unit(matcher, unit, request, &match, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return match;
}

static const double share[] = {0.6, 0.2, 0.05};

/* The ideal levels at less output are those of the most, scaled: proportions to 1e-9. */
static void check_same_mix(mtm_rig *rig, mtm_matcher *matcher, mtm_match_request request)
{
    request.output = (mtm_output){MTM_OUTPUT_SHARE, 1};
    for (size_t unit = 0; unit < mtm_rig_unit_count(rig); unit++) {
        mtm_match full = match_of(matcher, unit, &request);
        for (size_t i = 0; i < COUNT(share); i++) {
            mtm_match_request less = request;
            /* by share and by lumens */
            less.output = (mtm_output){MTM_OUTPUT_SHARE, share[i]};
            if (i % 2 != 0)
                less.output = (mtm_output){MTM_OUTPUT_LM, share[i] * full.ideal.xyz.y};
            mtm_match match = match_of(matcher, unit, &less);
            for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
                CHECK_NEAR(mtm_rig_unit(rig, unit)->name, match.ideal.level[k] / share[i],
                           full.ideal.level[k], 1e-9);
            CHECK_NEAR("output", match.ideal.xyz.y, share[i] * full.ideal.xyz.y,
                       1e-9 * full.ideal.xyz.y);
            assert_int_equal(match.goal, full.goal);
            assert_int_equal(match.fallback, full.fallback);
            assert_int_equal(match.ideal.shortfall & MTM_SHORT_OUTPUT, 0);
        }
    }
}

static void test_same_mix(void **state)
{
    static const mtm_goal goals[] = {MTM_GOAL_LIGHT, MTM_GOAL_RENDERING, MTM_GOAL_SPECTRUM};

    (void)state;
    for (size_t g = 0; g < COUNT(goals); g++) {
        check_same_mix(hall, of_hall, ask_white(3200, goals[g]));
        check_same_mix(foyer, of_foyer, ask_white(4000, goals[g]));
    }
    for (double cct_k = 2500; cct_k < 8000; cct_k += 500)
        check_same_mix(hall, of_hall, ask_white(cct_k, MTM_GOAL_LIGHT));
    check_same_mix(hall, of_hall, ask_xy((mtm_xy){0.62, 0.33}, MTM_GOAL_LIGHT)); /* a red */
    check_same_mix(hall, of_hall, ask_xy((mtm_xy){0.20, 0.60}, MTM_GOAL_SPECTRUM));
    check_same_mix(hall, of_hall, ask_xy((mtm_xy){0.15, 0.72}, MTM_GOAL_RENDERING)); /* beyond */
}

/* Ra and Rf of what 16-bit codes give differ by no more than the codes make of it. */
static void test_same_rendering(void **state)
{
    static const mtm_goal goals[] = {MTM_GOAL_LIGHT, MTM_GOAL_RENDERING};

    (void)state;
    for (size_t g = 0; g < COUNT(goals); g++) {
        for (size_t unit = 0; unit < mtm_rig_unit_count(hall); unit++) {
            const mtm_unit *of = mtm_rig_unit(hall, unit);
            mtm_match_request request = ask_white(3200, goals[g]);
            mtm_judgement full, less;
            mtm_match match = match_of(of_hall, unit, &request);
            if (of->mode->emitter_bits[0] < 16)
                continue;
            assert_int_equal(mtm_judge(of->fixture, match.level, &full, NULL), MTM_OK);
            request.output = (mtm_output){MTM_OUTPUT_SHARE, 0.6};
            match = match_of(of_hall, unit, &request);
            assert_int_equal(mtm_judge(of->fixture, match.level, &less, NULL), MTM_OK);
            assert_true(full.has_quality && less.has_quality);
            CHECK_NEAR("Ra", less.ra, full.ra, 0.05);
            CHECK_NEAR("Rf", less.rf, full.rf, 0.05);
        }
    }
}

/* One colour and output for all: each unit keeps its own mix of that colour at every output. */
static void test_together(void **state)
{
    static const mtm_goal goals[] = {MTM_GOAL_LIGHT, MTM_GOAL_RENDERING};
    mtm_match full[16], less[16];
    mtm_common common;
    size_t unit[16], count = mtm_rig_unit_count(hall);

    (void)state;
    assert_true(count <= COUNT(unit));
    for (size_t i = 0; i < count; i++)
        unit[i] = i;
    for (size_t g = 0; g < COUNT(goals); g++) {
        mtm_match_request request = ask_white(4000, goals[g]);
        assert_int_equal(mtm_matcher_together(of_hall, unit, count, &request, full, &common, NULL),
                         MTM_OK);
        double most = common.output;
        request.output = (mtm_output){MTM_OUTPUT_SHARE, 0.2};
        assert_int_equal(mtm_matcher_together(of_hall, unit, count, &request, less, &common, NULL),
                         MTM_OK);
        CHECK_NEAR("output", common.output, 0.2 * most, 1e-9 * most);
        request = ask_xy(common.xy, goals[g]);
        for (size_t i = 0; i < count; i++) {
            mtm_match alone = match_of(of_hall, i, &request);
            double part = most / alone.ideal.xyz.y;
            assert_true(part <= 1 + 1e-9);
            CHECK_NEAR("common", less[i].ideal.xyz.y, 0.2 * most, 1e-9 * most);
            for (size_t k = 0; k < MTM_EMITTERS_MAX; k++) {
                CHECK_NEAR("less", less[i].ideal.level[k], 0.2 * full[i].ideal.level[k], 1e-9);
                CHECK_NEAR("alone", full[i].ideal.level[k], part * alone.ideal.level[k], 1e-6);
            }
        }
    }
}

/* The fewest watts are the one goal whose mix goes with the output; and they are fewer. */
static void test_watts(void **state)
{
    mtm_match_request light = ask_white(3200, MTM_GOAL_LIGHT);
    mtm_match_request watts = ask_white(3200, MTM_GOAL_WATTS);

    (void)state;
    light.output = watts.output = (mtm_output){MTM_OUTPUT_SHARE, 0.4};
    for (size_t unit = 0; unit < 6; unit++) { /* those of five emitters */
        mtm_match one = match_of(of_hall, unit, &light), other = match_of(of_hall, unit, &watts);
        CHECK_NEAR("output", other.ideal.xyz.y, one.ideal.xyz.y, 1e-9 * one.ideal.xyz.y);
        assert_true(other.ideal.watts < 0.97 * one.ideal.watts);
        assert_int_equal(other.goal, MTM_GOAL_WATTS);
    }
}

static size_t unit_named(const mtm_rig *rig, const char *name)
{
    size_t unit = 0;

    assert_int_equal(mtm_rig_find_unit(rig, name, &unit, NULL), MTM_OK);
    return unit;
}

/* What one unit cannot do it does not do; the others go by the goal. */
static const struct fallback {
    const char *unit;
    mtm_xy xy;
    mtm_goal goal;
    mtm_fallback why;
} fallbacks[] = {
    {"front-left-wash", {0.4234, 0.3990}, MTM_GOAL_RENDERING, MTM_FALLBACK_NONE},
    {"front-left-wash", {0.4234, 0.3990}, MTM_GOAL_SPECTRUM, MTM_FALLBACK_NONE},
    {"front-left-wash", {0.4234, 0.3990}, MTM_GOAL_WATTS, MTM_FALLBACK_NONE},
    {"front-left-wash", {0.4234, 0.3990}, MTM_GOAL_LIGHT, MTM_FALLBACK_NONE},
    {"front-left-wash", {0.2000, 0.6000}, MTM_GOAL_RENDERING, MTM_FALLBACK_WHITE},
    {"front-left-wash", {0.2000, 0.6000}, MTM_GOAL_SPECTRUM, MTM_FALLBACK_WHITE},
    {"front-left-wash", {0.2000, 0.6000}, MTM_GOAL_WATTS, MTM_FALLBACK_NONE},
    {"front-left-wash", {0.0500, 0.8500}, MTM_GOAL_RENDERING, MTM_FALLBACK_ONE_MIX},
    {"back-left-wash", {0.4234, 0.3990}, MTM_GOAL_RENDERING, MTM_FALLBACK_ONE_MIX},
    {"hall-left", {0.4234, 0.3990}, MTM_GOAL_RENDERING, MTM_FALLBACK_ONE_MIX},
    {"hall-left", {0.4234, 0.3990}, MTM_GOAL_WATTS, MTM_FALLBACK_ONE_MIX},
    {"hall-left", {0.4234, 0.3990}, MTM_GOAL_LIGHT, MTM_FALLBACK_NONE},
};

static void test_fallbacks(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(fallbacks); i++) {
        const struct fallback *row = &fallbacks[i];
        mtm_match_request request = ask_xy(row->xy, row->goal);
        size_t unit = unit_named(hall, row->unit);
        mtm_match match = match_of(of_hall, unit, &request);
        mtm_fallback why = MTM_FALLBACK_NONE;
        mtm_goal goal = MTM_GOAL_LIGHT;
        if (match.fallback != row->why)
            fail_msg("row %zu: %s", i, mtm_fallback_text(match.fallback));
        assert_int_equal(match.goal, row->why == MTM_FALLBACK_NONE ? row->goal : MTM_GOAL_LIGHT);
        assert_int_equal(mtm_matcher_goal(of_hall, unit, &request, &goal, &why, NULL), MTM_OK);
        assert_int_equal(goal, match.goal);
        assert_int_equal(why, match.fallback);
        if (row->why == MTM_FALLBACK_NONE)
            continue;
        request.goal = MTM_GOAL_LIGHT;
        mtm_match light = match_of(of_hall, unit, &request);
        for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
            CHECK_NEAR("by light", match.ideal.level[k], light.ideal.level[k], 0);
        assert_true(strlen(mtm_fallback_text(row->why)) > 0);
    }
}

/* A target that brings its own spectrum needs no colour temperature. */
static void test_own_reference(void **state)
{
    mtm_match_request request = ask_xy((mtm_xy){0.2000, 0.6000}, MTM_GOAL_SPECTRUM);

    (void)state;
    assert_int_equal(mtm_spectrum_led(525, 40, &request.target.spectrum, NULL), MTM_OK);
    request.target.has_spectrum = true;
    mtm_match match = match_of(of_hall, unit_named(hall, "front-left-wash"), &request);
    assert_int_equal(match.goal, MTM_GOAL_SPECTRUM);
}

/* A mix that is kept for other outputs serves no other question: answers in any order are those of
 * a matcher that was asked nothing before. */
static void test_order(void **state)
{
    mtm_match_request request[6];
    mtm_rig *rig = NULL;
    mtm_matcher *fresh = NULL;

    (void)state;
    request[0] = ask_white(3200, MTM_GOAL_RENDERING);
    request[1] = ask_white(4500, MTM_GOAL_RENDERING);
    request[2] = ask_white(3200, MTM_GOAL_RENDERING);
    request[2].index = MTM_INDEX_RA;
    request[3] = ask_white(3200, MTM_GOAL_SPECTRUM);
    request[4] = ask_white(3200, MTM_GOAL_SPECTRUM);
    assert_int_equal(mtm_spectrum_daylight(5500, &request[4].target.spectrum, NULL), MTM_OK);
    request[4].target.has_spectrum = true;
    request[5] = request[4];
    assert_int_equal(mtm_spectrum_planck(2800, &request[5].target.spectrum, NULL), MTM_OK);
    for (size_t i = 0; i < 3 * COUNT(request); i++) {
        mtm_match_request *one = &request[5 * i % COUNT(request)];
        one->output = (mtm_output){MTM_OUTPUT_SHARE, share[i % COUNT(share)]};
        mtm_match got = match_of(of_hall, i % 2, one); /* two units of one kind */
        open_rig("hall.json", &rig, &fresh);
        mtm_match wanted = match_of(fresh, i % 2, one);
        for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
            CHECK_NEAR("level", got.ideal.level[k], wanted.ideal.level[k], 0);
        mtm_matcher_free(fresh);
        mtm_rig_free(rig);
    }
}

/* Four emitters known by x, y only. */
static const char plain_text[] =
    "{ \"metamer\": \"fixture/1\", \"name\": \"plain\", \"emitters\": ["
    "{ \"name\": \"red\", \"x\": 0.69, \"y\": 0.30, \"flux_lm\": 200, \"watts\": 10 },"
    "{ \"name\": \"green\", \"x\": 0.18, \"y\": 0.71, \"flux_lm\": 400, \"watts\": 10 },"
    "{ \"name\": \"blue\", \"x\": 0.15, \"y\": 0.04, \"flux_lm\": 50, \"watts\": 10 },"
    "{ \"name\": \"white\", \"x\": 0.40, \"y\": 0.39, \"flux_lm\": 500, \"watts\": 8 } ],"
    "\"modes\": [ { \"name\": \"8-bit\", \"slots\": [\"red\", \"green\", \"blue\", \"white\"] } ] "
    "}";

static bool is_free(const char *fixture_text, mtm_xy xy)
{
    mtm_fixture *fixture = NULL;
    mtm_solver *solver = NULL;
    mtm_error error = {""};

    if (mtm_fixture_parse(fixture_text, strlen(fixture_text), "fixture", NULL, &fixture, &error) !=
            MTM_OK ||
        mtm_solver_create_for(fixture, MTM_OBSERVER_2, &solver, &error) != MTM_OK)
        fail_msg("%s", error.text);
    bool free_there = mtmi_solver_is_free(solver, xy);
    mtm_solver_free(solver);
    mtm_fixture_free(fixture);
    return free_there;
}

static bool is_free_of(const mtm_xy *emitter, size_t count, mtm_xy xy)
{
    mtm_xyz xyz[MTM_EMITTERS_MAX];
    double watts[MTM_EMITTERS_MAX];
    mtm_solver *solver = NULL;

    for (size_t i = 0; i < count; i++) {
        xyz[i] = emitter[i].y > 0 ? mtm_xyz_from_xy(emitter[i], 100 + 10 * (double)i)
                                  : (mtm_xyz){0, 0, 0};
        watts[i] = 5;
    }
    assert_int_equal(mtm_solver_create(xyz, watts, count, INFINITY, &solver, NULL), MTM_OK);
    bool free_there = mtmi_solver_is_free(solver, xy);
    mtm_solver_free(solver);
    return free_there;
}

/* More emitters than a colour needs: two within a line, three within an area, fewer on its edge. */
static void test_freedom(void **state)
{
    const mtm_xy r = {0.7, 0.3}, g = {0.2, 0.7}, b = {0.15, 0.05}, w = {0.35, 0.35};
    const mtm_xy y = {0.45, 0.5}; /* half way from r to g */
    const mtm_xy inside = {0.33, 0.33}, dark = {0, 0};

    (void)state;
    assert_true(is_free(plain_text, inside));
    assert_false(is_free_of((mtm_xy[]){r, g, b}, 3, inside));
    assert_false(is_free_of((mtm_xy[]){r, g, b, dark}, 4, inside));
    assert_true(is_free_of((mtm_xy[]){r, g, b, w}, 4, inside));
    assert_true(is_free_of((mtm_xy[]){r, g, b, b}, 4, inside));
    assert_false(is_free_of((mtm_xy[]){r, g, b, w}, 4, (mtm_xy){0.575, 0.4})); /* on an edge */
    assert_true(is_free_of((mtm_xy[]){r, g, b, y}, 4, (mtm_xy){0.575, 0.4}));
    assert_false(is_free_of((mtm_xy[]){r, g, b, w}, 4, r)); /* a corner */
    assert_true(is_free_of((mtm_xy[]){r, g, b, r}, 4, r));
    assert_false(is_free_of((mtm_xy[]){r, g}, 2, y)); /* a line */
    assert_false(is_free_of((mtm_xy[]){r, g}, 2, g));
    assert_true(is_free_of((mtm_xy[]){r, y, g}, 3, y));
    assert_false(is_free_of((mtm_xy[]){r, y, g}, 3, g));
    assert_false(is_free_of((mtm_xy[]){w}, 1, w)); /* a point */
    assert_true(is_free_of((mtm_xy[]){w, w}, 2, w));
}

/* A rig of one unit whose emitters have no spectra: choices between light and watts. */
static void test_choices_by_watts(void **state)
{
    mtm_choice choice[MTM_CHOICES_MAX];
    mtm_fallback why = MTM_FALLBACK_NONE;
    mtm_match_request request = ask_white(4000, MTM_GOAL_LIGHT);
    size_t count = 0, unit = unit_named(hall, "front-left-wash");

    (void)state;
    assert_int_equal(mtm_matcher_choices(of_hall, unit, &request, choice, &count, &why, NULL),
                     MTM_OK);
    assert_int_equal(why, MTM_FALLBACK_NONE);
    assert_true(count > 3 && isfinite(choice[0].rf));
    request = ask_xy((mtm_xy){0.25, 0.25}, MTM_GOAL_LIGHT); /* a blue */
    assert_int_equal(mtm_matcher_choices(of_hall, unit, &request, choice, &count, &why, NULL),
                     MTM_OK);
    assert_int_equal(why, MTM_FALLBACK_WHITE);
    assert_true(count >= 2);
    for (size_t i = 0; i < count; i++) {
        const mtm_answer *answer = &choice[i].answer;
        CHECK_NEAR("x", answer->xy.x, request.target.xy.x, 1e-9);
        assert_true(isnan(choice[i].rf));
        if (i == 0)
            continue;
        const mtm_answer *before = &choice[i - 1].answer;
        assert_true(answer->xyz.y < before->xyz.y && answer->watts < before->watts);
        assert_true(answer->xyz.y / answer->watts > before->xyz.y / before->watts);
    }
    assert_int_equal(mtm_matcher_choices(of_hall, unit, NULL, choice, &count, &why, NULL),
                     MTM_INVALID);
}

static void test_refused(void **state)
{
    mtm_match_request request = ask_white(4000, (mtm_goal)9);
    mtm_common common;
    mtm_match match;
    mtm_error error;
    size_t unit = 0;

    (void)state;
    assert_int_equal(mtm_matcher_unit(of_hall, 0, &request, &match, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "goal");
    request = ask_white(4000, MTM_GOAL_RENDERING);
    request.output = (mtm_output){MTM_OUTPUT_LM, NAN};
    assert_int_equal(mtm_matcher_unit(of_hall, 0, &request, &match, &error), MTM_INVALID);
    assert_int_equal(mtm_matcher_together(of_hall, &unit, 1, &request, &match, &common, &error),
                     MTM_INVALID);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same_mix),
        cmocka_unit_test(test_same_rendering),
        cmocka_unit_test(test_together),
        cmocka_unit_test(test_watts),
        cmocka_unit_test(test_fallbacks),
        cmocka_unit_test(test_own_reference),
        cmocka_unit_test(test_order),
        cmocka_unit_test(test_freedom),
        cmocka_unit_test(test_choices_by_watts),
        cmocka_unit_test(test_refused),
    };

    return cmocka_run_group_tests_name("dimming", tests, open_rigs, close_rigs);
}
