/* SPDX-License-Identifier: MIT */
/* Failing memory in faders, their frames, reports and loads. */
#include "support/failing.h"

#include <metamer/cue_demand.h>
#include <metamer/fade_course.h>
#include <metamer/fade_report.h>

#include <unistd.h>

enum { UNITS_MAX = 32, FRAMES = 20 };

static mtm_show *show;
static size_t units;

static void tell_slots(const mtm_fader *fader)
{
    mtm_frame_layout layout = mtm_fader_layout(fader);

    for (size_t u = 0; u < layout.universe_count; u++)
        failing_tell(mtm_fader_slots(fader, u), layout.universe[u].slot_count);
}

static mtm_result create_fader(mtm_fader **fader, mtm_error *error)
{
    const mtm_fader_options options = {.dither = true};
    mtm_result result = mtm_fader_create(show, &options, fader, error);

    if (result != MTM_OK)
        assert_null(*fader);
    return result;
}

static mtm_result run_fade(mtm_error *error)
{
    mtm_fader *fader = NULL;
    mtm_result result = create_fader(&fader, error);

    if (result == MTM_OK)
        result = mtm_fader_set(fader, 1, error);
    if (result == MTM_OK)
        result = mtm_fader_go(fader, 3, error); /* along the white locus and CAM16 */
    for (int frame = 0; result == MTM_OK && frame < FRAMES; frame++) {
        result = mtm_fader_step(fader, error);
        tell_slots(fader);
    }
    mtm_fader_free(fader);
    return result;
}

static mtm_result check_cues(mtm_error *error)
{
    mtm_fader *fader = NULL;
    mtm_result result = create_fader(&fader, error);

    if (result == MTM_OK)
        result = mtm_fader_check(fader, error);
    if (result == MTM_OK)
        tell_slots(fader);
    mtm_fader_free(fader);
    return result;
}

static mtm_result open_source(mtm_error *error)
{
    mtm_fader *fader = NULL;
    mtm_frame_source source;
    mtm_result result = create_fader(&fader, error);

    failing_mark(&source, sizeof source);
    if (result == MTM_OK) {
        result = mtm_fader_source(fader, 1, 2, MTM_PLAY_FOLLOW, &source, error);
        if (result != MTM_OK)
            failing_check_mark(&source, sizeof source);
        else
            failing_tell(&source.layout.universe_count, sizeof source.layout.universe_count);
    }
    mtm_fader_free(fader);
    return result;
}

static mtm_result examine(mtm_error *error)
{
    static mtm_fade_finding finding[UNITS_MAX];
    mtm_fader *fader = NULL;
    mtm_result result = create_fader(&fader, error);

    failing_mark(finding, sizeof finding);
    if (result == MTM_OK) {
        result = mtm_fade_examine(fader, 0, finding, NULL, NULL, error);
        if (result != MTM_OK)
            failing_check_mark(finding, sizeof finding);
    }
    for (size_t i = 0; result == MTM_OK && i < units; i++) {
        failing_tell(&finding[i].step, sizeof finding[i].step);
        failing_tell(&finding[i].cause, sizeof finding[i].cause);
    }
    mtm_fader_free(fader);
    return result;
}

/* The finding, of which nothing was found, only chooses. */
static mtm_result record_course(mtm_error *error)
{
    static const mtm_fade_finding finding[UNITS_MAX];
    const mtm_fade_course_request request = {.finding = finding, .units = 3, .moments = 20};
    mtm_fade_course *course = NULL;
    mtm_fader *fader = NULL;
    mtm_result result = create_fader(&fader, error);

    if (result == MTM_OK)
        result = mtm_fader_go(fader, 0, error);
    if (result == MTM_OK)
        result = mtm_fade_course_create(fader, &request, &course, error);
    for (size_t i = 0; i < mtm_fade_course_units(course); i++)
        failing_tell(&mtm_fade_course_of(course, i)[19].sent.y, sizeof(double));
    mtm_fade_course_free(course);
    mtm_fader_free(fader);
    return result;
}

static mtm_result weigh_cue(mtm_error *error)
{
    mtm_cue_demand *demands = NULL;
    mtm_demand *demand = NULL;
    double total_w = -1;
    mtm_result result = mtm_cue_demand_create(show, NULL, NULL, &demands, error);

    if (result != MTM_OK)
        assert_null(demands);
    if (result == MTM_OK)
        result = mtm_cue_demand_set(demands, 1, error);
    if (result == MTM_OK) {
        result = mtm_cue_demand_run(demands, 2, false, &demand, &total_w, error);
        if (result != MTM_OK)
            assert_true(demand == NULL && total_w == -1);
    }
    for (size_t i = 0; result == MTM_OK && i < mtm_demand_row_count(demand); i++)
        failing_tell(&mtm_demand_row_at(demand, i)->watts, sizeof(double));
    failing_tell(&total_w, sizeof total_w);
    mtm_demand_free(demand);
    mtm_cue_demand_free(demands);
    return result;
}

static const failing_row rows[] = {
    {"run a fade", run_fade},
    {"check the cues", check_cues},
    {"open a source of frames", open_source},
    {"examine a fade", examine},
    {"record a course", record_course},
    {"weigh a cue", weigh_cue},
};

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");

    (void)state;
    if (source == NULL || chdir(source) != 0 ||
        mtm_show_load("examples/evening.json", &show, NULL) != MTM_OK)
        return -1;
    units = mtm_rig_unit_count(mtm_show_rig(show));
    return units <= UNITS_MAX ? 0 : -1;
}

static int leave(void **state)
{
    (void)state;
    mtm_show_free(show);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("fade_memory", tests, enter, leave);
}
