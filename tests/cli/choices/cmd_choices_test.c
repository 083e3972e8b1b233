/* SPDX-License-Identifier: MIT */
/* metamer choices: what it lists for the example rig, in every format, and what it refuses. */
#include "support/command.h"

#include <cjson/cJSON.h>

#define WASH "choices examples/hall.json front-left-wash "

static double number_of(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);

    if (!cJSON_IsNumber(item))
        fail_msg("no number \"%s\"", key);
    return item->valuedouble;
}

static cJSON *choices_json(const char *line)
{
    struct ran ran = run_line(line);

    if (ran.status != EXIT_DONE)
        fail_msg("%s: exit %d: %s", line, ran.status, ran.err);
    cJSON *root = cJSON_Parse(ran.out);
    assert_non_null(root);
    ran_free(&ran);
    return root;
}

/* No row is better in all than another by more than rounding to 16-bit codes can do. */
static void check_front(const cJSON *choices)
{
    for (const cJSON *a = choices->child; a != NULL; a = a->next) {
        for (const cJSON *b = choices->child; b != NULL; b = b->next) {
            bool better = number_of(b, "flux_lm") > number_of(a, "flux_lm") + 1 &&
                          number_of(b, "watts") < number_of(a, "watts") - 0.1 &&
                          number_of(b, "rf") > number_of(a, "rf") + 0.1;
            assert_true(a == b || !better);
        }
    }
}

static void test_json(void **state)
{
    cJSON *root = choices_json(WASH "--cct 3200 --format json");
    const cJSON *choices = cJSON_GetObjectItemCaseSensitive(root, "choices");
    double first_rf = 0, best_rf = 0;

    (void)state;
    assert_in_range(cJSON_GetArraySize(choices), 3, 9);
    assert_string_equal(cJSON_GetObjectItemCaseSensitive(choices->child, "what")->valuestring,
                        "most light");
    first_rf = number_of(choices->child, "rf");
    for (const cJSON *way = choices->child; way != NULL; way = way->next) {
        const cJSON *slots = cJSON_GetObjectItemCaseSensitive(way, "slots");
        assert_int_equal(cJSON_GetArraySize(slots), 12);
        CHECK_NEAR("cct", number_of(way, "cct_k"), 3200, 2);
        assert_true(number_of(way, "flux_lm") <= number_of(choices->child, "flux_lm") + 1);
        best_rf = fmax(best_rf, number_of(way, "rf"));
    }
    assert_true(best_rf > first_rf + 0.5);
    check_front(choices);
    cJSON_Delete(root);
}

/* A third emitter leaves no choice. */
static void test_one(void **state)
{
    cJSON *root =
        choices_json("choices examples/hall.json back-left-wash --cct 4000 --format json");

    (void)state;
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "choices")), 1);
    cJSON_Delete(root);
    struct ran ran = run_line("choices examples/hall.json back-left-wash --cct 4000");
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "no choice");
    ran_free(&ran);
}

/* The codes of each way by the rule asked for: the emitters alone leave the dimmer at full; of what
 * has no dimmer beside its emitters nothing is chosen. */
static void test_dimming(void **state)
{
    cJSON *finest =
        choices_json("choices examples/hall.json front-left-wash --cct 3200 --format json");
    cJSON *emitters = choices_json(
        "choices examples/hall.json front-left-wash --cct 3200 --dimming emitters --format json");
    cJSON *none = choices_json("choices examples/quay.json spot-1 --cct 3200 --format json");
    const cJSON *way;

    (void)state;
    assert_string_equal(cJSON_GetObjectItemCaseSensitive(finest, "dimming")->valuestring, "finest");
    assert_string_equal(cJSON_GetObjectItemCaseSensitive(emitters, "dimming")->valuestring,
                        "emitters");
    assert_true(cJSON_IsNull(cJSON_GetObjectItemCaseSensitive(none, "dimming")));
    cJSON_ArrayForEach(way, cJSON_GetObjectItemCaseSensitive(emitters, "choices"))
    {
        const cJSON *codes = cJSON_GetObjectItemCaseSensitive(way, "codes");
        CHECK_NEAR("dimmer", number_of(codes, "dimmer"), 65535, 0);
    }
    cJSON_Delete(finest);
    cJSON_Delete(emitters);
    cJSON_Delete(none);
    struct ran ran =
        run_line("choices examples/hall.json front-left-wash --cct 3200 --dimming emitters");
    CHECK_HOLDS(ran.out, "The emitters carry the output: the dimmer stays at full.\n");
    ran_free(&ran);
    ran = run_line("choices examples/quay.json spot-1 --cct 3200 --dimming dimmer");
    CHECK_HOLDS(ran.out, "spot-1 has no dimmer beside its emitters: --dimming chooses nothing.\n");
    ran_free(&ran);
}

