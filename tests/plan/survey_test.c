/* SPDX-License-Identifier: MIT */
/* Surveys: sums as the example rig's file has them; reach, common output and rendering compared
 * with what each unit alone is found to do. */
#include "support/check.h"

#include <metamer/match.h>
#include <metamer/selection.h>
#include <metamer/survey.h>
#include <metamer/white.h>

#include <math.h>
#include <string.h>
#include <unistd.h>

#define UNITS_MAX 16

static mtm_rig *rig;
static mtm_matcher *matcher;

static mtm_survey *survey_of(const char *units, const mtm_survey_options *options)
{
    mtm_survey *survey = NULL;
    size_t unit[UNITS_MAX];
    size_t count = 0;
    mtm_error error = {""};

    assert_int_equal(mtm_rig_select(rig, units, unit, &count, NULL), MTM_OK);
    if (mtm_survey_create(rig, unit, count, options, &survey, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return survey;
}

/* Counted by hand in examples/hall.json and the modes that it names. */
static void test_sums(void **state)
{
    mtm_survey *survey = survey_of("all", NULL);
    mtm_survey_sums sums = mtm_survey_sums_of(survey);
    size_t units = 0;

    (void)state;
    assert_int_equal(sums.units, 13);
    assert_int_equal(sums.universes, 2);
    assert_int_equal(sums.supplies, 2);
    assert_int_equal(sums.slots, 3 * 12 - 6 + 13 + 7 + 10 + 7 + 8 + 8 + 4 + 4 + 3 + 2);
    assert_int_equal(sums.measured + sums.followers + sums.unaddressed + sums.unsupplied, 0);
    CHECK_NEAR("watts", sums.full_w, 3 * 90 + 2 * 80 + 2 * 60 + 3 * 54 + 3 * 60, 1e-9);
    for (size_t i = 0; i < mtm_survey_kind_count(survey); i++)
        units += mtm_survey_kind_at(survey, i)->unit_count;
    assert_int_equal(units, 13);
    assert_string_equal(mtm_survey_kind_at(survey, 0)->fixture, "five-colour wash");
    assert_string_equal(mtm_survey_kind_at(survey, 1)->fixture, "five-colour wash");
    assert_string_equal(mtm_survey_kind_at(survey, 1)->mode, "8-bit");
    assert_null(mtm_survey_kind_at(survey, mtm_survey_kind_count(survey)));
    mtm_survey_free(survey);

    survey = survey_of("house", NULL);
    sums = mtm_survey_sums_of(survey);
    assert_int_equal(sums.units, 3);
    assert_int_equal(sums.slots, 9);
    assert_int_equal(sums.universes, 1);
    assert_int_equal(sums.supplies, 1);
    mtm_survey_free(survey);
}

/* How far the worst of all units is from a white when it is asked alone. */
static double worst_alone(double cct_k)
{
    mtm_match_request request = {.goal = MTM_GOAL_LIGHT};
    double worst_uv = 0;

    assert_int_equal(mtm_planck_xy(cct_k, MTM_OBSERVER_2, &request.target.xy, NULL), MTM_OK);
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        mtm_match match;
        assert_int_equal(mtm_matcher_unit(matcher, i, &request, &match, NULL), MTM_OK);
        worst_uv = fmax(worst_uv, match.ideal.delta_uv);
    }
    return worst_uv;
}

/* A white beside a range is out of reach, one at its end is not. */
static void test_ranges(void **state)
{
    static const double within[] = {0.001, 0.0033, 0.02};

    (void)state;
    for (size_t w = 0; w < COUNT(within); w++) {
        mtm_survey *survey = survey_of("all", &(mtm_survey_options){.within_uv = within[w]});
        double before_k = 0;
        assert_true(mtm_survey_range_count(survey) >= 1);
        for (size_t i = 0; i < mtm_survey_range_count(survey); i++) {
            const mtm_survey_range *range = mtm_survey_range_at(survey, i);
            double warm = 1e6 / range->warmest_k;
            double cool = 1e6 / range->coolest_k;
            assert_true(range->warmest_k > before_k && range->coolest_k >= range->warmest_k);
            before_k = range->coolest_k;
            assert_true(worst_alone(range->warmest_k) <= within[w] + 1e-9);
            assert_true(worst_alone(range->coolest_k) <= within[w] + 1e-9);
            assert_true(warm > 999 || worst_alone(1e6 / (warm + 1)) > within[w]);
            assert_true(cool < 41 || worst_alone(1e6 / (cool - 1)) > within[w]);
            assert_string_equal(mtm_rig_unit(rig, range->ends_warm)->name, "hall-left");
        }
        mtm_survey_free(survey);
    }
}

/* The least of what the units give alone at the common colour, and whose it is. */
static void test_output(void **state)
{
    static const double cct_k[] = {2700, 4000};
    mtm_survey *survey = survey_of("all", &(mtm_survey_options){.cct_k = cct_k, .cct_count = 2});

    (void)state;
    assert_int_equal(mtm_survey_white_count(survey), 2);
    for (size_t w = 0; w < 2; w++) {
        const mtm_survey_white *white = mtm_survey_white_at(survey, w);
        mtm_match_request request = {.goal = MTM_GOAL_LIGHT};
        mtm_match match[UNITS_MAX];
        mtm_common common;
        size_t unit[UNITS_MAX];
        size_t count = 0;
        size_t weakest = 0;
        double least = (double)INFINITY;
        double worst_rf = 100;

        assert_int_equal(
            mtm_target_from_white((mtm_white){cct_k[w], 0}, MTM_OBSERVER_2, &request.target, NULL),
            MTM_OK);
        assert_int_equal(mtm_rig_select(rig, NULL, unit, &count, NULL), MTM_OK);
        assert_int_equal(mtm_matcher_together(matcher, unit, count, &request, match, &common, NULL),
                         MTM_OK);
        for (size_t i = 0; i < count; i++) {
            const mtm_request alone = {.xy = common.xy};
            mtm_answer answer;
            mtm_judgement judgement;
            assert_int_equal(
                mtm_solver_solve(mtm_matcher_solver(matcher, i), &alone, &answer, NULL), MTM_OK);
            if (answer.xyz.y < least * (1 - 1e-9)) {
                least = answer.xyz.y;
                weakest = i;
            }
            assert_int_equal(
                mtm_judge(mtm_rig_unit(rig, i)->fixture, match[i].level, &judgement, NULL), MTM_OK);
            assert_true(judgement.has_quality);
            worst_rf = fmin(worst_rf, judgement.rf);
        }
        assert_true(white->exists);
        assert_int_equal(white->judged, count);
        CHECK_NEAR("output", white->flux_lm, least, 1e-6 * least);
        assert_int_equal(white->ends_output, weakest);
        CHECK_NEAR("rf", white->rf, worst_rf, 1e-9);
        assert_true(white->pair_count > 0);
        assert_true(white->pair.metamerism.delta_uv[MTM_OBSERVER_2] <= 0.0033);
        assert_true(white->pair.metamerism.delta_uv[MTM_OBSERVER_10] > 0.0033);
    }
    mtm_survey_free(survey);
}

static void test_refusals(void **state)
{
    static const double hot = 30000;
    const size_t beyond = 99;
    mtm_survey *survey = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_survey_create(rig, &beyond, 1, NULL, &survey, &error), MTM_INVALID);
    assert_string_equal(error.text, "unit number 99: the rig has 13");
    assert_int_equal(
        mtm_survey_create(rig, NULL, 0, &(mtm_survey_options){.within_uv = NAN}, &survey, &error),
        MTM_INVALID);
    CHECK_HOLDS(error.text, "allowed is 0 to 0.1");
    assert_true(mtm_survey_create(rig, NULL, 0,
                                  &(mtm_survey_options){.cct_k = &hot, .cct_count = 1}, &survey,
                                  &error) != MTM_OK);
    CHECK_HOLDS(error.text, "30000");
    assert_int_equal(
        mtm_survey_create(rig, NULL, 0, &(mtm_survey_options){.cct_count = 65}, &survey, &error),
        MTM_INVALID);
    CHECK_HOLDS(error.text, "found 65 whites");
    assert_null(survey);
}

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    if (source == NULL || chdir(source) != 0 ||
        mtm_rig_load("examples/hall.json", &rig, NULL) != MTM_OK)
        return -1;
    return mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, NULL) == MTM_OK ? 0 : -1;
}

static int leave(void **state)
{
    (void)state;
    mtm_matcher_free(matcher);
    mtm_rig_free(rig);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_sums),
        cmocka_unit_test(test_ranges),
        cmocka_unit_test(test_output),
        cmocka_unit_test(test_refusals),
    };

    return cmocka_run_group_tests_name("surveys", tests, enter, leave);
}
