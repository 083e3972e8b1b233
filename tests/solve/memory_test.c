/* SPDX-License-Identifier: MIT */
/* Failing memory in solvers, coders and matchers. */
#include "support/failing.h"

#include <metamer/agreement.h>
#include <metamer/match.h>
#include <metamer/whites.h>

#include <unistd.h>

enum { UNITS_MAX = 32 };

static mtm_rig *rig;
static mtm_rig *mixers;
static mtm_matcher *matcher;
static size_t unit[UNITS_MAX];
static size_t units;
static mtm_match looks[UNITS_MAX];
static mtm_judgement judgements[UNITS_MAX];
static mtm_match_request warm;

static const mtm_fixture *batten(void)
{
    size_t index = 0;

    assert_int_equal(mtm_rig_find_unit(rig, "side-left-batten", &index, NULL), MTM_OK);
    return mtm_rig_unit(rig, index)->fixture;
}

static void tell_match(const mtm_match *match)
{
    failing_tell(&match->xyz, sizeof match->xyz);
    failing_tell(&match->codes, sizeof match->codes);
    failing_tell(match->level, sizeof match->level);
    failing_tell(&match->goal, sizeof match->goal);
}

static mtm_result create_solver(mtm_error *error)
{
    mtm_solver *solver = NULL;
    mtm_answer answer;
    const mtm_request request = {.xy = {0.4369, 0.4041}};
    mtm_result result = mtm_solver_create_for(batten(), MTM_OBSERVER_10, &solver, error);

    if (result != MTM_OK)
        assert_null(solver);
    if (result == MTM_OK)
        result = mtm_solver_solve(solver, &request, &answer, error);
    if (result == MTM_OK)
        failing_tell(answer.level, sizeof answer.level);
    mtm_solver_free(solver);
    return result;
}

static mtm_result make_whites(mtm_error *error)
{
    const double cct_k[] = {3200, 5600};
    mtm_fixture_white white[2] = {{.flux_lm = 77}};
    mtm_result result = mtm_fixture_whites(batten(), MTM_OBSERVER_2, cct_k, 2, white, NULL, error);

    if (result == MTM_OK)
        failing_tell(&white[1].made, sizeof white[1].made);
    else
        assert_true(white[0].flux_lm == 77);
    return result;
}

static mtm_result create_coder(mtm_error *error)
{
    const mtm_fixture *fixture = batten();
    const double level[MTM_EMITTERS_MAX] = {0.3, 0.01, 0.5, 0.2, 0.7};
    mtm_coder *coder = NULL;
    mtm_codes codes;
    mtm_result result =
        mtm_coder_create(fixture, mtm_rig_unit(rig, 4)->mode, MTM_OBSERVER_2, &coder, error);

    if (result != MTM_OK) {
        assert_null(coder);
        return result;
    }
    mtm_coder_round(coder, level, &codes);
    failing_tell(&codes, sizeof codes);
    mtm_coder_free(coder);
    return MTM_OK;
}

static mtm_result create_spectral(mtm_error *error)
{
    mtm_spectral *spectral = NULL;
    mtm_best best;
    const mtm_request request = {.xy = {0.4369, 0.4041}};
    mtm_result result = mtm_spectral_create(batten(), &spectral, error);

    if (result != MTM_OK)
        assert_null(spectral);
    failing_mark(&best, sizeof best);
    if (result == MTM_OK) {
        result = mtm_spectral_rendering(spectral, &request, MTM_INDEX_RF, NULL, &best, error);
        if (result != MTM_OK)
            failing_check_mark(&best, sizeof best);
    }
    if (result == MTM_OK)
        failing_tell(best.answer.level, sizeof best.answer.level);
    mtm_spectral_free(spectral);
    return result;
}

