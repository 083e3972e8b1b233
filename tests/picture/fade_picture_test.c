/* SPDX-License-Identifier: MIT */
/* The picture of a fade: lines, limit and ways where arithmetic says; one unit and many. */
#include "support/drawn_panels.h"
#include "support/trial.h"

#include <metamer/fade_picture.h>

/* What a picture is made of. */
struct work {
    mtm_rig *rig;
    mtm_show *show;
    mtm_fader *fader;
    mtm_fade_finding *finding;
    mtm_fade_course *course;
};

static struct work run(mtm_rig *rig, double up_s, double output, const char *path)
{
    struct work work = {.rig = rig};
    mtm_error error = {""};

    work.show = trial_show(
        rig,
        "'colours': {'warm': {'cct_k': 2800}, 'cool': {'cct_k': 6000}}, 'cues': [{'number': 1, "
        "'up_s': 1, "
        "'set': [{'group': 'all', 'colour': 'warm', 'output': 0.2}]}, {'number': 2, 'up_s': %g, "
        "'set': [{'group': 'all', 'colour': 'cool', 'output': %g, 'path': '%s'}]}]",
        up_s, output, path);
    work.finding = calloc(mtm_rig_unit_count(rig), sizeof *work.finding);
    assert_non_null(work.finding);
    trial_must(mtm_fader_create(work.show, NULL, &work.fader, &error), &error);
    trial_must(mtm_fade_examine(work.fader, 1, work.finding, NULL, NULL, &error), &error);
    trial_must(mtm_fader_set_before(work.fader, 1, &error), &error);
    trial_must(mtm_fader_go(work.fader, 1, &error), &error);
    const mtm_fade_course_request request = {.finding = work.finding,
                                             .units = MTM_FADE_PICTURE_UNITS,
                                             .moments = mtm_picture_moments(NULL)};
    trial_must(mtm_fade_course_create(work.fader, &request, &work.course, &error), &error);
    return work;
}

static void free_work(struct work *work)
{
    mtm_fade_course_free(work->course);
    mtm_fader_free(work->fader);
    free(work->finding);
    mtm_show_free(work->show);
    mtm_rig_free(work->rig);
}