/* No way lights an emitter below the lowest level of examples/limits.json, and none of what is left
 * is as good in nothing as another; without the limit some ways do light one there. */
static void test_lowest_level(void **state)
{
    static const double kelvin[] = {2700, 3200, 4000, 5600};
    size_t below = 0, ways = 0;

    (void)state;
    for (size_t i = 0; i < 2 * COUNT(kelvin); i++) {
        const bool limited = i % 2 == 0;
        char line[120];
        const cJSON *way, *level;
        (void)snprintf(line, sizeof line,
                       "choices examples/limits.json %s --cct %.0f --format json",
                       limited ? "even" : "free", kelvin[i / 2]);
        cJSON *root = choices_json(line);
        const cJSON *choices = cJSON_GetObjectItemCaseSensitive(root, "choices");
        cJSON_ArrayForEach(way, choices)
        {
            cJSON_ArrayForEach(level, cJSON_GetObjectItemCaseSensitive(way, "levels"))
            {
                bool low = level->valuedouble > 0 && level->valuedouble < 0.05 - 1e-5;
                if (limited && low)
                    fail_msg("%s: %s at %g", line, level->string, level->valuedouble);
                below += low;
            }
            ways += limited;
            if (limited)
                CHECK_NEAR("cct", number_of(way, "cct_k"), kelvin[i / 2], 20);
        }
        check_front(choices);
        cJSON_Delete(root);
    }
    assert_true(below > 0 && ways > COUNT(kelvin));
}

static void test_table_and_csv(void **state)
{
    struct ran ran = run_line(WASH "--daylight 5000");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "most light\n");
    CHECK_HOLDS(ran.out, "best rendering\n");
    CHECK_HOLDS(ran.out, "\nfront-left-wash  1/1      1 ");
    ran_free(&ran);
    ran = run_line(WASH "--daylight 5000 --format csv");
    assert_int_equal(ran.status, EXIT_DONE);
    CHECK_HOLDS(ran.out, "what,flux_lm,watts,rf,ra,x,y,u_prime,v_prime,cct_k,duv,delta_uv,goal_"
                         "reason,slots,level red,");
    ran_free(&ran);
}

static void test_refused(void **state)
{
    (void)state;
    expect_failure("choices examples/hall.json", EXIT_USAGE, "UNIT");
    expect_failure("choices examples/hall.json front-left-wish --cct 3200", EXIT_USAGE,
                   "front-left-wash");
    expect_failure(WASH, EXIT_USAGE, "--cct");
    expect_failure(WASH "--cct 3200 --format xml", EXIT_USAGE, "xml");
    expect_failure("choices nowhere.json a --cct 3200", EXIT_USAGE, "nowhere.json");
}

/* Ra of the one unit at its best rendering by an index. */
static double ra_by(const char *index)
{
    char line[200];

    (void)snprintf(line, sizeof line,
                   "match examples/hall.json --units side-left-batten --cct 4200 --output 40%% "
                   "--goal rendering --index %s --quality --format json",
                   index);
    cJSON *root = choices_json(line);
    const cJSON *units = cJSON_GetObjectItemCaseSensitive(root, "units");
    double ra = number_of(units->child, "ra");
    cJSON_Delete(root);
    return ra;
}

static void test_match_index(void **state)
{
    (void)state;
    assert_true(ra_by("ra") > ra_by("rf") + 0.1);
    assert_true(ra_by("ra") > ra_by("ssi") + 0.1);
    expect_failure("match examples/hall.json --cct 3200 --index cqs", EXIT_USAGE, "rf");
}

/* match takes the same goals. */
static void test_match_goals(void **state)
{
    static const char *const goals[] = {"rendering", "spectrum"};
    struct ran ran;

    (void)state;
    for (size_t i = 0; i < COUNT(goals); i++) {
        char line[160];
        (void)snprintf(line, sizeof line,
                       "match examples/hall.json --units front-left-wash --cct 3200 --output 50%% "
                       "--goal %s --tolerance 0.0005",
                       goals[i]);
        ran = run_line(line);
        assert_int_equal(ran.status, EXIT_DONE);
        ran_free(&ran);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(test_json, enter_source),
        cmocka_unit_test_setup(test_one, enter_source),
        cmocka_unit_test_setup(test_table_and_csv, enter_source),
        cmocka_unit_test_setup(test_dimming, enter_source),
        cmocka_unit_test_setup(test_lowest_level, enter_source),
        cmocka_unit_test_setup(test_refused, enter_source),
        cmocka_unit_test_setup(test_match_goals, enter_source),
        cmocka_unit_test_setup(test_match_index, enter_source),
    };

    return cmocka_run_group_tests_name("cmd_choices", tests, NULL, NULL);
}
