/* SPDX-License-Identifier: MIT */
/* Scales: round steps, and places back and forth. */
#include "support/check.h"

#include "picture/scale.h"

static const struct row {
    const char *name;
    double span;
    int most;
    double step;
    int decimals;
} rows[] = {
    {"one to ten", 10, 10, 1, 0},          {"a little too many", 10.1, 10, 2, 0},
    {"small", 0.04, 8, 0.005, 3},          {"one step", 0.7, 1, 1, 0},
    {"large", 25000, 6, 5000, 0},          {"exact power", 1000, 1, 1000, 0},
    {"five hundredths", 0.24, 5, 0.05, 2},
};

static void test_step(void **state)
{
    const struct row *row = *state;
    double step = mtmi_round_step(row->span, row->most);

    CHECK_NEAR(row->name, step, row->step, 1e-12 * row->step);
    assert_int_equal(mtmi_step_decimals(step), row->decimals);
}

static void test_places(void **state)
{
    const mtmi_scale plain = {0.1, 0.6, 500, 100, false};
    const mtmi_scale by_powers = {1, 1000, 0, 300, true};

    (void)state;
    CHECK_NEAR("start", mtmi_scale_at(&plain, 0.1), 500, 1e-9);
    CHECK_NEAR("middle", mtmi_scale_at(&plain, 0.35), 300, 1e-9);
    CHECK_NEAR("beyond", mtmi_scale_at(&plain, 0.7), 20, 1e-9);
    CHECK_NEAR("ten of a thousand", mtmi_scale_at(&by_powers, 10), 100, 1e-9);
    CHECK_NEAR("and back", mtmi_scale_value(&by_powers, 200), 100, 1e-9);
    CHECK_NEAR("and back", mtmi_scale_value(&plain, 300), 0.35, 1e-12);
    CHECK_NEAR("first multiple", mtmi_first_multiple(0.3, 0.1), 0.3, 1e-12);
    CHECK_NEAR("first multiple", mtmi_first_multiple(-0.09, 0.1), 0, 1e-12);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1];

    ROW_TESTS(tests, rows, test_step);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_places);
    return cmocka_run_group_tests_name("scales", tests, NULL, NULL);
}
