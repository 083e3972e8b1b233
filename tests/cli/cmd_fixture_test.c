/* SPDX-License-Identifier: MIT */
/* metamer fixture: every profile is described; a wrong file is refused with its place. */
#include "support/command.h"

#include <cjson/cJSON.h>
#include <dirent.h>

/* Walks the folder, so that a new profile cannot be forgotten. */
static void test_profiles(void **state)
{
    DIR *folder = opendir("profiles");
    int count = 0;

    (void)state;
    assert_non_null(folder);
    for (const struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        size_t length = strlen(entry->d_name);
        char line[512];
        if (length < 5 || strcmp(entry->d_name + length - 5, ".json") != 0)
            continue;
        (void)snprintf(line, sizeof line, "fixture profiles/%s", entry->d_name);
        struct ran ran = run_line(line);
        if (ran.status != EXIT_DONE)
            fail_msg("%s: %s", line, ran.err);
        CHECK_HOLDS(ran.out, "Gamut corners");
        CHECK_HOLDS(ran.out, "Modes");
        assert_null(strstr(ran.out, "nan"));
        ran_free(&ran);
        count++;
    }
    (void)closedir(folder);
    assert_true(count >= 3);
}

static void test_json(void **state)
{
    struct ran ran = run_line("fixture profiles/five-colour-wash.json --format json");
    cJSON *root = cJSON_Parse(ran.out);

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    assert_non_null(root);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "emitters")), 5);
    assert_true(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "modes")) >= 2);
    cJSON_Delete(root);
    ran_free(&ran);
}

static void test_bad(void **state)
{
    (void)state;
    expect_failure("fixture", EXIT_USAGE, "metamer fixture FILE");
    expect_failure("fixture nowhere.json", EXIT_USAGE, "nowhere.json: cannot be opened");
    expect_failure("fixture examples/hall.json", EXIT_USAGE,
                   "found \"rig/1\", allowed is \"fixture/1\"");
    expect_failure("fixture profiles/five-colour-wash.json --format csv", EXIT_USAGE,
                   "allowed are: table, json");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_profiles),
        cmocka_unit_test(test_json),
        cmocka_unit_test(test_bad),
    };

    return cmocka_run_group_tests_name("fixture", tests, enter_source, NULL);
}
