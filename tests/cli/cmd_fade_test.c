/* SPDX-License-Identifier: MIT */
/* metamer fade: its report, its exit status, and what it refuses. */
#include "support/command.h"

static void test_report(void **state)
{
    struct ran ran = run_line("fade examples/evening.json --report --cue 30");

    (void)state;
    assert_int_equal(ran.status, 0);
    CHECK_HOLDS(ran.out, "cue 30, house out: up 4 s, down 5 s");
    CHECK_HOLDS(ran.out, "8 bits: warm goes from 1 to 0");
    CHECK_HOLDS(ran.out, "cure: the mode \"16-bit\" of its fixture");
    CHECK_HOLDS(ran.out, "CIEDE2000");
    assert_string_equal(ran.err, "");
    ran_free(&ran);
}

static void test_formats(void **state)
{
    struct ran table = run_line("fade examples/evening.json");
    struct ran csv = run_line("fade examples/evening.json --format csv --cue 30");
    struct ran json = run_line("fade examples/evening.json --format json --cue 30");

    (void)state;
    CHECK_HOLDS(table.out, "lamp light to moon");
    CHECK_HOLDS(csv.out, "cue,unit,bits,step_de2000");
    CHECK_HOLDS(csv.out, "30,hall-right,8,");
    CHECK_HOLDS(json.out, "\"unit\": \"hall-right\"");
    CHECK_HOLDS(json.out, "\"cause\": \"codes\"");
    ran_free(&table);
    ran_free(&csv);
    ran_free(&json);
}

static void test_tolerance(void **state)
{
    struct ran missed = run_line("fade examples/evening.json --cue 30 --tolerance 1");
    struct ran met = run_line("fade examples/evening.json --cue 30 --tolerance 5");

    (void)state;
    assert_int_equal(missed.status, 1);
    assert_int_equal(met.status, 0);
    ran_free(&missed);
    ran_free(&met);
}

static void test_dither_caution(void **state)
{
    struct ran ran = run_line("fade examples/evening.json --cue 30 --dither");

    (void)state;
    CHECK_HOLDS(ran.err, "seizures in photosensitive people");
    ran_free(&ran);
}

static void test_refusals(void **state)
{
    (void)state;
    expect_failure("fade", 2, "something is missing");
    expect_failure("fade none.json", 2, "none.json");
    expect_failure("fade examples/hall.json", 2, "show/1");
    expect_failure("fade examples/evening.json --cue 11", 2, "the next to it are 10 and 20");
    expect_failure("fade examples/evening.json --from 10", 2, "which --cue names");
    expect_failure("fade examples/evening.json --cue 20 --from 11", 2, "no cue 11");
    expect_failure("fade examples/evening.json --refresh 500", 2, "ANSI E1.11 allows at most");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_report),    cmocka_unit_test(test_formats),
        cmocka_unit_test(test_tolerance), cmocka_unit_test(test_dither_caution),
        cmocka_unit_test(test_refusals),
    };

    return cmocka_run_group_tests_name("metamer fade", tests, enter_source, NULL);
}
