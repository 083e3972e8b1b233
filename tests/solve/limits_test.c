/* SPDX-License-Identifier: MIT */
/* Limits: optima under bounds on levels are those of GLPK, an independent solver of linear
 * programs; codes keep to them; and limits that cannot be kept are refused in a sentence. */
#include "support/check.h"
#include "support/random.h"

#include "lp_peer.h"
#include "random_emitters.h"
#include "random_fixture.h"

#include <metamer/codes.h>
#include <metamer/solve.h>

#define SEED 61

/* What the peer is told beside the emitters: that some may not be at full. */
static void draw_limits(struct random *random, size_t count, mtm_limits *limits)
{
    *limits = (mtm_limits){.headroom = random_index(random, 2) == 0 ? 0 : 0.3 * fraction(random)};
    for (size_t k = 0; k < count; k++)
        limits->most_level[k] = random_index(random, 2) == 0 ? 0 : random_between(random, 0.05, 1);
    if (count > 2 && random_index(random, 3) == 0) {
        size_t out = random_index(random, count);
        limits->left_out[out] = true;
        limits->most_level[out] = 0;
    }
}

static double most_of(const mtm_limits *limits, size_t k)
{
    double most = limits->most_level[k] > 0 ? limits->most_level[k] : 1;

    return limits->left_out[k] ? 0 : most * (1 - limits->headroom);
}

static mtm_fixture *make_fixture(const struct emitters *set, const mtm_limits *limits)
{
    static const char *const name[] = {"a", "b", "c", "d", "e", "f", "g", "h"};
    mtm_emitter emitter[8] = {{0}};
    mtm_slot slot[8] = {{0}};
    mtm_fixture *plain = NULL, *limited = NULL;
    mtm_error error = {""};

    for (size_t k = 0; k < set->count; k++) {
        emitter[k] = (mtm_emitter){.name = name[k], .xyz = {set->xyz[k]}, .watts = set->watts[k]};
        slot[k] = (mtm_slot){.role = MTM_SLOT_EMITTER, .emitter = (uint8_t)k};
    }
    const mtm_mode mode = {.name = "m", .slots = slot, .slot_count = set->count};
    if (mtm_fixture_create("f", emitter, set->count, &mode, 1, set->limit_w, 0, NULL, &plain,
                           &error) != MTM_OK ||
        mtm_fixture_with_limits(plain, limits, &limited, &error) != MTM_OK)
        fail_msg("%s", error.text);
    mtm_fixture_free(plain);
    return limited;
}

static void compare(struct random *random, const struct emitters *set, const mtm_limits *limits)
{
    mtm_fixture *fixture = make_fixture(set, limits);
    struct emitters lit = *set; /* what can be lit, for a target within reach */
    struct emitters peer = *set;
    mtm_solver *solver = NULL;
    mtm_answer answer;
    double total = 0;

    peer.limit_w *= 1 - limits->headroom;
    lit.count = 0;
    for (size_t k = 0; k < set->count; k++) {
        total += set->watts[k];
        if (!limits->left_out[k])
            lit.xyz[lit.count++] = set->xyz[k];
    }
    mtm_request request = {.xy = random_target(random, &lit)};
    glp_prob *lp = lp_peer_create(&peer);
    for (size_t k = 0; k < set->count; k++)
        glp_set_col_bnds(lp, (int)k + 1, limits->left_out[k] ? GLP_FX : GLP_DB, 0,
                         most_of(limits, k));
    assert_int_equal(mtm_solver_create_for(fixture, MTM_OBSERVER_2, &solver, NULL), MTM_OK);
    for (int goal = 0; goal < 2; goal++) {
        double most = lp_peer_solve(lp, &peer, request.xy, 0, 1);
        double wanted = goal == 0 ? most : most * fraction(random);
        request.goal = goal == 0 ? MTM_GOAL_LIGHT : MTM_GOAL_WATTS;
        request.output = (mtm_output){goal == 0 ? MTM_OUTPUT_MAX : MTM_OUTPUT_LM, wanted};
        assert_int_equal(mtm_solver_solve(solver, &request, &answer, NULL), MTM_OK);
        CHECK_NEAR("output", answer.xyz.y, wanted, 1e-8 * most);
        CHECK_NEAR("most", answer.most, most, 1e-8 * most);
        CHECK_NEAR("x", mtm_xy_from_xyz(mtm_solver_xyz(solver, answer.level)).x, request.xy.x,
                   1e-8);
        double watts = 0;
        for (size_t k = 0; k < set->count; k++) {
            watts += answer.level[k] * set->watts[k];
            assert_true(answer.level[k] >= 0);
            assert_true(answer.level[k] <= most_of(limits, k) * (1 + 1e-12));
        }
        CHECK_NEAR("watts", answer.watts, watts, 1e-9 * total);
        assert_true(watts <= peer.limit_w * (1 + 1e-9));
        if (goal == 1)
            CHECK_NEAR("fewest watts", watts, lp_peer_solve(lp, &peer, request.xy, wanted, 0),
                       1e-7 * total);
    }
    glp_delete_prob(lp);
    mtm_solver_free(solver);
    mtm_fixture_free(fixture);
}