/* One unit's answer from a matcher of its own: the goal's means are made when first asked for. */
static mtm_result match_with(const mtm_match_request *request, mtm_error *error)
{
    mtm_matcher *made = NULL;
    mtm_match match;
    mtm_result result = mtm_matcher_create(rig, MTM_OBSERVER_2, &made, error);

    if (result != MTM_OK)
        assert_null(made);
    failing_mark(&match, sizeof match);
    if (result == MTM_OK) {
        result = mtm_matcher_unit(made, units - 1, request, &match, error);
        if (result != MTM_OK)
            failing_check_mark(&match, sizeof match);
    }
    if (result == MTM_OK)
        tell_match(&match);
    mtm_matcher_free(made);
    return result;
}

static mtm_result match_light(mtm_error *error)
{
    return match_with(&warm, error);
}

static mtm_result match_rendering(mtm_error *error)
{
    mtm_match_request request = warm;

    request.goal = MTM_GOAL_RENDERING;
    return match_with(&request, error);
}

static mtm_result match_some(mtm_error *error)
{
    mtm_matcher *made = NULL;
    mtm_match match;
    mtm_result result = mtm_matcher_create_for(rig, unit + 3, 2, MTM_OBSERVER_2, &made, error);

    if (result != MTM_OK) {
        assert_null(made);
        return result;
    }
    result = mtm_matcher_unit(made, unit[4], &warm, &match, error);
    if (result == MTM_OK)
        tell_match(&match);
    mtm_matcher_free(made);
    return result;
}

static mtm_result match_together(mtm_error *error)
{
    static mtm_match match[UNITS_MAX];
    mtm_common common;

    failing_mark(match, sizeof match);
    failing_mark(&common, sizeof common);
    mtm_result result = mtm_matcher_together(matcher, unit, units, &warm, match, &common, error);
    if (result != MTM_OK) {
        failing_check_mark(match, sizeof match);
        failing_check_mark(&common, sizeof common);
        return result;
    }
    for (size_t i = 0; i < units; i++)
        tell_match(&match[i]);
    failing_tell(&common.xy, sizeof common.xy);
    failing_tell(&common.output, sizeof common.output);
    return MTM_OK;
}

/* Units that mix by themselves, one a way; what their slots give is a target too. */
static mtm_result match_mixers(mtm_error *error)
{
    mtm_matcher *made = NULL;
    mtm_match match;
    mtm_target target;
    mtm_result result = mtm_matcher_create(mixers, MTM_OBSERVER_2, &made, error);

    for (size_t i = 0; result == MTM_OK && i < mtm_rig_unit_count(mixers); i++) {
        failing_mark(&match, sizeof match);
        result = mtm_matcher_unit(made, i, &warm, &match, error);
        if (result != MTM_OK) {
            failing_check_mark(&match, sizeof match);
            break;
        }
        tell_match(&match);
        result = mtm_target_from_unit(mtm_rig_unit(mixers, i), &match.codes, MTM_OBSERVER_2,
                                      &target, error);
        if (result == MTM_OK)
            failing_tell(&target.xy, sizeof target.xy);
    }
    mtm_matcher_free(made);
    return result;
}

static mtm_result list_choices(mtm_error *error)
{
    mtm_matcher *made = NULL;
    mtm_choice choice[MTM_CHOICES_MAX];
    size_t count = 77;
    mtm_fallback fallback;
    mtm_result result = mtm_matcher_create_for(rig, unit + 4, 1, MTM_OBSERVER_2, &made, error);

    if (result != MTM_OK)
        return result;
    result = mtm_matcher_choices(made, unit[4], &warm, choice, &count, &fallback, error);
    if (result != MTM_OK)
        assert_int_equal(count, 77);
    for (size_t i = 0; result == MTM_OK && i < count; i++)
        failing_tell(choice[i].answer.level, sizeof choice[i].answer.level);
    mtm_matcher_free(made);
    return result;
}

static mtm_result measure_spread(mtm_error *error)
{
    double spread_uv = -1;
    mtm_result result = mtm_match_spread(looks, units, &spread_uv, error);

    if (result != MTM_OK)
        assert_true(spread_uv == -1);
    else
        failing_tell(&spread_uv, sizeof spread_uv);
    return result;
}

