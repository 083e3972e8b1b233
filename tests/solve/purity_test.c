/* SPDX-License-Identifier: MIT */
/* Most purity: a colour that is too pure becomes the one of the same dominant wavelength and that
 * purity (CIE S 017, 17-23-062 and 17-23-067), and what units make of it is no purer. */
#include "support/random.h"
#include "support/trial.h"

#include <metamer/dominant.h>
#include <metamer/match.h>

#define SEED 97
#define UNITS 4

static const mtm_xy equal = {1.0 / 3, 1.0 / 3};

static mtm_xy white_of(const mtm_unit *unit)
{
    mtm_xy white = mtm_fixture_limits(unit->fixture)->purity_white;

    return white.y > 0 ? white : equal;
}

/* 0 for the white itself. */
static mtm_dominant dominant_of(mtm_xy xy, mtm_xy white)
{
    mtm_dominant dominant = {0, 0};
    mtm_error error;

    if (mtm_dominant_from_xy(xy, white, MTM_OBSERVER_2, &dominant, &error) == MTM_INVALID)
        fail_msg("x %g, y %g: %s", xy.x, xy.y, error.text);
    return dominant;
}

/* Washes, the last of two emitters that are no white together. */
static mtm_rig *draw_rig(struct random *random)
{
    struct trial_text text = {.length = 0};
    mtm_rig *rig = NULL;
    mtm_error error = {""};

    trial_add(&text, "{'metamer': 'rig/1', 'name': 't', 'units': [");
    for (int i = 0; i < UNITS; i++) {
        double most = random_between(random, 0.05, 0.9), x = random_between(random, 0.3, 0.45);
        double y = random_between(random, 0.3, 0.4);
        trial_add(&text,
                  "%s{'name': 'u%d', 'fixture': 'five-colour-wash.json', 'mode': '16-bit', "
                  "'limits': {'most_purity': %.4f",
                  i > 0 ? ", " : "", i, most);
        if (i % 2 == 1)
            trial_add(&text, ", 'purity_white': [%.4f, %.4f]", x, y);
        if (i == UNITS - 1)
            trial_add(&text, ", 'most_level': {'green': 0, 'lime': 0, 'amber': 0}");
        trial_add(&text, "}}");
    }
    trial_add(&text, "]}");
    trial_must(mtm_rig_parse(text.data, text.length, "rig", NULL, &rig, &error), &error);
    return rig;
}

static mtm_match_request request_for(struct random *random)
{
    double x = random_between(random, 0.18, 0.6);
    double y = random_between(random, 0.1, fmin(0.5, 0.93 - x));

    return (mtm_match_request){.target = {.xy = {x, y}},
                               .goal = (mtm_goal)random_index(random, 2),
                               .output = {MTM_OUTPUT_SHARE, random_between(random, 0.5, 1)}};
}

static void check_unit(const mtm_rig *rig, mtm_matcher *matcher, size_t index,
                       const mtm_match_request *request)
{
    const mtm_unit *unit = mtm_rig_unit(rig, index);
    const double most = mtm_fixture_limits(unit->fixture)->most_purity;
    const mtm_dominant asked = dominant_of(request->target.xy, white_of(unit));
    mtm_match match;
    mtm_error error = {""};

    trial_must(mtm_matcher_unit(matcher, index, request, &match, &error), &error);
    if (!(match.xyz.y > 0)) { /* nothing it makes is white enough */
        assert_true((mtm_match_misses(&match, false) & MTM_MISS_PURITY) != 0);
        assert_int_equal(index, UNITS - 1);
        return;
    }
    const mtm_dominant made = dominant_of(match.ideal.xy, white_of(unit));
    if (!(made.purity <= most + 1e-6))
        fail_msg("unit %zu: purity %.9g, at most %.9g", index, made.purity, most);
    assert_int_equal((match.shortfall & MTM_SHORT_PURITY) != 0, asked.purity > most);
    const double part = fmin(1, most / asked.purity);
    const mtm_xy white = white_of(unit), to = request->target.xy;
    const mtm_xy nearer = {white.x + part * (to.x - white.x), white.y + part * (to.y - white.y)};
    double off_uv = 0;
    (void)mtm_solver_nearest(mtm_matcher_solver(matcher, index), nearer, &off_uv);
    if (off_uv > 0)
        return; /* its gamut ends before */
    CHECK_NEAR("x", match.ideal.xy.x, nearer.x, 1e-7);
    CHECK_NEAR("purity", made.purity, fmin(asked.purity, most), 1e-6);
    CHECK_NEAR("wavelength", made.wavelength_nm, asked.wavelength_nm, 1e-3);
}

static void check_together(const mtm_rig *rig, mtm_matcher *matcher,
                           const mtm_match_request *request)
{
    static const size_t unit[UNITS] = {0, 1, 2, 3};
    mtm_match match[UNITS];
    mtm_common common;
    mtm_error error = {""};

    trial_must(mtm_matcher_together(matcher, unit, UNITS, request, match, &common, &error), &error);
    for (size_t i = 0; common.exists && i < UNITS; i++) {
        const mtm_unit *one = mtm_rig_unit(rig, i);
        const double most = mtm_fixture_limits(one->fixture)->most_purity;
        double purity = dominant_of(common.xy, white_of(one)).purity;
        if (!(purity <= most + 1e-6))
            fail_msg("unit %zu: common purity %.9g, at most %.9g", i, purity, most);
        CHECK_NEAR("common x", match[i].ideal.xy.x, common.xy.x, 1e-6);
    }
}

static void test_purity(void **state)
{
    struct random random = {SEED};

    (void)state;
    print_message("seed %d\n", SEED);
    for (int round = 0; round < 25; round++) {
        mtm_rig *rig = draw_rig(&random);
        mtm_matcher *matcher = NULL;
        mtm_error error = {""};

        trial_must(mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error), &error);
        for (int n = 0; n < 8; n++) {
            const mtm_match_request request = request_for(&random);
            for (size_t i = 0; i < UNITS; i++)
                check_unit(rig, matcher, i, &request);
            check_together(rig, matcher, &request);
        }
        mtm_matcher_free(matcher);
        mtm_rig_free(rig);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_purity)};

    return cmocka_run_group_tests(tests, NULL, NULL);
}
