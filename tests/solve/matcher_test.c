/* SPDX-License-Identifier: MIT */
/* Matcher: a mixed rig on one target, each its best and together. The fixtures are synthetic; what
 * is checked are the laws that any answer must obey (light adds in XYZ; CIE 015:2018, 7). */
#include "support/check.h"

#include <metamer/match.h>
#include <metamer/rig.h>

static mtm_rig *rig;
static mtm_matcher *matcher;

static int open_hall(void **state)
{
    char path[1024];
    mtm_error error = {""};

    (void)state;
    (void)snprintf(path, sizeof path, "%s/examples/hall.json", getenv("METAMER_SOURCE"));
    if (mtm_rig_load(path, &rig, &error) != MTM_OK ||
        mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error) != MTM_OK) {
        (void)fprintf(stderr, "%s\n", error.text);
        return -1;
    }
    return 0;
}

static int close_hall(void **state)
{
    (void)state;
    mtm_matcher_free(matcher);
    mtm_rig_free(rig);
    return 0;
}

static mtm_match_request ask_for(double cct_k)
{
    mtm_match_request request = {.goal = MTM_GOAL_LIGHT};
    mtm_error error = {""};

    assert_int_equal(
        mtm_target_from_white((mtm_white){cct_k, 0}, MTM_OBSERVER_2, &request.target, &error),
        MTM_OK);
    return request;
}

/* The prediction of the codes, added up here from the fixture's own figures. */
static void check_prediction(const mtm_match *match)
{
    const mtm_fixture *fixture = mtm_rig_unit(rig, match->unit)->fixture;
    mtm_xyz sum = {0, 0, 0};
    double watts = 0;

    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, i);
        assert_true(match->level[i] >= 0 && match->level[i] <= 1);
        sum.x += match->level[i] * emitter->xyz[0].x;
        sum.y += match->level[i] * emitter->xyz[0].y;
        sum.z += match->level[i] * emitter->xyz[0].z;
        watts += match->level[i] * emitter->watts;
    }
    CHECK_NEAR("X", match->xyz.x, sum.x, 1e-9 * (1 + sum.x));
    CHECK_NEAR("Y", match->xyz.y, sum.y, 1e-9 * (1 + sum.y));
    CHECK_NEAR("Z", match->xyz.z, sum.z, 1e-9 * (1 + sum.z));
    CHECK_NEAR("lumens", match->flux_lm, sum.y, 1e-6 * (1 + sum.y));
    CHECK_NEAR("watts", match->watts, watts, 1e-9 * (1 + watts));
    assert_true(match->watts <= mtm_fixture_power_limit_w(fixture) * (1 + 1e-8));
}

static void test_each(void **state)
{
    const mtm_match_request request = ask_for(3200);
    mtm_error error = {""};

    (void)state;
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        mtm_match match;
        assert_int_equal(mtm_matcher_unit(matcher, i, &request, &match, &error), MTM_OK);
        assert_int_equal(match.unit, i);
        check_prediction(&match);
        /* the distance is that of the codes, measured here afresh */
        double distance =
            mtm_uv_distance(mtm_uv_from_xyz(match.xyz), mtm_uv_from_xy(request.target.xy));
        CHECK_NEAR("distance", match.delta_uv, distance, 1e-12);
        if ((match.shortfall & MTM_SHORT_GAMUT) == 0)
            assert_true(match.ideal.delta_uv < 1e-6);
    }
}

static void match_all(const mtm_match_request *request, mtm_match *match, mtm_common *common)
{
    size_t unit[64];
    size_t count = mtm_rig_unit_count(rig);
    mtm_error error = {""};

    assert_true(count <= COUNT(unit));
    for (size_t i = 0; i < count; i++)
        unit[i] = i;
    if (mtm_matcher_together(matcher, unit, count, request, match, common, &error) != MTM_OK)
        fail_msg("%s", error.text);
}