static mtm_picture *draw(const struct work *work, double visible,
                         const mtm_picture_options *options)
{
    const mtm_fade_view view = {.show = work->show,
                                .cue = 1,
                                .finding = work->finding,
                                .course = work->course,
                                .visible = visible};
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_fade(&view, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

static const struct trial_unit one[] = {{"one", "three-colour-strip.json", "16-bit", 1, 1}};

/* The lines end and begin where the course says, on axes that fade_picture.h states. */
static void test_panels(void **state)
{
    struct work work = run(trial_rig(one, 1), 10, 0.8, "light");
    mtm_picture *picture = draw(&work, 5, NULL);
    struct drawing drawing = drawn_read(picture);
    const mtm_fade_moment *moment = mtm_fade_course_of(work.course, 0);
    size_t last = mtm_fade_course_moments(work.course) - 1;
    const struct drawn *frame = drawn_panel(&drawing, 6, 0);
    double most = moment[last].sent.y;

    (void)state;
    drawn_check_line(&drawing, "output at the end", frame, 1, most, 1.08 * most);
    drawn_check_line(&drawing, "output at the start", frame, 0, moment[0].sent.y, 1.08 * most);
    drawn_check_line(&drawing, "output half way", frame, 0.5, moment[last / 2].sent.y, 1.08 * most);
    /* the limit: 5 of 1.4 times 5 */
    drawn_check_line(&drawing, "limit", drawn_panel(&drawing, 6, 3), 0.5, 5, 7);
    frame = drawn_panel(&drawing, 6, 5);
    double highest = 0;
    for (size_t k = 0; k <= last; k++)
        for (int e = 0; e < 3; e++)
            highest = fmax(highest, moment[k].codes.emitter[e]);
    for (int e = 0; e < 3; e++)
        drawn_check_end(&drawing, frame,
                        drawn_along(moment[last].codes.emitter[e], 0, 1.08 * highest, frame->bottom,
                                    frame->top));
    free(drawing.path);
    mtm_picture_free(picture);
    free_work(&work);
}

/* u', v' by ISO/CIE 11664-5:2016, 4.1. */
static void uv_of(mtm_xyz xyz, double *u, double *v)
{
    double sum = xyz.x + 15 * xyz.y + 3 * xyz.z;

    *u = 4 * xyz.x / sum;
    *v = 9 * xyz.y / sum;
}

/* The enlarged part is a square about the way, 1.25 times its extent: begin and end are in it where
 * that says. */
static void test_way(void **state)
{
    struct work work = run(trial_rig(one, 1), 10, 0.8, "white");
    mtm_picture *picture = draw(&work, 1, NULL);
    struct drawing drawing = drawn_read(picture);
    const mtm_fade_moment *moment = mtm_fade_course_of(work.course, 0);
    size_t count = mtm_fade_course_moments(work.course);
    double low_u = INFINITY, high_u = -INFINITY, low_v = INFINITY, high_v = -INFINITY, u, v;
    const struct drawn *near = NULL;

    (void)state;
    for (size_t k = 0; k < 2 * count; k++) {
        uv_of(k < count ? moment[k].sent : moment[k - count].wanted, &u, &v);
        low_u = fmin(low_u, u);
        high_u = fmax(high_u, u);
        low_v = fmin(low_v, v);
        high_v = fmax(high_v, v);
    }
    double half = 1.25 * fmax(high_u - low_u, high_v - low_v) / 2;
    for (size_t i = 0; i < drawing.count && near == NULL; i++) {
        const struct drawn *path = &drawing.path[i];
        if (drawn_is_frame(path) && path->left > 500 &&
            fabs(path->right - path->left - (path->bottom - path->top)) < 0.1)
            near = path;
    }
    assert_non_null(near);
    double middle_u = (low_u + high_u) / 2, middle_v = (low_v + high_v) / 2;
    for (int end = 0; end < 2; end++) {
        uv_of(moment[end == 0 ? 0 : count - 1].sent, &u, &v);
        double x = drawn_along(u, middle_u - half, middle_u + half, near->left, near->right);
        double y = drawn_along(v, middle_v - half, middle_v + half, near->bottom, near->top);
        CHECK_DRAWN(&drawing, end == 0 ? "begin" : "end",
                    path->filled && fabs(path->right - path->left - 6.8) < 0.5, x, y);
    }
    free(drawing.path);
    mtm_picture_free(picture);
    free_work(&work);
}

/* Units of the same and of other kinds. */
static mtm_rig *many(size_t count, const char *name)
{
    static const char *const fixtures[] = {"three-colour-strip.json", "five-colour-wash.json"};
    struct trial_unit *unit = calloc(count, sizeof *unit);
    char(*names)[200] = calloc(count, sizeof *names);

    assert_true(unit != NULL && names != NULL);
    for (size_t i = 0; i < count; i++) {
        (void)snprintf(names[i], sizeof names[i], "%s%zu", name, i + 1);
        unit[i] =
            (struct trial_unit){.name = names[i], .fixture = fixtures[i % 2], .mode = "16-bit"};
    }
    mtm_rig *rig = trial_rig(unit, count);
    free(unit);
    free(names);
    return rig;
}

static const struct crowd {
    const char *name;
    size_t units;
    const char *unit_name;
    double up_s, width;
    bool dark;
} crowds[] = {
    {"one unit", 1, "u", 2, 0, false},
    {"200 units, 240 px", 200, "u", 2, 240, false},
    {"hostile names", 2, "<&> ]]> \\u202e שלום ", 2, 600, true},
    {"a jump", 3, "u", 0, 0, false},
    {"a long fade", 1, "u", 700, 0, false},
};

static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    struct work work = run(many(crowd->units, crowd->unit_name), crowd->up_s, 0.5, "light");
    const mtm_picture_options options = {.width = crowd->width, .dark = crowd->dark};
    mtm_picture *picture = draw(&work, 1, &options);
    mtm_picture *again = draw(&work, 1, &options);
    struct drawing drawing = drawn_read(picture);
    size_t count = 0, count_again = 0;

    assert_true(drawing.count > 50);
    for (size_t k = 0; k < drawing.count; k++) {
        if (!isfinite(drawing.path[k].left + drawing.path[k].bottom))
            fail_msg("a path is nowhere");
    }
    const void *bytes = mtm_picture_bytes(picture, &count);
    const void *bytes_again = mtm_picture_bytes(again, &count_again);
    assert_int_equal(count, count_again);
    assert_memory_equal(bytes, bytes_again, count);
    assert_true(count < 500000);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_picture_free(again);
    free_work(&work);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + 2];

    ROW_TESTS(tests, crowds, test_crowd);
    tests[COUNT(crowds)] = (struct CMUnitTest)cmocka_unit_test(test_panels);
    tests[COUNT(crowds) + 1] = (struct CMUnitTest)cmocka_unit_test(test_way);
    return cmocka_run_group_tests_name("picture of a fade", tests, NULL, NULL);
}
