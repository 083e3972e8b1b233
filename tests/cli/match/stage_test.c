/* SPDX-License-Identifier: MIT */
/* Light where it arrives: lux from candela and distance, and gains beside each other. */
#include "support/command.h"

#include <cjson/cJSON.h>
#include <metamer/match.h>

#define THROWS "match examples/throws.json --cct 3200 "
#define GAINS "match tests/data/stage/gains.json --cct 3200 "
#define MIXED "match tests/data/stage/mixed.json --cct 3200 "

static cJSON *matched(const char *line)
{
    char whole[200];

    (void)snprintf(whole, sizeof whole, "%s --format json", line);
    struct ran ran = run_line(whole);
    if (ran.status != 0)
        fail_msg("%s: %s", line, ran.err);
    cJSON *tree = cJSON_Parse(ran.out);
    assert_non_null(tree);
    ran_free(&ran);
    return tree;
}

static double number(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItem(object, key);

    if (!cJSON_IsNumber(item))
        fail_msg("no number %s", key);
    return item->valuedouble;
}

/* By hand, E = I / d^2 (inverse square law): 1400 cd for 1000 lm at 4 m are 0.0875 lx a lumen, at 7
 * m 0.0285714, and 900 cd at 3 m behind 0.66 are 0.066. */
static const double lux_per_lm[] = {0.0875, 0.0285714286, 0.066};

static void test_lux(void **state)
{
    static const char *const lines[] = {THROWS "--output 60lx", THROWS "--together --output 60lx"};

    (void)state;
    for (size_t i = 0; i < COUNT(lines); i++) {
        cJSON *tree = matched(lines[i]);
        const cJSON *units = cJSON_GetObjectItem(tree, "units");

        for (int u = 0; u < 3; u++) {
            const cJSON *unit = cJSON_GetArrayItem(units, u);
            CHECK_NEAR("lx", number(unit, "lux"), 60, 0.3); /* codes of 16 bits */
            CHECK_NEAR("lm", number(unit, "flux_lm") * lux_per_lm[u], number(unit, "lux"), 1e-3);
        }
        cJSON_Delete(tree);
    }
}

/* The common output is what the weakest gives where it arrives. */
static void test_together(void **state)
{
    cJSON *tree = matched(THROWS "--together");
    const cJSON *units = cJSON_GetObjectItem(tree, "units");
    const cJSON *common = cJSON_GetObjectItem(tree, "together");

    (void)state;
    for (int u = 0; u < 3; u++)
        CHECK_NEAR("lx", number(cJSON_GetArrayItem(units, u), "lux"), number(common, "lux"), 0.5);
    cJSON_Delete(tree);
    tree = matched(THROWS "--output max");
    double least = INFINITY;
    for (int u = 0; u < 3; u++)
        least =
            fmin(least, number(cJSON_GetArrayItem(cJSON_GetObjectItem(tree, "units"), u), "lux"));
    cJSON_Delete(tree);
    tree = matched(THROWS "--together");
    CHECK_NEAR("most", number(cJSON_GetObjectItem(tree, "together"), "lux"), least, 0.5);
    cJSON_Delete(tree);
}

static void test_gains(void **state)
{
    cJSON *tree = matched(GAINS "--together --output 50%");
    const cJSON *units = cJSON_GetObjectItem(tree, "units");

    (void)state;
    double new = number(cJSON_GetArrayItem(units, 0), "flux_lm");
    double old = number(cJSON_GetArrayItem(units, 1), "flux_lm");
    CHECK_NEAR("old", 0.8 * old, new, 1e-3 * new);
    CHECK_NEAR("common", number(cJSON_GetObjectItem(tree, "together"), "flux_lm_times_gain"), new,
               1e-3 * new);
    cJSON_Delete(tree);
    tree = matched(GAINS "--output 1000lm"); /* on its own, each is asked for its own lumens */
    units = cJSON_GetObjectItem(tree, "units");
    CHECK_NEAR("lm", number(cJSON_GetArrayItem(units, 1), "flux_lm"), 1000, 1);
    cJSON_Delete(tree);
}

static const struct {
    const char *line, *head;
} heads[] = {
    {THROWS "--together", "    lx "},
    {THROWS, "    lx "},
    {GAINS "--together", "lm×gain "},
    {GAINS, "    lm "},
    {MIXED, "    lm "},
};

/* The column says where light is counted. */
static void test_heads(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(heads); i++) {
        struct ran ran = run_line(heads[i].line);

        assert_int_equal(ran.status, 0);
        CHECK_HOLDS(ran.out, heads[i].head);
        ran_free(&ran);
    }
}

static void test_refused(void **state)
{
    (void)state;
    expect_failure(MIXED "--output 100lx", 2,
                   "unknown: its output is asked for in lux, but the rig states no cd_per_klm and "
                   "distance_m for it");
    expect_failure(MIXED "--together", 2,
                   "unknown: the rig states no cd_per_klm and distance_m for it, but for known it "
                   "does, so their light cannot be equal in lux");
    expect_failure(GAINS "--together --output 100lx", 2,
                   "new: the rig states no cd_per_klm and distance_m for it, so their light cannot "
                   "be equal in lux");
    expect_failure(THROWS "--together --output 1000lm", 2, "state the output in lx or per cent");
    expect_failure("trim examples/hall.json examples/hall-readings.csv --cct 3000 --output 500lx",
                   2, "its output is stated in lumens or per cent");
}

/* Ratings lower the common light where it arrives, in its own unit. */
static void test_ratings(void **state)
{
    struct ran ran = run_line(THROWS "--together --within-load");

    (void)state;
    assert_int_equal(ran.status, 0);
    CHECK_HOLDS(ran.out, " lx");
    ran_free(&ran);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_lux),     cmocka_unit_test(test_together),
        cmocka_unit_test(test_gains),   cmocka_unit_test(test_heads),
        cmocka_unit_test(test_refused), cmocka_unit_test(test_ratings),
    };

    return cmocka_run_group_tests_name("light where it arrives", tests, enter_source, NULL);
}
