/* SPDX-License-Identifier: MIT */
/* Failing memory where text becomes a palette. */
#include "support/failing.h"

#include <metamer/palette.h>

#include <unistd.h>

static mtm_result load(mtm_error *error)
{
    mtm_palette *palette = NULL;
    mtm_result result =
        mtm_palette_load("examples/palette.json", NULL, MTM_OBSERVER_2, &palette, error);

    if (result != MTM_OK) {
        assert_null(palette);
        return result;
    }
    for (size_t i = 0; i < mtm_palette_count(palette); i++) {
        failing_tell_text(mtm_palette_colour_name(palette, i));
        failing_tell(&mtm_palette_colour(palette, i)->xy, sizeof(mtm_xy));
    }
    mtm_palette_free(palette);
    return MTM_OK;
}

static const failing_row rows[] = {{"load a palette", load}};

static int enter(void **state)
{
    (void)state;
    return chdir(getenv("METAMER_SOURCE"));
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("target_memory", tests, enter, NULL);
}
