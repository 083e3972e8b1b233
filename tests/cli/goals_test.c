/* SPDX-License-Identifier: MIT */
/* Goals as a user meets them: the head that names one, and the lines of units that cannot follow
 * it.
 */
#include "support/check.h"
#include "support/command.h"

#include <cjson/cJSON.h>

#define HALL "match examples/hall.json "

static const struct said {
    const char *name; /* the command line */
    const char *part; /* what it prints */
} said[] = {
    {HALL "--cct 3200 --units hall-left", "2° observer, goal light\n"},
    {HALL "--cct 3200 --output 60% --units hall-left", "2° observer, goal light\n"},
    {HALL "--cct 3200 --goal watts", "2° observer, goal watts\n"},
    {HALL "--cct 3200 --goal rendering", "2° observer, goal rendering by rf\n"},
    {HALL "--cct 3200 --goal rendering --index ra", "2° observer, goal rendering by ra\n"},
    {HALL "--cct 3200 --goal spectrum --together", "2° observer, goal spectrum\n"},
    {HALL "--cct 3200 --goal rendering", "Goal light for back-left-wash, "},
    {HALL "--cct 3200 --goal rendering", "hall-centre, hall-right: one mix only.\n"},
    {HALL "--cct 3200 --goal rendering --observer 10", ": only for the 2° observer.\n"},
    {HALL "--xy 0.25,0.25 --goal rendering", ": the colour has no temperature.\n"},
    {HALL "--cct 3200 --goal rendering --format csv", ",yes,,rendering,,255 "},
    {HALL "--cct 3200 --goal rendering --format csv", ",yes,,light,one mix only,255 "},
    {"match tests/data/plain/rig.json --cct 4000 --goal rendering",
     "Goal light for plain: an emitter has no spectrum.\n"},
    {"match tests/data/plain/rig.json --cct 4000 --goal spectrum --together",
     ": an emitter has no spectrum.\n"},
    {"choices tests/data/plain/rig.json plain --cct 4000",
     "most light; no rendering: an emitter has no spectrum\n"},
    {"choices tests/data/plain/rig.json plain --cct 4000", "most lumens a watt\n"},
    {"choices tests/data/plain/rig.json plain --cct 4000",
     "None of these has at once as much light and as few watts as another.\n"},
    {"choices tests/data/plain/rig.json plain --cct 4000 --format csv",
     ",an emitter has no spectrum,"},
    {"choices tests/data/plain/rig.json plain --cct 4000 --format json",
     "\"goal_reason\": \"an emitter has no spectrum\""},
    {"choices examples/hall.json front-left-wash --xy 0.25,0.25",
     "most light; no rendering: the colour has no temperature\n"},
    {"choices examples/hall.json back-left-wash --cct 4000", "most light; one mix only\n"},
};

static void test_said(void **state)
{
    const struct said *row = *state;
    struct ran ran = run_line(row->name);

    assert_int_equal(ran.status, EXIT_DONE);
    assert_string_equal(ran.err, "");
    expect_said(ran.out, row->part);
    ran_free(&ran);
}

#define SHOW " tests/data/plain/show.json "
#define DARK_SHOW " tests/data/plain/dark-show.json "
#define NOTE "cue 1, goal rendering: plain goes by light: an emitter has no spectrum\n"

/* A show runs on, and says which unit does not do what a cue asks. */
static const struct shown {
    const char *line, *out, *err;
} shown[] = {
    {"fade" SHOW, NOTE, ""},
    {"fade" SHOW, "1      1  rendering ", ""},
    {"fade" SHOW "--report", "up 1 s, down 1 s, goal rendering\n", ""},
    {"fade" SHOW "--report", "  goal light: an emitter has no spectrum\n", ""},
    {"fade" SHOW "--format csv", ",light,an emitter has no spectrum,", ""},
    {"fade" SHOW "--format csv", ",rendering,,", ""},
    {"fade" SHOW "--format json", "\"goal_reason\": \"an emitter has no spectrum\"", ""},
    {"fade" DARK_SHOW, "\ncue 2: plain stays dark: no nearer to the colour than 0.", ""},
    {"fade" DARK_SHOW "--report", "  stays dark: no nearer to the colour than 0.", ""},
    {"fade" DARK_SHOW "--format csv", "goal_reason,cure,left_dark_delta_uv,dimming\n", ""},
    {"fade" DARK_SHOW "--format json", "\"left_dark_delta_uv\": 0.", ""},
    {"frames" SHOW, "", "metamer frames: " NOTE},
    {"cues" SHOW, "CUE 2", "metamer cues: " NOTE},
    {"load tests/data/plain/rig.json --show" SHOW, "", "metamer load: " NOTE},
};

static void test_shown(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(shown); i++) {
        struct ran ran = run_line(shown[i].line);
        assert_int_equal(ran.status, EXIT_DONE);
        CHECK_HOLDS(ran.out, shown[i].out);
        assert_string_equal(ran.err, shown[i].err);
        ran_free(&ran);
    }
}