/* All ideal answers are one colour and one output, and the limiting unit gives its most. */
static void test_together(void **state)
{
    mtm_match match[64];
    mtm_common common;
    const mtm_match_request request = ask_for(4000);

    (void)state;
    match_all(&request, match, &common);
    assert_true(common.exists);
    assert_true(common.output > 0);
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        check_prediction(&match[i]);
        CHECK_NEAR("output", match[i].ideal.xyz.y, common.output, 1e-6 * common.output);
        CHECK_NEAR("colour",
                   mtm_uv_distance(mtm_uv_from_xy(match[i].ideal.xy), mtm_uv_from_xy(common.xy)), 0,
                   1e-8);
    }
    CHECK_NEAR("limit", match[common.limits_output].ideal.most, common.output,
               1e-9 * common.output);
}

/* A share of the common output is that share. */
static void test_together_share(void **state)
{
    mtm_match match[64];
    mtm_common whole;
    mtm_common half;
    mtm_match_request request = ask_for(4000);

    (void)state;
    match_all(&request, match, &whole);
    request.output = (mtm_output){MTM_OUTPUT_SHARE, 0.5};
    match_all(&request, match, &half);
    CHECK_NEAR("half", half.output, whole.output / 2, 1e-9 * whole.output);
    request.output = (mtm_output){MTM_OUTPUT_LM, whole.output * 3};
    match_all(&request, match, &half);
    CHECK_NEAR("no more than all reach", half.output, whole.output, 1e-9 * whole.output);
    assert_true((match[0].shortfall & MTM_SHORT_OUTPUT) != 0);
}

/* Units that stay dark hold nobody back: the others are what they are among themselves, and the
 * dark ones what they are alone. */
static void test_together_left_dark(void **state)
{
    size_t lit[64], lit_count = 0, dark_count = 0;
    mtm_match match[64], among[64], alone;
    mtm_common common, theirs;
    mtm_match_request request = ask_for(4000);
    const size_t count = mtm_rig_unit_count(rig);

    (void)state;
    request.target.xy = (mtm_xy){0.16, 0.09};
    request.leave_dark_uv = 0.02;
    match_all(&request, match, &common);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(match[i].unit, i);
        assert_int_equal(mtm_matcher_unit(matcher, i, &request, &alone, NULL), MTM_OK);
        if (!(alone.left_dark_uv > 0)) {
            lit[lit_count++] = i;
            continue;
        }
        dark_count++;
        assert_true(match[i].left_dark_uv == alone.left_dark_uv && match[i].xyz.y == 0);
        assert_memory_equal(&match[i].codes, &alone.codes, sizeof alone.codes);
    }
    assert_true(lit_count > 2 && dark_count > 0);
    assert_int_equal(common.left_dark, dark_count);
    request.leave_dark_uv = 0;
    assert_int_equal(mtm_matcher_together(matcher, lit, lit_count, &request, among, &theirs, NULL),
                     MTM_OK);
    assert_true(common.exists && common.output == theirs.output &&
                common.delta_uv == theirs.delta_uv);
    assert_int_equal(common.limits_output, theirs.limits_output);
    for (size_t i = 0; i < lit_count; i++) {
        assert_int_equal(among[i].unit, lit[i]);
        assert_memory_equal(&match[lit[i]].codes, &among[i].codes, sizeof among[i].codes);
    }
    request.target.xy = (mtm_xy){0.08, 0.83}; /* beyond every unit */
    request.leave_dark_uv = 1e-4;
    match_all(&request, match, &common);
    assert_false(common.exists);
    assert_int_equal(common.left_dark, count);
}

