/* SPDX-License-Identifier: MIT */
/* Spectral goals: the best rendering against a dense search that shares no code with the solver,
 * the nearest against its dual bound and its neighbours by the plain definition, the choices
 * against each other. */
#include "support/check.h"
#include "support/random.h"

#include "dense_truth.h"

#include <metamer/quality.h>
#include <metamer/spectral.h>

static mtm_fixture *load(const char *name)
{
    char path[1024];
    mtm_fixture *fixture = NULL;
    mtm_error error;

    (void)snprintf(path, sizeof path, "%s/%s.json", getenv("METAMER_PROFILES"), name);
    if (mtm_fixture_load(path, &fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return fixture;
}

static mtm_spectral *ready(const mtm_fixture *fixture)
{
    mtm_spectral *spectral = NULL;
    mtm_error error;

    if (mtm_spectral_create(fixture, &spectral, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return spectral;
}

static mtm_request white(double cct_k, double fraction)
{
    mtm_request request = {.output = {MTM_OUTPUT_SHARE, fraction}};

    assert_int_equal(mtm_white_to_xy((mtm_white){cct_k, 0}, &request.xy, NULL), MTM_OK);
    if (fraction == 0)
        request.output.type = MTM_OUTPUT_MAX;
    return request;
}

static void mix(const mtm_fixture *fixture, const double *level, mtm_spectrum *spectrum)
{
    memset(spectrum, 0, sizeof *spectrum);
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
            spectrum->value[i] += level[k] * mtm_fixture_emitter(fixture, k)->spectrum->value[i];
    }
}

static void check_answer(const mtm_fixture *fixture, const mtm_request *request,
                         const mtm_answer *answer)
{
    double watts = 0, highest = 0;
    mtm_spectrum spectrum;

    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        assert_true(answer->level[k] >= 0 && answer->level[k] <= 1);
        watts += answer->level[k] * mtm_fixture_emitter(fixture, k)->watts;
        highest = fmax(highest, answer->level[k]);
    }
    CHECK_NEAR("watts", answer->watts, watts, 1e-9 * watts);
    assert_true(watts <= mtm_fixture_power_limit_w(fixture) * (1 + 1e-9));
    CHECK_NEAR("x", answer->xy.x, request->xy.x, 1e-9);
    CHECK_NEAR("y", answer->xy.y, request->xy.y, 1e-9);
    mix(fixture, answer->level, &spectrum);
    mtm_xy xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_2));
    CHECK_NEAR("x of the spectrum", xy.x, request->xy.x, 1e-6);
    if (request->output.type == MTM_OUTPUT_SHARE)
        CHECK_NEAR("output", answer->xyz.y, request->output.value * answer->most,
                   1e-8 * answer->most);
    else
        assert_true(highest > 1 - 1e-9 || watts > mtm_fixture_power_limit_w(fixture) * (1 - 1e-9));
}

static void test_rendering(void **state)
{
    static const char *const names[] = {"five-colour-wash", "five-colour-spot",
                                        "five-colour-batten"};
    static const double cct_k[] = {2700, 4200, 5600}, fraction[] = {0.9, 0.3, 0.6};
    static struct dense_truth dense;

    (void)state;
    for (size_t i = 0; i < COUNT(names); i++) {
        mtm_fixture *fixture = load(names[i]);
        mtm_spectral *spectral = ready(fixture);
        mtm_request request = white(cct_k[i], fraction[i]);
        mtm_best best;
        mtm_spectrum spectrum;
        mtm_quality quality;
        assert_int_equal(
            mtm_spectral_rendering(spectral, &request, MTM_INDEX_RF, NULL, &best, NULL), MTM_OK);
        check_answer(fixture, &request, &best.answer);
        assert_true(dense_truth_prepare(&dense, fixture, cct_k[i]));
        double found = dense_truth_search(&dense, best.answer.xyz, 40, 3);
        assert_true(found > 0 && best.value > found - 0.1);
        assert_true(best.bound >= best.value && best.tried > 100);
        mix(fixture, best.answer.level, &spectrum);
        assert_int_equal(mtm_quality_from_spectrum(&spectrum, &quality, NULL), MTM_OK);
        CHECK_NEAR("Rf", best.value, quality.fidelity.rf, 0.01);
        mtm_spectral_free(spectral);
        mtm_fixture_free(fixture);
    }
}

