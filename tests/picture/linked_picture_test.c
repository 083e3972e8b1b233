/* SPDX-License-Identifier: MIT */
/* The picture of linked cues: way, straight fades, error and ends where arithmetic says. */
#include "support/drawn_panels.h"
#include "support/trial.h"

#include <metamer/linked_picture.h>

/* What a picture is made of. */
struct work {
    mtm_rig *rig;
    mtm_show *show;
    mtm_linked_course *course;
};

static struct work run(mtm_rig *rig, double up_s, double delay_s)
{
    struct work work = {.rig = rig};
    mtm_fader *fader = NULL;
    mtm_linked *linked = NULL;
    mtm_error error = {""};

    work.show = trial_show(
        rig,
        "'colours': {'warm': {'cct_k': 2800}, 'cool': {'cct_k': 6000}}, 'cues': [{'number': 1, "
        "'up_s': 1, 'set': [{'group': 'all', 'colour': 'warm', 'output': 0.2}]}, {'number': 2, "
        "'up_s': %g, 'delay_s': %g, 'set': [{'group': 'all', 'colour': 'cool', 'output': 0.8}]}]",
        up_s, delay_s);
    trial_must(mtm_fader_create(work.show, NULL, &fader, &error), &error);
    trial_must(mtm_linked_create(fader, 1, 3, NULL, NULL, &linked, &error), &error);
    trial_must(mtm_linked_course_create(fader, 1, linked, NULL, MTM_LINKED_PICTURE_UNITS,
                                        &work.course, &error),
               &error);
    mtm_linked_free(linked);
    mtm_fader_free(fader);
    return work;
}

static void free_work(struct work *work)
{
    mtm_linked_course_free(work->course);
    mtm_show_free(work->show);
    mtm_rig_free(work->rig);
}

static mtm_picture *draw(const struct work *work, const mtm_picture_options *options)
{
    const mtm_linked_view view = {
        .show = work->show, .cue = 1, .course = work->course, .tolerance = 3};
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_linked(&view, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

static const struct trial_unit one[] = {{"one", "three-colour-strip.json", "16-bit", 1, 1}};

/* Upright lines through a panel at this part of its time. */
static int upright_at(const struct drawing *drawing, const struct drawn *frame, double time)
{
    double x = drawn_along(time, 0, 1, frame->left, frame->right);
    int count = 0;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        count += path->points == 2 && path->first_x == path->last_x &&
                 fabs(path->first_x - x) < 0.5 && fabs(path->top - frame->top) < 0.5 &&
                 fabs(path->bottom - frame->bottom) < 0.5;
    }
    return count;
}

static void test_places(void **state)
{
    struct work work = run(trial_rig(one, 1), 10, 0);
    mtm_picture *picture = draw(&work, NULL);
    struct drawing drawing = drawn_read(picture);
    const mtm_linked_moment *moment = mtm_linked_course_of(work.course, 0);
    size_t last = mtm_linked_course_moments(work.course) - 1;
    double most = 0;

    (void)state;
    for (size_t k = 0; k <= last; k++)
        most = fmax(most, fmax(moment[k].way.y, moment[k].straight.y));
    const struct drawn *frame = drawn_panel(&drawing, 4, 0);
    for (int part = 0; part <= 4; part++) {
        size_t k = last * (size_t)part / 4;
        double time = moment[k].time_s / 10;
        drawn_check_line(&drawing, "way", frame, time, moment[k].way.y, 1.08 * most);
        drawn_check_line(&drawing, "straight", frame, time, moment[k].straight.y, 1.08 * most);
    }
    /* the tolerance of 3 on an axis that ends at 1.2 times it */
    frame = drawn_panel(&drawing, 4, 3);
    drawn_check_line(&drawing, "tolerance", frame, 0.5, 3, 3.6);
    drawn_check_line(&drawing, "error", frame, moment[last / 3].time_s / 10, moment[last / 3].error,
                     3.6);
    assert_true(mtm_linked_course_cues(work.course) > 1);
    for (size_t i = 0; i + 1 < mtm_linked_course_cues(work.course); i++)
        assert_true(upright_at(&drawing, frame, mtm_linked_course_end_s(work.course, i) / 10) > 0);
    free(drawing.path);
    mtm_picture_free(picture);
    free_work(&work);
}

static const struct crowd {
    const char *name;
    size_t units;
    double up_s, delay_s, width;
} crowds[] = {
    {"one unit", 1, 2, 0, 0},
    {"100 units, 240 px", 100, 2, 0, 240},
    {"a jump", 2, 0, 0, 600},
    {"a day, and a delay", 1, 86400, 60, 0},
};

static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    static const char *const fixtures[] = {"three-colour-strip.json", "tunable-white.json"};
    struct trial_unit unit[100];
    char names[100][16];

    for (size_t i = 0; i < crowd->units; i++) {
        (void)snprintf(names[i], sizeof names[i], "<%zu&>", i + 1);
        unit[i] =
            (struct trial_unit){.name = names[i], .fixture = fixtures[i % 2], .mode = "16-bit"};
    }
    struct work work = run(trial_rig(unit, crowd->units), crowd->up_s, crowd->delay_s);
    const mtm_picture_options options = {.width = crowd->width};
    mtm_picture *picture = draw(&work, &options);
    struct drawing drawing = drawn_read(picture);
    assert_true(drawing.count > 50);
    for (size_t k = 0; k < drawing.count; k++) {
        if (!isfinite(drawing.path[k].left + drawing.path[k].bottom))
            fail_msg("a path is nowhere");
    }
    free(drawing.path);
    mtm_picture_free(picture);
    free_work(&work);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + 1];

    ROW_TESTS(tests, crowds, test_crowd);
    tests[COUNT(crowds)] = (struct CMUnitTest)cmocka_unit_test(test_places);
    return cmocka_run_group_tests_name("picture of linked cues", tests, NULL, NULL);
}
