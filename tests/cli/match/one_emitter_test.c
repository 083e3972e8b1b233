/* SPDX-License-Identifier: MIT */
/* Units of one emitter: matched in light, common with others where those come to their colour,
 * faded, and told what they cannot do. */
#include "support/command.h"

#include <cjson/cJSON.h>

#define RIG "tests/data/one-emitter/rig.json"

static cJSON *matched(const char *options)
{
    char line[200];

    (void)snprintf(line, sizeof line, "match " RIG " %s --format json", options);
    struct ran ran = run_line(line);
    if (ran.status != 0)
        fail_msg("%s: %s", line, ran.err);
    cJSON *tree = cJSON_Parse(ran.out);
    assert_non_null(tree);
    ran_free(&ran);
    return tree;
}

static const cJSON *unit_of(const cJSON *tree, const char *name)
{
    const cJSON *unit;

    cJSON_ArrayForEach(unit, cJSON_GetObjectItem(tree, "units"))
    {
        if (strcmp(cJSON_GetObjectItem(unit, "name")->valuestring, name) == 0)
            return unit;
    }
    fail_msg("no unit %s", name);
    return NULL;
}

static double number(const cJSON *unit, const char *key)
{
    const cJSON *item = cJSON_GetObjectItem(unit, key);

    if (!cJSON_IsNumber(item))
        fail_msg("no number %s", key);
    return item->valuedouble;
}

/* A part of the light is that part of its emitter's, within half a step of 16 bits. */
static void test_light(void **state)
{
    cJSON *tree = matched("--cct 4000 --output 25% --units fine");
    const cJSON *unit = unit_of(tree, "fine");

    (void)state;
    CHECK_NEAR("light", number(unit, "flux_lm"), 600, 0.05);
    CHECK_HOLDS(cJSON_GetObjectItem(unit, "reason")->valuestring, "one emitter has one colour");
    cJSON_Delete(tree);
}

/* Others come to its colour, and to its light. */
static void test_together(void **state)
{
    cJSON *tree = matched("--cct 3200 --together --units fine,wash");
    const cJSON *fine = unit_of(tree, "fine");
    const cJSON *wash = unit_of(tree, "wash");

    (void)state;
    CHECK_NEAR("light", number(wash, "flux_lm"), number(fine, "flux_lm"), 2);
    CHECK_NEAR("x", number(wash, "x"), number(fine, "x"), 2e-4);
    CHECK_NEAR("y", number(wash, "y"), number(fine, "y"), 2e-4);
    cJSON_Delete(tree);
}

static void test_trim(void **state)
{
    struct ran ran = run_line("trim " RIG " tests/data/one-emitter/readings.csv --cct 4000");

    (void)state;
    assert_int_equal(ran.status, 1);
    CHECK_HOLDS(ran.out, "fine is predicted beyond the tolerance: one emitter has one colour");
    ran_free(&ran);
}

static void test_fixture(void **state)
{
    struct ran ran = run_line("fixture profiles/plain-white.json");

    (void)state;
    assert_int_equal(ran.status, 0);
    CHECK_HOLDS(ran.out, "plain white: 1 emitter, ");
    CHECK_HOLDS(ran.out, "One emitter has one colour: only its light can be matched.");
    CHECK_HOLDS(ran.out, "  8-bit, 1 slot: white\n");
    ran_free(&ran);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_light),
        cmocka_unit_test(test_together),
        cmocka_unit_test(test_trim),
        cmocka_unit_test(test_fixture),
    };

    return cmocka_run_group_tests_name("units of one emitter", tests, enter_source, NULL);
}