/* Each measure is highest for the goal that is made for it, with and without a stated output. */
static void test_measures(void **state)
{
    mtm_fixture *fixture = load("five-colour-wash");
    mtm_spectral *spectral = ready(fixture);
    double value[3][3];

    (void)state;
    for (int open = 0; open < 2; open++) {
        mtm_request request = white(3200, open ? 0 : 0.5);
        for (size_t index = 0; index < 3; index++) {
            mtm_best best;
            mtm_spectrum spectrum;
            mtm_quality quality;
            assert_int_equal(
                mtm_spectral_rendering(spectral, &request, (mtm_index)index, NULL, &best, NULL),
                MTM_OK);
            check_answer(fixture, &request, &best.answer);
            mix(fixture, best.answer.level, &spectrum);
            assert_int_equal(mtm_quality_from_spectrum(&spectrum, &quality, NULL), MTM_OK);
            value[index][MTM_INDEX_RF] = quality.fidelity.rf;
            value[index][MTM_INDEX_RA] = quality.cri.ra;
            value[index][MTM_INDEX_SSI] = quality.ssi;
            CHECK_NEAR(mtm_index_at(index)->name, best.value, value[index][index], 0.01);
        }
        for (size_t index = 0; index < 3; index++) {
            for (int other = 0; other < 3; other++)
                assert_true(value[index][index] >= value[other][index] - 0.01);
        }
    }
    mtm_spectral_free(spectral);
    mtm_fixture_free(fixture);
}

/* |mix - scale reference| / |scale reference| */
static double distance(const mtm_fixture *fixture, const double *level,
                       const mtm_spectrum *reference, double scale)
{
    mtm_spectrum spectrum;
    double sum = 0, all = 0;

    mix(fixture, level, &spectrum);
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        double wanted = scale * reference->value[i], off = spectrum.value[i] - wanted;
        sum += off * off;
        all += wanted * wanted;
    }
    return sqrt(sum / all);
}

static void test_nearest(void **state)
{
    mtm_fixture *fixture = load("five-colour-wash");
    mtm_spectral *spectral = ready(fixture);
    struct dense_truth dense;
    mtm_spectrum reference;
    mtm_best best;
    mtm_request request = white(3000, 0.5);

    (void)state;
    assert_int_equal(mtm_spectrum_planck(3000, &reference, NULL), MTM_OK);
    assert_int_equal(mtm_spectral_nearest(spectral, &request, &reference, &best, NULL), MTM_OK);
    check_answer(fixture, &request, &best.answer);
    CHECK_NEAR("bound", best.bound, best.value, 1e-6 * best.value);
    double scale = best.answer.xyz.y / mtm_xyz_from_spectrum(&reference, MTM_OBSERVER_2).y;
    CHECK_NEAR("distance", distance(fixture, best.answer.level, &reference, scale), best.value,
               1e-6);
    /* no neighbour that keeps the colour is nearer */
    struct random random = {5};
    assert_true(dense_truth_prepare(&dense, fixture, 3000));
    for (int i = 0; i < 300; i++) {
        const mtm_xyz *e = dense.xyz;
        mtm_xyz p = best.answer.xyz;
        double a = best.answer.level[0] + random_between(&random, -0.1, 0.1);
        double b = best.answer.level[1] + random_between(&random, -0.1, 0.1);
        mtm_xyz rest = {p.x - a * e[0].x - b * e[1].x, p.y - a * e[0].y - b * e[1].y,
                        p.z - a * e[0].z - b * e[1].z};
        double det = dense_det(e[2], e[3], e[4]);
        double level[5] = {a, b, dense_det(rest, e[3], e[4]) / det,
                           dense_det(e[2], rest, e[4]) / det, dense_det(e[2], e[3], rest) / det};
        bool inside = true;
        for (int k = 0; k < 5; k++)
            inside = inside && level[k] >= 0 && level[k] <= 1;
        if (inside)
            assert_true(distance(fixture, level, &reference, scale) > best.value - 1e-9);
    }
    mtm_spectral_free(spectral);
    mtm_fixture_free(fixture);
}

/* Limits at random, and what they leave of each emitter; only the first two may be left out, since
 * the dense search finds the others by Cramer's rule. */
