/* SPDX-License-Identifier: MIT */
/* metamer rig: what it shows of the example rig, as a table and as JSON, and what it refuses. */
#include "support/command.h"

#include <cjson/cJSON.h>

static void test_table(void **state)
{
    struct ran ran = run_line("rig examples/hall.json --units front,house");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "community hall: 8 units in 2 universes");
    CHECK_HOLDS(ran.out, "\ntunable white     dimmer      1      3       60.0 ");
    CHECK_HOLDS(ran.out, "\nGroups: front (5), house (3), stage (5)\n");
    CHECK_HOLDS(ran.out, "; warmer or cooler is out of reach for hall-left\n");
    CHECK_HOLDS(ran.out, "\ncaution: these are sums");
    expect_lines_fit(ran.out);
    ran_free(&ran);
}

static void test_json(void **state)
{
    struct ran ran = run_line("rig examples/hall.json --format json --within 0.0011");
    cJSON *root = cJSON_Parse(ran.out);

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    assert_non_null(root);
    assert_int_equal(cJSON_GetObjectItemCaseSensitive(root, "units")->valueint, 13);
    const cJSON *groups = cJSON_GetObjectItemCaseSensitive(root, "groups");
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(groups, "stage")), 10);
    const cJSON *whites = cJSON_GetObjectItemCaseSensitive(root, "whites");
    assert_int_equal(cJSON_GetArraySize(whites), 8);
    const cJSON *pair = cJSON_GetObjectItemCaseSensitive(whites->child, "worst_pair");
    assert_true(cJSON_GetObjectItemCaseSensitive(pair, "delta_uv_2deg")->valuedouble < 0.0033);
    assert_true(cJSON_GetObjectItemCaseSensitive(pair, "delta_uv_10deg")->valuedouble > 0.0033);
    cJSON_Delete(root);
    ran_free(&ran);
}

/* What units draw that mix by themselves is not known, and no number stands for it. */
static void test_unknown_watts(void **state)
{
    struct ran ran = run_line("rig examples/boathouse.json");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    assert_null(strstr(ran.out, "nan"));
    CHECK_HOLDS(ran.out, "\nThe watts are not known where units mix by themselves.\n");
    ran_free(&ran);
}

/* By x and y alone rendering and the other eye are unknown, and colours need not meet. */
static void test_little_known(void **state)
{
    struct ran ran = run_line("rig tests/data/survey/apart.json");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "There is no white that all of them reach");
    CHECK_HOLDS(ran.out, "no colour is common to reds and blues");
    CHECK_HOLDS(ran.out, "\n1 without an address\n");
    CHECK_HOLDS(ran.out, "\n2 on no supply\n");
    ran_free(&ran);
}

/* The same choice in other commands. */
static void test_elsewhere(void **state)
{
    struct ran ran = run_line("sheet examples/hall.json --units house --format csv");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "hall-left");
    assert_null(strstr(ran.out, "back-left-wash"));
    ran_free(&ran);
    ran = run_line("load examples/hall.json --units house --format csv");
    assert_int_equal(ran.status, EXIT_DONE);
    assert_null(strstr(ran.out, "stage"));
    ran_free(&ran);
    ran = run_line("fade examples/evening.json --units sides --cue 20 --report");
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "side-left-batten");
    assert_null(strstr(ran.out, "hall-left"));
    ran_free(&ran);
    expect_failure("watch --units house --once", EXIT_USAGE, "--units goes with a RIG");
    expect_failure("load examples/hall.json --units house --show examples/evening.json", EXIT_USAGE,
                   "--units and --show exclude each other");
    expect_failure("fade examples/evening.json --units hose", EXIT_USAGE,
                   "the nearest is \"house\"");
}

static void test_refusals(void **state)
{
    struct ran ran = run_line("rig examples/hall.json --units hal-*");

    (void)state;
    assert_int_equal(ran.status, EXIT_USAGE);
    assert_string_equal(ran.err, "metamer rig: --units: the rig has no unit like \"hal-*\"\n");
    ran_free(&ran);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(test_table, enter_source),
        cmocka_unit_test_setup(test_json, enter_source),
        cmocka_unit_test_setup(test_unknown_watts, enter_source),
        cmocka_unit_test_setup(test_little_known, enter_source),
        cmocka_unit_test_setup(test_elsewhere, enter_source),
        cmocka_unit_test_setup(test_refusals, enter_source),
    };

    return cmocka_run_group_tests_name("metamer rig", tests, NULL, NULL);
}