static void test_bad_calls(void **state)
{
    mtm_match_request request = ask_for(4000);
    mtm_match match;
    mtm_common common;
    mtm_error error = {""};

    (void)state;
    request.target.observer = MTM_OBSERVER_10;
    assert_int_equal(mtm_matcher_unit(matcher, 0, &request, &match, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "unlike observers");
    assert_int_equal(mtm_matcher_together(matcher, NULL, 0, &request, &match, &common, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "no units");
}

/* Units that were left out need not suit the observer; to ask for one is refused. */
static void test_chosen(void **state)
{
    char path[1024];
    mtm_rig *foyer = NULL;
    mtm_matcher *chosen = NULL;
    mtm_match match;
    mtm_match_request request = {.goal = MTM_GOAL_LIGHT};
    mtm_error error = {""};
    size_t unit[] = {3}; /* it follows ceiling-3 */

    (void)state;
    (void)snprintf(path, sizeof path, "%s/examples/foyer.json", getenv("METAMER_SOURCE"));
    assert_int_equal(mtm_rig_load(path, &foyer, &error), MTM_OK);
    assert_int_equal(mtm_matcher_create(foyer, MTM_OBSERVER_10, &chosen, &error), MTM_UNSUPPORTED);
    assert_int_equal(mtm_matcher_create_for(foyer, unit, 1, MTM_OBSERVER_10, &chosen, &error),
                     MTM_OK);
    assert_int_equal(
        mtm_target_from_white((mtm_white){3500, 0}, MTM_OBSERVER_10, &request.target, &error),
        MTM_OK);
    assert_int_equal(mtm_matcher_unit(chosen, 3, &request, &match, &error), MTM_OK);
    assert_true(match.flux_lm > 0);
    assert_int_equal(mtm_matcher_unit(chosen, 5, &request, &match, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "the matcher was made without unit 5");
    assert_int_equal(mtm_matcher_unit(chosen, 9999, &request, &match, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "the matcher was made without unit 9999");
    mtm_common common;
    unit[0] = 5;
    assert_int_equal(mtm_matcher_together(chosen, unit, 1, &request, &match, &common, &error),
                     MTM_INVALID);
    assert_null(mtm_matcher_solver(chosen, 5));
    assert_null(mtm_matcher_solver(chosen, 9999));
    assert_null(mtm_matcher_coder(chosen, 5));
    mtm_matcher_free(chosen);
    unit[0] = 1000;
    assert_int_equal(mtm_matcher_create_for(foyer, unit, 1, MTM_OBSERVER_2, &chosen, &error),
                     MTM_INVALID);
    mtm_rig_free(foyer);
}

/* What the reasons stand for, by their definition; a tenth of a step of 0.0011 is on the target. */
static void test_misses(void **state)
{
    static const struct {
        double ideal_y, y, delta_uv, gamut_uv, codes_uv;
        unsigned shortfall;
        bool held;
        unsigned misses;
        bool reached;
    } row[] = {
        {0, 0, 0, 0, 0, 0, false, 0, true}, /* dark, as asked */
        {5, 0, 0, 0, 0, 0, false, MTM_MISS_DARK, false},
        {5, 0, 0, 0.1, 0, MTM_SHORT_OUTPUT, true, MTM_MISS_DARK, false},
        {5, 5, 0.00011, 0.00011, 0.00011, 0, false, 0, true},
        {5, 5, 0.01, 0.01, 0.0001, 0, false, MTM_MISS_GAMUT, false},
        {5, 5, 0.01, 0.0001, 0.01, 0, false, MTM_MISS_CODES, true},
        {5, 5, 0.01, 0.02, 0.01, 0, false, MTM_MISS_GAMUT | MTM_MISS_CODES, false},
        {5, 5, 0, 0.02, 0.02, 0, false, 0, false}, /* the codes make up for the gamut */
        {5, 5, 0, 0, 0, MTM_SHORT_OUTPUT, false, MTM_MISS_OUTPUT, false},
        {5, 5, 0, 0, 0, MTM_SHORT_OUTPUT, true, MTM_MISS_OUTPUT, false},
        {5, 5, 0, 0, 0, MTM_SHORT_POWER, false, 0, true},
        {5, 5, 0, 0, 0, 0, true, MTM_MISS_RATING, false},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(row); i++) {
        const mtm_match match = {.ideal = {.xyz = {0, row[i].ideal_y, 0}},
                                 .xyz = {0, row[i].y, 0},
                                 .delta_uv = row[i].delta_uv,
                                 .gamut_uv = row[i].gamut_uv,
                                 .codes_uv = row[i].codes_uv,
                                 .shortfall = row[i].shortfall};
        if (mtm_match_misses(&match, row[i].held) != row[i].misses ||
            mtm_match_reached(&match, row[i].held) != row[i].reached)
            fail_msg("row %zu: misses %#x, reached %d", i, mtm_match_misses(&match, row[i].held),
                     mtm_match_reached(&match, row[i].held));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_each),
        cmocka_unit_test(test_together),
        cmocka_unit_test(test_together_share),
        cmocka_unit_test(test_bad_calls),
        cmocka_unit_test(test_together_left_dark),
        cmocka_unit_test(test_chosen),
        cmocka_unit_test(test_misses),
    };

    return cmocka_run_group_tests_name("matcher", tests, open_hall, close_hall);
}
