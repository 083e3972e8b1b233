/* SPDX-License-Identifier: MIT */
/* Failing memory where text becomes a show, and a show is asked what it cannot do. */
#include "support/failing.h"

#include <metamer/show_goals.h>

#include <unistd.h>

#define SHOW "tests/data/show/every-kind.json"

static char text[8192]; /* of SHOW */
static mtm_rig *rig;
static mtm_show *show;

static mtm_result parse_show(mtm_error *error)
{
    mtm_show *made = NULL;
    mtm_result result = mtm_show_parse(text, strlen(text), "show", NULL, rig, &made, error);

    if (result != MTM_OK) {
        assert_null(made);
        return result;
    }
    failing_tell_text(mtm_show_name(made));
    for (size_t i = 0; i < mtm_show_colour_count(made); i++) {
        failing_tell_text(mtm_show_colour_name(made, i));
        failing_tell(&mtm_show_colour(made, i)->xy, sizeof(mtm_xy));
    }
    for (size_t i = 0; i < mtm_show_group_count(made); i++) {
        size_t count = 0;
        const size_t *unit = mtm_show_group(made, i, &count);
        failing_tell_text(mtm_show_group_name(made, i));
        failing_tell(unit, count * sizeof *unit);
    }
    for (size_t i = 0; i < mtm_show_cue_count(made); i++)
        failing_tell_text(mtm_show_cue(made, i)->text);
    mtm_show_free(made);
    return MTM_OK;
}

/* Ten of each, so that lists grow. */
static mtm_result make_show(mtm_error *error)
{
    static const char *const names[] = {"a", "b", "c", "d", "e", "f", "g", "h", "i", "j"};
    const size_t unit = 0;
    mtm_target target;
    mtm_show *made = NULL;
    mtm_result result = mtm_target_from_xy((mtm_xy){0.4, 0.4}, MTM_OBSERVER_2, &target, error);

    if (result == MTM_OK)
        result = mtm_show_create("made", rig, MTM_OBSERVER_2, 0, &made, error);
    for (int i = 0; i < 10 && result == MTM_OK; i++) {
        const mtm_cue cue = {.number = i + 1, .text = names[i], .follow_s = -1};
        mtm_setting setting = {.group = 1, .has_output = true};
        result = mtm_show_add_colour(made, names[i], &target, error);
        if (result == MTM_OK)
            result = mtm_show_add_group(made, names[i], &unit, 1, error);
        if (result != MTM_OK)
            break;
        setting.target = mtm_show_colour(made, (size_t)i);
        result = mtm_show_add_cue(made, &cue, &setting, 1, error);
        if (result == MTM_OK)
            failing_tell_text(mtm_show_cue(made, (size_t)i)->text);
    }
    mtm_show_free(made);
    return result;
}

static mtm_result load_show(mtm_error *error)
{
    mtm_show *made = NULL;
    mtm_result result = mtm_show_load(SHOW, &made, error);

    if (result != MTM_OK) {
        assert_null(made);
        return result;
    }
    failing_tell_text(mtm_rig_name(mtm_show_rig(made)));
    mtm_show_free(made);
    return MTM_OK;
}

static void tell_lapse(void *context, const mtm_goal_lapse *lapse)
{
    (void)context;
    failing_tell(&lapse->cue, sizeof lapse->cue);
    failing_tell(&lapse->unit, sizeof lapse->unit);
    failing_tell(&lapse->why, sizeof lapse->why);
}

static mtm_result list_lapses(mtm_error *error)
{
    return mtm_show_goal_lapses(show, tell_lapse, NULL, error);
}

static const failing_row rows[] = {
    {"parse a show", parse_show},
    {"make a show", make_show},
    {"load a show and its rig", load_show},
    {"list what cannot go by its goal", list_lapses},
};

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    if (source == NULL || chdir(source) != 0)
        return -1;
    FILE *file = fopen(SHOW, "rb");
    if (file == NULL)
        return -1;
    size_t length = fread(text, 1, sizeof text - 1, file);
    if (fclose(file) != 0 || length == 0 || length == sizeof text - 1)
        return -1;
    if (mtm_rig_load("examples/hall.json", &rig, NULL) != MTM_OK)
        return -1;
    return mtm_show_parse(text, length, SHOW, NULL, rig, &show, NULL) == MTM_OK ? 0 : -1;
}

static int leave(void **state)
{
    (void)state;
    mtm_show_free(show);
    mtm_rig_free(rig);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("show_memory", tests, enter, leave);
}