static void test_optimum(void **state)
{
    struct random random = {SEED};
    struct emitters set;
    mtm_limits limits;

    (void)state;
    print_message("seed %d\n", SEED);
    for (int i = 0; i < 1000; i++) {
        random_emitters(&random, 2 + (size_t)(i % 7), &set);
        draw_limits(&random, set.count, &limits);
        compare(&random, &set, &limits);
    }
}

static void check_codes(struct random *random, const mtm_fixture *fixture, const mtm_coder *coder,
                        int bits)
{
    const double lowest = mtm_fixture_limits(fixture)->lowest_level;
    double level[MTM_EMITTERS_MAX] = {0}, given[MTM_EMITTERS_MAX];
    const double share = random_index(random, 2) == 0 ? 1 : random_between(random, 0.01, 0.3);
    mtm_codes codes;

    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
        level[k] = share * fmax(0, random_between(random, -0.3, 1)); /* more than is allowed, too */
    mtm_coder_round_by(coder, (mtm_dimming)random_index(random, 3), level, &codes);
    mtm_coder_levels(coder, &codes, given);
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        double most = mtm_fixture_most_level(fixture, k) + 1e-9;
        const mtm_curve *curve = mtm_fixture_emitter(fixture, k)->curve;
        double own = mtm_curve_level(curve, codes.emitter[k] / (bits == 8 ? 255.0 : 65535.0));
        if (given[k] > 0 && given[k] < lowest * (1 - 1e-9))
            fail_msg("emitter %zu: %.9g is below the lowest level, %.9g", k, given[k], lowest);
        if (!(own <= most && given[k] <= most))
            fail_msg("emitter %zu: code %u gives %.9g, allowed is %.9g", k,
                     (unsigned)codes.emitter[k], own, most);
    }
}

static void test_codes(void **state)
{
    static const int dimmer_bits[] = {0, 8, 16};
    struct random random = {SEED + 1};
    mtm_limits limits;

    (void)state;
    print_message("seed %d\n", SEED + 1);
    for (size_t i = 0; i < 240; i++) {
        size_t count = 2 + i % 6;
        int bits = i % 2 == 0 ? 8 : 16;
        mtm_fixture *plain = random_fixture(&random, count, bits, dimmer_bits[i % 3]);
        mtm_fixture *fixture = NULL;
        mtm_coder *coder = NULL;
        draw_limits(&random, count, &limits);
        limits.lowest_level = i % 3 == 0 ? 0 : random_between(&random, 0, 0.04);
        assert_int_equal(mtm_fixture_with_limits(plain, &limits, &fixture, NULL), MTM_OK);
        assert_int_equal(
            mtm_coder_create(fixture, mtm_fixture_mode(fixture, 0), MTM_OBSERVER_2, &coder, NULL),
            MTM_OK);
        for (int n = 0; n < 20; n++)
            check_codes(&random, fixture, coder, bits);
        mtm_coder_free(coder);
        mtm_fixture_free(fixture);
        mtm_fixture_free(plain);
    }
}

