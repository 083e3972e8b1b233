/* SPDX-License-Identifier: MIT */
/* The picture of a fixture whose memory runs out at each allocation. */
#include "support/failing.h"

#include <metamer/fixture_picture.h>

/* Its whites are soon found. */
static mtm_fixture *two_emitters;

static mtm_result draw_fixture(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 300};
    mtm_picture *picture = NULL;
    size_t count = 0;
    mtm_result result =
        mtm_picture_of_fixture(two_emitters, MTM_OBSERVER_2, &options, &picture, error);

    if (result == MTM_OK)
        failing_tell(mtm_picture_bytes(picture, &count), count);
    mtm_picture_free(picture);
    return result;
}

static const failing_row rows[] = {{"a fixture", draw_fixture}};

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    char path[512];

    (void)snprintf(path, sizeof path, "%s/tunable-white.json", getenv("METAMER_PROFILES"));
    if (mtm_fixture_load(path, &two_emitters, &error) != MTM_OK) {
        print_error("%s\n", error.text);
        return 1;
    }
    mtm_result result = mtm_picture_of_fixture(two_emitters, MTM_OBSERVER_2, NULL, &picture, NULL);
    mtm_picture_free(picture);
    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: cairo and Pango are not here\n");
        mtm_fixture_free(two_emitters);
        return 77;
    }
    ROW_TESTS(tests, rows, failing_test);
    int failed = cmocka_run_group_tests_name("memory of a fixture's picture", tests, NULL, NULL);
    mtm_fixture_free(two_emitters);
    return failed;
}
