/* SPDX-License-Identifier: MIT */
/* Whites of fixtures: what is made is what was asked where that is within reach, the ends of the
 * range lie about it, and what is out of reach lies beyond them. */
#include "support/check.h"

#include <metamer/illuminant.h>
#include <metamer/whites.h>

static const struct row {
    const char *name, *file;
    double within_k, without_k; /* a white within reach, and one that is not; 0: none */
} rows[] = {
    {"five colours", "five-colour-wash.json", 3200, 0},
    {"two whites", "tunable-white.json", 5000, 1500},
    {"three colours", "three-colour-wash.json", 5600, 0},
};

static mtm_fixture *load(const char *file)
{
    char path[600];
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};

    (void)snprintf(path, sizeof path, "%s/profiles/%s", getenv("METAMER_SOURCE"), file);
    if (mtm_fixture_load(path, &fixture, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return fixture;
}

/* A white that is made and asked once more is made again (CCT after Ohno 2014, as in white_test).
 */
static void test_within(const struct row *row, const mtm_fixture *fixture)
{
    mtm_fixture_white white;
    mtm_xy planck;

    assert_int_equal(
        mtm_fixture_whites(fixture, MTM_OBSERVER_2, &row->within_k, 1, &white, NULL, NULL), MTM_OK);
    assert_int_equal(mtm_planck_xy(row->within_k, MTM_OBSERVER_2, &planck, NULL), MTM_OK);
    assert_true(white.asked_xy.x == planck.x && white.asked_xy.y == planck.y);
    assert_true(white.answer.delta_uv <= MTM_WHITE_NEAR_UV && white.flux_lm > 0);
    CHECK_NEAR("lm", white.flux_lm, white.answer.xyz.y, 1e-9 * white.flux_lm);
    CHECK_NEAR(
        "distance",
        mtm_uv_distance(mtm_uv_from_xy(planck), mtm_uv_from_xy(mtm_xy_from_xyz(white.answer.xyz))),
        white.answer.delta_uv, 1e-9);
    if (white.answer.delta_uv < 1e-9)
        CHECK_NEAR("K", white.made.cct_k, row->within_k, 0.01);
}

static void test_row(void **state)
{
    const struct row *row = *state;
    mtm_fixture *fixture = load(row->file);
    mtm_white_range range = {0, 0, 0};

    test_within(row, fixture);
    assert_int_equal(mtm_fixture_whites(fixture, MTM_OBSERVER_2, NULL, 0, NULL, &range, NULL),
                     MTM_OK);
    assert_true(range.warmest_k >= MTM_CCT_MIN_K - 1 && range.warmest_k < row->within_k);
    assert_true(range.coolest_k > row->within_k && range.coolest_k <= MTM_CCT_MAX_K + 1);
    assert_true(range.farthest_uv >= 0);
    if (row->without_k > 0) {
        mtm_fixture_white white;
        assert_int_equal(
            mtm_fixture_whites(fixture, MTM_OBSERVER_2, &row->without_k, 1, &white, NULL, NULL),
            MTM_OK);
        assert_true(white.answer.delta_uv > MTM_WHITE_NEAR_UV && row->without_k < range.warmest_k);
    }
    mtm_fixture_free(fixture);
}

static void test_refusals(void **state)
{
    static const double none[] = {999, 25001, (double)NAN};
    mtm_fixture *fixture = load(rows[0].file);
    mtm_fixture_white white = {.flux_lm = 77};

    (void)state;
    for (size_t i = 0; i < COUNT(none); i++) {
        mtm_error error = {""};
        assert_int_not_equal(
            mtm_fixture_whites(fixture, MTM_OBSERVER_2, &none[i], 1, &white, NULL, &error), MTM_OK);
        assert_true(error.text[0] != '\0' && white.flux_lm == 77);
    }
    mtm_fixture_free(fixture);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_refusals);
    return cmocka_run_group_tests_name("whites of fixtures", tests, NULL, NULL);
}