static mtm_fixture *draw_limited(struct random *random, const mtm_fixture *plain,
                                 struct dense_truth *dense)
{
    mtm_limits limits = {.headroom = random_between(random, 0, 0.3)};
    mtm_fixture *limited = NULL;
    size_t out = random_index(random, 4);

    dense->limit_w = mtm_fixture_power_limit_w(plain) * (1 - limits.headroom);
    for (size_t k = 0; k < 5; k++) {
        limits.most_level[k] = random_between(random, 0.2, 1);
        dense->most[k] = limits.most_level[k] * (1 - limits.headroom);
    }
    if (out < 2) {
        limits.left_out[out] = true;
        limits.most_level[out] = dense->most[out] = 0;
    }
    assert_int_equal(mtm_fixture_with_limits(plain, &limits, &limited, NULL), MTM_OK);
    return limited;
}

/* No allowed mix of the dense search's grid is better, for Rf or nearer to a spectrum. */
static void check_limited(const mtm_fixture *fixture, const struct dense_truth *dense,
                          const mtm_request *request, double cct_k)
{
    mtm_spectral *spectral = ready(fixture);
    mtm_spectrum reference;
    mtm_best best;
    double level[5];

    assert_int_equal(mtm_spectral_rendering(spectral, request, MTM_INDEX_RF, NULL, &best, NULL),
                     MTM_OK);
    for (int goal = 0; goal < 2; goal++) {
        double watts = 0, nearest = 1; /* of what holds the light back: 1 where that is met */
        for (size_t k = 0; k < 5; k++) {
            assert_true(best.answer.level[k] <= dense->most[k] + 1e-12);
            watts += best.answer.level[k] * dense->watts[k];
            if (dense->most[k] > 0)
                nearest = fmin(nearest, 1 - best.answer.level[k] / dense->most[k]);
        }
        assert_true(watts <= dense->limit_w * (1 + 1e-9));
        if (request->output.type == MTM_OUTPUT_MAX)
            assert_true(nearest < 1e-9 || watts > dense->limit_w * (1 - 1e-9));
        CHECK_NEAR("x", best.answer.xy.x, request->xy.x, 1e-8);
        if (goal == 0) {
            double found = dense_truth_search(dense, best.answer.xyz, 30, 3);
            if (!(found <= best.value + 0.1))
                fail_msg("Rf %.3f, a search finds %.3f", best.value, found);
            assert_int_equal(mtm_spectrum_planck(cct_k, &reference, NULL), MTM_OK);
            assert_int_equal(mtm_spectral_nearest(spectral, request, &reference, &best, NULL),
                             MTM_OK);
        }
    }
    double scale = best.answer.xyz.y / mtm_xyz_from_spectrum(&reference, MTM_OBSERVER_2).y;
    CHECK_NEAR("distance", distance(fixture, best.answer.level, &reference, scale), best.value,
               1e-6);
    for (int i = 0; i <= 50; i++) {
        for (int j = 0; j <= 50; j++) {
            double a = dense->most[0] * i / 50, b = dense->most[1] * j / 50;
            if (dense_truth_levels(dense, best.answer.xyz, a, b, level))
                assert_true(distance(fixture, level, &reference, scale) > best.value - 1e-6);
        }
    }
    mtm_spectral_free(spectral);
}

static void test_limits(void **state)
{
    static const char *const names[] = {"five-colour-wash", "five-colour-spot",
                                        "five-colour-batten"};
    struct random random = {6};
    int checked = 0;
    static struct dense_truth dense;

    (void)state;
    print_message("seed 6\n");
    for (int i = 0; i < 9; i++) {
        const double cct_k = random_between(&random, 2500, 3900);
        mtm_fixture *plain = load(names[i % 3]);
        mtm_request request = white(cct_k, i < 3 ? 0 : random_between(&random, 0.3, 1));
        mtm_answer most;
        mtm_solver *solver = NULL;

        assert_true(dense_truth_prepare(&dense, plain, cct_k));
        mtm_fixture *fixture = draw_limited(&random, plain, &dense);
        assert_int_equal(mtm_solver_create_for(fixture, MTM_OBSERVER_2, &solver, NULL), MTM_OK);
        assert_int_equal(mtm_solver_solve(solver, &request, &most, NULL), MTM_OK);
        if (most.shortfall == 0 || most.shortfall == MTM_SHORT_POWER) {
            check_limited(fixture, &dense, &request, cct_k);
            checked++;
        }
        mtm_solver_free(solver);
        mtm_fixture_free(fixture);
        mtm_fixture_free(plain);
    }
    print_message("checked %d of 9\n", checked);
    assert_true(checked >= 5);
}

