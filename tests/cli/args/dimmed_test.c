/* SPDX-License-Identifier: MIT */
/* "Like that lamp at 30 %": the white, its spectrum, and what is no such lamp. */
#include "support/command.h"

#include <metamer/target.h>
#include <metamer/white.h>

/* On the Planckian locus (CIE 015:2018, 9.5), at the temperature that the lamp has then. */
static void test_white(void **state)
{
    mtm_target target;
    mtm_white white;

    (void)state;
    assert_int_equal(mtm_target_from_lamp((mtm_lamp){3200, 0.3}, MTM_OBSERVER_2, &target, NULL),
                     MTM_OK);
    assert_int_equal(mtm_white_from_xy(target.xy, &white, NULL), MTM_OK);
    CHECK_NEAR("temperature", white.cct_k, 2757.8, 0.1);
    CHECK_NEAR("Duv", white.duv, 0, 1e-6);
    CHECK_NEAR("asked", target.cct_k, 2757.8, 0.05);
    assert_true(target.has_spectrum);
    assert_string_equal(target.description, "3200 K lamp at 30 % of its light: 2758 K");
}

static const struct bad_row {
    const char *text, *sentence;
} bad[] = {
    {"3200", "--lamp: found \"3200\", wanted is a lamp's colour temperature and the share of its "
             "light: 3200@30%"},
    {"3200@0.3", "wanted is a lamp's"},
    {"3200@", "wanted is a lamp's"},
    {"@30%", "wanted is a lamp's"},
    {"3200@130%", "a lamp at 130 % of its light; allowed is above 0 to 100 %"},
    {"3200@0%", "a lamp of 3200 K at 0 % of its light has 0 K; no less than 1000 K is computed"},
    {"900@50%", "a lamp of 900 K; allowed is 1000 to 25000 K"},
};

static void test_bad(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(bad); i++) {
        char line[60];

        (void)snprintf(line, sizeof line, "colour --lamp %s", bad[i].text);
        expect_failure(line, 2, bad[i].sentence);
    }
}

/* A lamp is a light before a filter too. */
static void test_over(void **state)
{
    struct ran ran = run_line("colour --filter amber --over 3200@30%");

    (void)state;
    assert_int_equal(ran.status, 0);
    CHECK_HOLDS(ran.out, "amber over 3200 K lamp at 30 %");
    ran_free(&ran);
    expect_failure("colour --filter amber --over 3200@0%", 2,
                   "a lamp of 3200 K at 0 % of its light; allowed are lamps of up to 25000 K");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_white),
        cmocka_unit_test(test_bad),
        cmocka_unit_test(test_over),
    };

    return cmocka_run_group_tests_name("a dimmed lamp", tests, enter_source, NULL);
}