static mtm_result judge_matches(mtm_error *error)
{
    mtm_judgement judged[UNITS_MAX];
    mtm_result result = mtm_judge_matches(rig, looks, units, judged, error);

    for (size_t i = 0; result == MTM_OK && i < units; i++)
        failing_tell(judged[i].xyz, sizeof judged[i].xyz);
    return result;
}

static mtm_result name_pairs(mtm_error *error)
{
    const mtm_pair_limits limits = {.agree_uv = 0.1, .apart_uv = 1e-6, .least_ssi = 99};
    mtm_metameric_pair pair[3];
    size_t found = 77;
    mtm_result result = mtm_match_pairs(rig, looks, judgements, units, MTM_OBSERVER_2, &limits,
                                        pair, COUNT(pair), &found, error);

    if (result != MTM_OK) {
        assert_int_equal(found, 77);
        return result;
    }
    assert_int_equal(found, COUNT(pair));
    for (size_t i = 0; i < found; i++) {
        failing_tell(&pair[i].first, sizeof pair[i].first);
        failing_tell(&pair[i].second, sizeof pair[i].second);
    }
    return MTM_OK;
}

static mtm_result target_unit(mtm_error *error)
{
    mtm_target target;
    failing_mark(&target, sizeof target);
    mtm_result result =
        mtm_target_from_unit(mtm_rig_unit(rig, 0), &looks[0].codes, MTM_OBSERVER_2, &target, error);

    if (result != MTM_OK) {
        failing_check_mark(&target, sizeof target);
        return result;
    }
    failing_tell(&target.xy, sizeof target.xy);
    failing_tell_text(target.description);
    return MTM_OK;
}

static const failing_row rows[] = {
    {"create a solver", create_solver},
    {"make the whites of a fixture", make_whites},
    {"create a coder", create_coder},
    {"best rendering of a fixture", create_spectral},
    {"match a unit, most light", match_light},
    {"match a unit, best rendering", match_rendering},
    {"match some units", match_some},
    {"match together", match_together},
    {"match what mixes by itself", match_mixers},
    {"take a unit as a target", target_unit},
    {"list choices", list_choices},
    {"measure the spread of a match", measure_spread},
    {"judge matches", judge_matches},
    {"name pairs that agree for one eye only", name_pairs},
};

static mtm_result load_mixers(void)
{
    static const char text[] =
        "{\"metamer\": \"rig/1\", \"name\": \"mixers\", \"units\": ["
        "{\"name\": \"a\", \"fixture\": \"studio-panel.json\", \"mode\": \"white\"},"
        "{\"name\": \"b\", \"fixture\": \"studio-panel.json\", \"mode\": \"rgb\"},"
        "{\"name\": \"c\", \"fixture\": \"studio-panel.json\", \"mode\": \"hsi\"},"
        "{\"name\": \"d\", \"fixture\": \"studio-panel.json\", \"mode\": \"xy\"}]}";

    return mtm_rig_parse(text, strlen(text), "mixers", NULL, &mixers, NULL);
}

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    if (source == NULL || chdir(source) != 0 ||
        mtm_rig_load("examples/hall.json", &rig, NULL) != MTM_OK || load_mixers() != MTM_OK ||
        mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, NULL) != MTM_OK ||
        mtm_target_from_white((mtm_white){3000, 0}, MTM_OBSERVER_2, &warm.target, NULL) != MTM_OK)
        return -1;
    units = mtm_rig_unit_count(rig);
    if (units > UNITS_MAX)
        return -1;
    for (size_t i = 0; i < units; i++) {
        unit[i] = i;
        if (mtm_matcher_unit(matcher, i, &warm, &looks[i], NULL) != MTM_OK ||
            mtm_judge(mtm_rig_unit(rig, i)->fixture, looks[i].level, &judgements[i], NULL) !=
                MTM_OK)
            return -1;
    }
    return 0;
}

static int leave(void **state)
{
    (void)state;
    mtm_matcher_free(matcher);
    mtm_rig_free(mixers);
    mtm_rig_free(rig);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("solve_memory", tests, enter, leave);
}