/* A spectrum that the fixture itself can make is met. */
static void test_own_spectrum(void **state)
{
    mtm_fixture *fixture = load("five-colour-spot");
    mtm_spectral *spectral = ready(fixture);
    const double level[MTM_EMITTERS_MAX] = {0.2, 0.3, 0.1, 0.5, 0.4};
    mtm_spectrum own;
    mtm_best best;
    mtm_request request = {.output = {MTM_OUTPUT_LM, 0}};

    (void)state;
    mix(fixture, level, &own);
    mtm_xyz xyz = mtm_xyz_from_spectrum(&own, MTM_OBSERVER_2);
    request.xy = mtm_xy_from_xyz(xyz);
    request.output.value = xyz.y;
    assert_int_equal(mtm_spectral_nearest(spectral, &request, &own, &best, NULL), MTM_OK);
    assert_true(best.value < 1e-5);
    for (int k = 0; k < 5; k++)
        CHECK_NEAR("level", best.answer.level[k], level[k], 1e-4);
    assert_int_equal(mtm_spectral_rendering(spectral, &request, MTM_INDEX_SSI, &own, &best, NULL),
                     MTM_OK);
    CHECK_NEAR("SSI to itself", best.value, 100, 0.1);
    mtm_spectral_free(spectral);
    mtm_fixture_free(fixture);
}

/* Two and three emitters leave nothing to choose; an output of 0 gives no light. */
static void test_no_freedom(void **state)
{
    mtm_fixture *fixture = load("three-colour-wash");
    mtm_spectral *spectral = ready(fixture);
    mtm_request request = white(4000, 0.5);
    mtm_best best;
    mtm_choice choice[MTM_CHOICES_MAX];
    size_t count = 0;

    (void)state;
    assert_int_equal(mtm_spectral_rendering(spectral, &request, MTM_INDEX_RF, NULL, &best, NULL),
                     MTM_OK);
    check_answer(fixture, &request, &best.answer);
    assert_int_equal(mtm_spectral_choices(spectral, &request, choice, &count, NULL), MTM_OK);
    assert_int_equal(count, 1);
    request.output.value = 0;
    assert_int_equal(mtm_spectral_rendering(spectral, &request, MTM_INDEX_RF, NULL, &best, NULL),
                     MTM_OK);
    for (int k = 0; k < 3; k++)
        CHECK_NEAR("off", best.answer.level[k], 0, 0);
    mtm_spectral_free(spectral);
    mtm_fixture_free(fixture);
}

static void test_choices(void **state)
{
    mtm_fixture *fixture = load("five-colour-wash");
    mtm_spectral *spectral = ready(fixture);
    mtm_request request = white(3200, 0);
    mtm_choice choice[MTM_CHOICES_MAX];
    size_t count = 0;
    double best_rf = 0;
    mtm_best best;

    (void)state;
    assert_int_equal(mtm_spectral_choices(spectral, &request, choice, &count, NULL), MTM_OK);
    assert_true(count >= 3 && count <= MTM_CHOICES_MAX);
    CHECK_NEAR("most light first", choice[0].answer.xyz.y, choice[0].answer.most,
               1e-8 * choice[0].answer.most);
    for (size_t i = 0; i < count; i++) {
        best_rf = fmax(best_rf, choice[i].rf);
        CHECK_NEAR("x", choice[i].answer.xy.x, request.xy.x, 1e-9);
        for (size_t j = 0; j < count; j++) {
            bool better = choice[j].answer.xyz.y >= choice[i].answer.xyz.y &&
                          choice[j].answer.watts <= choice[i].answer.watts &&
                          choice[j].rf >= choice[i].rf;
            assert_true(i == j || !better);
        }
    }
    assert_int_equal(mtm_spectral_rendering(spectral, &request, MTM_INDEX_RF, NULL, &best, NULL),
                     MTM_OK);
    CHECK_NEAR("best rendering among them", best_rf, best.value, 0.1);
    mtm_spectral_free(spectral);
    mtm_fixture_free(fixture);
}

