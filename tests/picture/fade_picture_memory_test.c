/* SPDX-License-Identifier: MIT */
/* The picture of a fade whose memory runs out at each allocation: a sentence, nothing leaked, or
 * the same bytes. */
#include "support/failing.h"

#include <metamer/fade_picture.h>
#include <metamer/linked_picture.h>

static struct {
    mtm_show *show;
    mtm_fade_finding *finding;
    mtm_fade_course *course;
    mtm_linked_course *linked;
} world;

static mtm_result draw_fade(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 300};
    const mtm_fade_view view = {
        .show = world.show, .finding = world.finding, .course = world.course, .visible = 1};
    mtm_picture *picture = NULL;
    size_t count = 0;

    mtm_result result = mtm_picture_of_fade(&view, &options, &picture, error);
    if (result == MTM_OK)
        failing_tell(mtm_picture_bytes(picture, &count), count);
    mtm_picture_free(picture);
    return result;
}

static mtm_result draw_linked(mtm_error *error)
{
    const mtm_picture_options options = {.width = 240, .height = 300};
    const mtm_linked_view view = {.show = world.show, .course = world.linked, .tolerance = 12};
    mtm_picture *picture = NULL;
    size_t count = 0;

    mtm_result result = mtm_picture_of_linked(&view, &options, &picture, error);
    if (result == MTM_OK)
        failing_tell(mtm_picture_bytes(picture, &count), count);
    mtm_picture_free(picture);
    return result;
}

static const failing_row rows[] = {{"a fade", draw_fade}, {"linked cues", draw_linked}};

static mtm_result link_cue(mtm_fader *fader, mtm_error *error)
{
    mtm_linked *linked = NULL;
    mtm_result result = mtm_linked_create(fader, 0, 12, NULL, NULL, &linked, error);

    if (result == MTM_OK)
        result = mtm_linked_course_create(fader, 0, linked, NULL, 1, &world.linked, error);
    mtm_linked_free(linked);
    return result;
}

/* The first cue of a show. */
static mtm_result run_fade(const char *path, mtm_error *error)
{
    mtm_fader *fader = NULL;
    mtm_result result = mtm_show_load(path, &world.show, error);

    if (result != MTM_OK)
        return result;
    world.finding = calloc(mtm_rig_unit_count(mtm_show_rig(world.show)) + 1, sizeof *world.finding);
    const mtm_fade_course_request request = {.finding = world.finding, .units = 1, .moments = 4};
    result = world.finding == NULL ? MTM_MEMORY : mtm_fader_create(world.show, NULL, &fader, error);
    if (result == MTM_OK)
        result = mtm_fade_examine(fader, 0, world.finding, NULL, NULL, error);
    if (result == MTM_OK)
        result = mtm_fader_set_before(fader, 0, error);
    if (result == MTM_OK)
        result = mtm_fader_go(fader, 0, error);
    if (result == MTM_OK)
        result = mtm_fade_course_create(fader, &request, &world.course, error);
    if (result == MTM_OK)
        result = link_cue(fader, error);
    mtm_fader_free(fader);
    return result;
}

static int make_world(void **state)
{
    char path[512];
    mtm_error error = {""};

    (void)state;
    (void)snprintf(path, sizeof path, "%s/examples/evening.json", getenv("METAMER_SOURCE"));
    return run_fade(path, &error) == MTM_OK ? 0 : -1;
}

static int free_world(void **state)
{
    (void)state;
    mtm_linked_course_free(world.linked);
    mtm_fade_course_free(world.course);
    free(world.finding);
    mtm_show_free(world.show);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];
    mtm_picture *picture = NULL;
    void *state = NULL;

    if (make_world(&state) != 0)
        return 1;
    const mtm_fade_view view = {
        .show = world.show, .finding = world.finding, .course = world.course, .visible = 1};
    mtm_result result = mtm_picture_of_fade(&view, NULL, &picture, NULL);
    mtm_picture_free(picture);
    (void)free_world(&state);
    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: cairo and Pango are not here\n");
        return 77;
    }
    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("memory of a picture of a fade", tests, make_world,
                                       free_world);
}