/* Of units that are not chosen nothing is said. */
static void test_units(void **state)
{
    static const char *const lines[] = {"fade", "frames", "cues"};
    char line[200];

    (void)state;
    for (size_t i = 0; i < COUNT(lines); i++) {
        for (int chosen = 0; chosen < 2; chosen++) {
            (void)snprintf(line, sizeof line, "%s tests/data/plain/dark-show.json --units %splain",
                           lines[i], chosen == 1 ? "" : "!");
            struct ran ran = run_line(line);
            assert_int_equal(ran.status, EXIT_DONE);
            const char *told = i == 0 ? ran.out : ran.err;
            if ((strstr(told, "plain stays dark") != NULL) != (chosen == 1))
                fail_msg("%s: %s", line, told);
            ran_free(&ran);
        }
    }
}

static const struct refused {
    const char *line, *says;
} refused[] = {
    {HALL "--cct 3200 --goal best",
     "--goal: found \"best\", allowed are: light, watts, rendering, spectrum"},
    {HALL "--cct 3200 --index ra", "--index goes with --goal rendering"},
    {HALL "--cct 3200 --goal watts --index ra", "--index goes with --goal rendering"},
};

static void test_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(refused); i++)
        expect_failure(refused[i].line, EXIT_USAGE, refused[i].says);
}

static const cJSON *unit_of(const cJSON *root, const char *name)
{
    const cJSON *units = cJSON_GetObjectItemCaseSensitive(root, "units");

    for (const cJSON *unit = units->child; unit != NULL; unit = unit->next) {
        if (strcmp(cJSON_GetObjectItemCaseSensitive(unit, "name")->valuestring, name) == 0)
            return unit;
    }
    fail_msg("no unit %s", name);
    return NULL;
}

static const char *text_of(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);

    assert_non_null(item);
    return cJSON_IsNull(item) ? "null" : item->valuestring;
}

static void test_json(void **state)
{
    struct ran ran =
        run_line(HALL "--cct 3200 --goal rendering --index ssi --output 40% --format json");
    cJSON *root = cJSON_Parse(ran.out);

    (void)state;
    assert_non_null(root);
    assert_string_equal(text_of(root, "goal"), "rendering");
    assert_string_equal(text_of(root, "index"), "ssi");
    assert_string_equal(text_of(unit_of(root, "front-left-wash"), "goal"), "rendering");
    assert_string_equal(text_of(unit_of(root, "front-left-wash"), "goal_reason"), "null");
    assert_string_equal(text_of(unit_of(root, "hall-left"), "goal"), "light");
    assert_string_equal(text_of(unit_of(root, "hall-left"), "goal_reason"), "one mix only");
    cJSON_Delete(root);
    ran_free(&ran);
}

/* Levels of the unit "left", 16 bits, of the rig whose supply cannot feed all at full. */
static void levels_of_left(const char *line, double *flux_lm, double level[5])
{
    struct ran ran = run_line(line);
    cJSON *root = cJSON_Parse(ran.out);
    const cJSON *left = unit_of(root, "left");
    const cJSON *one = cJSON_GetObjectItemCaseSensitive(left, "levels")->child;

    *flux_lm = cJSON_GetObjectItemCaseSensitive(left, "flux_lm")->valuedouble;
    for (size_t k = 0; k < 5; k++, one = one->next)
        level[k] = one->valuedouble;
    cJSON_Delete(root);
    ran_free(&ran);
}

/* The rating of a port costs light, not spectrum. */
static void test_within_load(void **state)
{
    static const char *const goals[] = {"light", "rendering"};

    (void)state;
    for (size_t g = 0; g < COUNT(goals); g++) {
        char line[160];
        double free_lm = 0, held_lm = 0, free_level[5], held_level[5];
        (void)snprintf(line, sizeof line,
                       "match tests/data/tight-rig.json --cct 3200 --format json --goal %s",
                       goals[g]);
        levels_of_left(line, &free_lm, free_level);
        (void)snprintf(line + strlen(line), sizeof line - strlen(line), " --within-load");
        levels_of_left(line, &held_lm, held_level);
        assert_true(held_lm < 0.9 * free_lm);
        for (size_t k = 0; k < 5; k++) /* 16-bit codes of curved emitters */
            CHECK_NEAR("level", held_level[k], free_level[k] * held_lm / free_lm, 5e-4);
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT(said) + 5];

    for (size_t i = 0; i < COUNT(said); i++)
        tests[i] = (struct CMUnitTest){.name = said[i].name,
                                       .test_func = test_said,
                                       .initial_state = (void *)(uintptr_t)&said[i]};
    tests[COUNT(said)] = (struct CMUnitTest)cmocka_unit_test(test_refused);
    tests[COUNT(said) + 1] = (struct CMUnitTest)cmocka_unit_test(test_json);
    tests[COUNT(said) + 2] = (struct CMUnitTest)cmocka_unit_test(test_shown);
    tests[COUNT(said) + 4] = (struct CMUnitTest)cmocka_unit_test(test_units);
    tests[COUNT(said) + 3] = (struct CMUnitTest)cmocka_unit_test(test_within_load);
    return cmocka_run_group_tests_name("goals", tests, enter_source, NULL);
}