/* By hand: lumens a watt 10, 20, 20, 15. */
static void test_extremes(void **state)
{
    mtm_choice choice[] = {
        {.answer = {.xyz = {0, 100, 0}, .watts = 10}, .rf = 80},
        {.answer = {.xyz = {0, 80, 0}, .watts = 4}, .rf = 90},
        {.answer = {.xyz = {0, 60, 0}, .watts = 3}, .rf = 90},
        {.answer = {.xyz = {0, 30, 0}, .watts = 2}, .rf = 85},
    };

    (void)state;
    /* no more than rounding makes: of equals the one of fewer watts, and the first to render so */
    choice[2].answer.xyz.y *= 1 - 1e-13;
    choice[2].rf *= 1 + 1e-13;
    mtm_choice_extremes extremes = mtm_choices_extremes(choice, COUNT(choice));
    assert_int_equal(extremes.light, 0);
    assert_int_equal(extremes.efficacy, 2);
    assert_int_equal(extremes.rendering, 1);
    for (size_t i = 0; i < COUNT(choice); i++)
        choice[i].rf = NAN;
    choice[3].answer.watts = 0;
    extremes = mtm_choices_extremes(choice, COUNT(choice));
    assert_true(extremes.rendering == SIZE_MAX);
    for (size_t i = 0; i < COUNT(choice); i++)
        choice[i].answer.watts = 0;
    assert_true(mtm_choices_extremes(choice, COUNT(choice)).efficacy == SIZE_MAX);
    assert_int_equal(extremes.efficacy, 2);
}

static void test_refused(void **state)
{
    const char *const text =
        "{ \"metamer\": \"fixture/1\", \"name\": \"plain\", \"emitters\": [ { \"name\": \"warm\", "
        "\"x\": 0.45, \"y\": 0.41, \"flux_lm\": 100, \"watts\": 5 }, { \"name\": \"cool\", \"x\": "
        "0.31, \"y\": 0.33, \"flux_lm\": 100, \"watts\": 5 } ], \"modes\": [ { \"name\": \"m\", "
        "\"slots\": [\"warm\", \"cool\"] } ] }";
    mtm_fixture *plain = NULL, *fixture = load("five-colour-wash");
    mtm_spectral *spectral = NULL;
    mtm_best best;
    mtm_error error;
    mtm_request green = {.xy = {0.30, 0.60}};
    mtm_spectrum dark = {.value = {0}};

    (void)state;
    assert_int_equal(mtm_fixture_parse(text, strlen(text), "plain", NULL, &plain, NULL), MTM_OK);
    assert_int_equal(mtm_spectral_create(plain, &spectral, &error), MTM_UNSUPPORTED);
    CHECK_HOLDS(error.text, "\"warm\"");
    spectral = ready(fixture);
    assert_int_equal(mtm_spectral_rendering(spectral, &green, MTM_INDEX_RF, NULL, &best, &error),
                     MTM_RANGE);
    green.xy = (mtm_xy){0.38, 0.38};
    assert_int_equal(mtm_spectral_nearest(spectral, &green, &dark, &best, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "no light");
    assert_int_equal(mtm_spectral_rendering(spectral, &green, (mtm_index)9, NULL, &best, &error),
                     MTM_INVALID);
    assert_int_equal(mtm_spectral_rendering(NULL, &green, MTM_INDEX_RF, NULL, &best, &error),
                     MTM_INVALID);
    mtm_spectral_free(NULL);
    mtm_spectral_free(spectral);
    mtm_fixture_free(fixture);
    mtm_fixture_free(plain);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rendering),    cmocka_unit_test(test_measures),
        cmocka_unit_test(test_nearest),      cmocka_unit_test(test_limits),
        cmocka_unit_test(test_own_spectrum), cmocka_unit_test(test_no_freedom),
        cmocka_unit_test(test_choices),      cmocka_unit_test(test_refused),
        cmocka_unit_test(test_extremes),
    };

    return cmocka_run_group_tests_name("spectral", tests, NULL, NULL);
}