/* A fixture of two emitters, one near 380 nm, under these limits. */
static mtm_result parse(const char *limits, mtm_fixture **fixture, mtm_error *error)
{
    char text[1000];

    (void)snprintf(text, sizeof text,
                   "{'metamer': 'fixture/1', 'name': 'f', 'emitters': ["
                   "{'name': 'violet', 'peak_nm': 385, 'fwhm_nm': 12, 'flux_lm': 1, 'watts': 5}, "
                   "{'name': 'plain', 'x': 0.4, 'y': 0.4, 'flux_lm': 500, 'watts': 5}], "
                   "'limits': %s, 'modes': [{'name': 'm', 'slots': ['violet', 'plain']}]}",
                   limits);
    for (char *at = text; (at = strchr(at, '\'')) != NULL;)
        *at = '"';
    return mtm_fixture_parse(text, strlen(text), "f.json", NULL, fixture, error);
}

static void test_sentences(void **state)
{
    static const struct {
        const char *limits, *sentence;
    } row[] = {
        {"{'most_level': {'violet': 0, 'plain': 0}}", "the limits leave no light"},
        {"{'most_level': {'green': 0.5}}", "green"},
        {"{'most_level': {'plain': 1.5}}", "1.5"},
        {"{'headroom': 0.95}", "0.95"},
        {"{'headroom': -0.1}", "-0.1"},
        {"{'ultraviolet': false}", "whether it is ultraviolet cannot be known"},
        {"{'ultraviolet': 1}", "ultraviolet"},
        {"{'lowest_level': 1.1}", "1.1"},
        {"{'lowest_level': 0.5, 'most_level': {'violet': 0.4, 'plain': 0.4}}",
         "the limits leave no light"},
        {"{'least_level': 0.1}", "least_level"},
        {"{'most_purity': 0}", "most_purity"},
        {"{'most_purity': 1.5}", "1.5"},
        {"{'purity_white': [0.9, 0.5]}", "colours of real light"},
        {"{'purity_white': [0.3]}", "purity_white"},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(row); i++) {
        mtm_fixture *fixture = NULL;
        mtm_error error = {""};
        assert_int_not_equal(parse(row[i].limits, &fixture, &error), MTM_OK);
        if (strstr(error.text, row[i].sentence) == NULL)
            fail_msg("%s: %s", row[i].limits, error.text);
    }
}

/* What is ultraviolet stays dark, also where a meter then reads x and y of it alone. */
static void test_ultraviolet(void **state)
{
    mtm_fixture *fixture = NULL, *read = NULL;
    mtm_emitter emitter[2];
    mtm_error error = {""};

    (void)state;
    if (parse("{'ultraviolet': false, 'most_level': {'plain': 0.8}}", &fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    for (size_t k = 0; k < 2; k++) {
        emitter[k] = *mtm_fixture_emitter(fixture, k);
        emitter[k].spectrum = NULL;
    }
    assert_int_equal(mtm_fixture_with_emitters(fixture, emitter, &read, &error), MTM_OK);
    for (int i = 0; i < 2; i++) {
        const mtm_fixture *of = i == 0 ? fixture : read;
        CHECK_NEAR("violet", mtm_fixture_most_level(of, 0), 0, 0);
        CHECK_NEAR("plain", mtm_fixture_most_level(of, 1), 0.8, 1e-15);
    }
    mtm_fixture_free(read);
    mtm_fixture_free(fixture);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_optimum), cmocka_unit_test(test_codes),
                                       cmocka_unit_test(test_sentences),
                                       cmocka_unit_test(test_ultraviolet)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
