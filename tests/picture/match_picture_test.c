/* SPDX-License-Identifier: MIT */
/* The picture of a match: corners, target and units where arithmetic says; one unit and thousands.
 */
#include "support/check.h"
#include "support/drawn.h"
#include "support/trial.h"

#include "picture/match_points.h"

#include <metamer/diagram.h>

/* What a picture is made of. */
struct work {
    mtm_rig *rig;
    mtm_matcher *matcher;
    mtm_target target;
    mtm_match *match;
    size_t count;
};

static struct work match_units(mtm_rig *rig, double x, double y)
{
    struct work work = {.rig = rig, .count = mtm_rig_unit_count(rig)};
    mtm_error error = {""};

    trial_must(mtm_target_from_xy((mtm_xy){x, y}, MTM_OBSERVER_2, &work.target, &error), &error);
    trial_must(mtm_matcher_create(rig, MTM_OBSERVER_2, &work.matcher, &error), &error);
    work.match = calloc(work.count, sizeof *work.match);
    assert_non_null(work.match);
    const mtm_match_request request = {.target = work.target};
    for (size_t i = 0; i < work.count; i++)
        trial_must(mtm_matcher_unit(work.matcher, i, &request, &work.match[i], &error), &error);
    return work;
}

static void free_work(struct work *work)
{
    free(work->match);
    mtm_matcher_free(work->matcher);
    mtm_rig_free(work->rig);
}

static mtm_match_view view_of(const struct work *work)
{
    return (mtm_match_view){.rig = work->rig,
                            .matcher = work->matcher,
                            .target = &work->target,
                            .match = work->match,
                            .count = work->count};
}

static mtm_picture *draw(const mtm_match_view *view, const mtm_picture_options *options)
{
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_match(view, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

/* u', v' by ISO/CIE 11664-5:2016, 4.1; the frame holds what picture.h states. */
static void place(const struct drawn *frame, mtm_xy xy, double *px, double *py)
{
    double sum = -2 * xy.x + 12 * xy.y + 3;

    *px = drawn_along(4 * xy.x / sum, -0.09, 0.68, frame->left, frame->right);
    *py = drawn_along(9 * xy.y / sum, -0.03, 0.65, frame->bottom, frame->top);
}

/* Px from a place to the nearest corner of a closed line of this many corners. */
static double nearest_corner(const struct drawing *drawing, int corners, double x, double y)
{
    double nearest = INFINITY;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (path->filled || path->points != corners + 1 || path->first_x != path->last_x)
            continue;
        for (int k = 0; k < corners; k++)
            nearest = fmin(nearest, hypot(path->x[k] - x, path->y[k] - y));
    }
    return nearest;
}

static const struct trial_unit three[] = {{"one", "three-colour-wash.json", "8-bit"},
                                          {"two", "three-colour-wash.json", "8-bit"}};

static void test_places(void **state)
{
    struct work work = match_units(trial_rig(three, COUNT(three)), 0.25, 0.30);
    mtm_match_view view = view_of(&work);
    mtm_picture *picture = draw(&view, NULL);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = drawn_frame(&drawing);
    const mtm_fixture *fixture = mtm_rig_unit(work.rig, 0)->fixture;
    double x, y;

    (void)state;
    place(frame, (mtm_xy){0.25, 0.30}, &x, &y);
    CHECK_DRAWN(&drawing, "target", !path->filled && path->points == 16, x, y);
    assert_int_equal(mtm_fixture_emitter_count(fixture), 3);
    for (size_t i = 0; i < 3; i++) {
        mtm_xyz xyz = mtm_fixture_emitter(fixture, i)->xyz[MTM_OBSERVER_2];
        double sum = xyz.x + xyz.y + xyz.z;
        place(frame, (mtm_xy){xyz.x / sum, xyz.y / sum}, &x, &y);
        double away = nearest_corner(&drawing, 3, x, y);
        if (!(away <= 0.5))
            fail_msg("emitter %zu: the nearest corner is %.2f px away", i, away);
    }
    /* the dot of both: their xy is that of their codes */
    place(frame, work.match[0].xy, &x, &y);
    CHECK_DRAWN(&drawing, "dot", path->filled && fabs(path->right - path->left - 6.8) < 0.5, x, y);
    free(drawing.path);
    mtm_picture_free(picture);
    free_work(&work);
}

/* A colour that no unit reaches: each has a line from its dot to the target. */
static void test_miss(void **state)
{
    struct work work = match_units(trial_rig(three, COUNT(three)), 0.05, 0.60);
    const char *const reasons[2] = {"outside its <gamut>", "outside its <gamut>"};
    mtm_match_view view = view_of(&work);
    double x0, y0, x1, y1, nearest = INFINITY;

    (void)state;
    view.reason = reasons;
    view.tolerance_uv = 0.003;
    mtm_picture *picture = draw(&view, NULL);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = drawn_frame(&drawing);
    place(frame, work.match[0].xy, &x0, &y0);
    place(frame, work.target.xy, &x1, &y1);
    for (size_t i = 0; i < drawing.count; i++) {
        const struct drawn *path = &drawing.path[i];
        if (path->points == 2 && !path->filled)
            nearest = fmin(nearest, hypot(path->first_x - x0, path->first_y - y0) +
                                        hypot(path->last_x - x1, path->last_y - y1));
    }
    if (!(nearest <= 1))
        fail_msg("the nearest line is %.2f px away", nearest);
    free(drawing.path);
    mtm_picture_free(picture);
    free_work(&work);
}

/* A rig of many units, no two of which are alike: each has a fixture of its own. */
static mtm_rig *varied_rig(size_t units, bool one_name)
{
    mtm_rig *rig = NULL;
    mtm_fixture *base = NULL;
    mtm_error error = {""};

    trial_must(mtm_rig_create("many", &rig, &error), &error);
    char *path = malloc(strlen(getenv("METAMER_PROFILES")) + 64);
    assert_non_null(path);
    (void)sprintf(path, "%s/three-colour-wash.json", getenv("METAMER_PROFILES"));
    trial_must(mtm_fixture_load(path, &base, &error), &error);
    free(path);
    for (size_t i = 0; i < units; i++) {
        char name[32], fixture_name[32];
        mtm_emitter emitter[3];
        mtm_fixture *own = NULL;
        (void)snprintf(name, sizeof name, "unit-%zu", i + 1);
        (void)snprintf(fixture_name, sizeof fixture_name, "kind %zu", one_name ? 0 : i);
        for (size_t k = 0; k < 3; k++) {
            emitter[k] = *mtm_fixture_emitter(base, k);
            emitter[k].spectrum = NULL;
            emitter[k].ideal_line = false;
            emitter[k].xyz[0].x *= 1 + 0.03 * sin((double)(7 * i + k));
            emitter[k].xyz[1] = (mtm_xyz){0, 0, 0};
        }
        trial_must(mtm_fixture_create(fixture_name, emitter, 3, mtm_fixture_mode(base, 0), 1,
                                      INFINITY, 0, NULL, &own, &error),
                   &error);
        trial_must(mtm_rig_add_fixture(rig, own, &error), &error);
        const mtm_unit unit = {.name = name,
                               .fixture_file = "x",
                               .fixture = own,
                               .mode = mtm_fixture_mode(own, 0),
                               .supply = -1,
                               .follows = -1};
        trial_must(mtm_rig_add_unit(rig, &unit, &error), &error);
    }
    mtm_fixture_free(base);
    return rig;
}

static const struct crowd {
    const char *name;
    size_t units;
    bool one_name;
    double width;
} crowds[] = {
    {"one unit", 1, true, 0},
    {"200 units of one kind", 200, true, 0},
    {"200 kinds", 200, false, 600},
    {"2000 units of one kind, 240 px", 2000, true, 240},
};

static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    struct work work = match_units(varied_rig(crowd->units, crowd->one_name), 0.05, 0.60);
    const mtm_picture_options options = {.width = crowd->width};
    mtm_match_view view = view_of(&work);
    mtm_picture *picture = draw(&view, &options);
    mtm_picture *again = draw(&view, &options);
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
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_picture_free(again);
    free_work(&work);
}

/* Dots in a row, 3 px apart: each is named by a label that is near it, and none is left out. */
static void test_owners(void **state)
{
    enum { DOTS = 7 };
    mtm_match match[DOTS] = {{0}};
    mtmi_view_group group[DOTS] = {{0}};
    size_t owner[DOTS];
    const mtmi_plane plane = {.diagram = MTM_DIAGRAM_XY,
                              .plot = {.x = {0, 1, 0, 1000, false}, .y = {0, 1, 1000, 0, false}}};
    const mtmi_view view = {.group = group, .group_count = DOTS};

    (void)state;
    for (size_t i = 0; i < DOTS; i++) {
        match[i].xy = (mtm_xy){0.3 + 0.003 * (double)i, 0.3};
        group[i] = (mtmi_view_group){.match = &match[i], .reason = "", .lit = true};
    }
    mtmi_points_own(&plane, &view, owner);
    for (size_t i = 0; i < DOTS; i++) {
        assert_int_equal(owner[owner[i]], owner[i]);
        if (!(fabs(match[i].xy.x - match[owner[i]].xy.x) * 1000 < MTMI_DOT_REACH))
            fail_msg("dot %zu is named by that of %zu", i, owner[i]);
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + 3];

    ROW_TESTS(tests, crowds, test_crowd);
    tests[COUNT(crowds)] = (struct CMUnitTest)cmocka_unit_test(test_places);
    tests[COUNT(crowds) + 1] = (struct CMUnitTest)cmocka_unit_test(test_miss);
    tests[COUNT(crowds) + 2] = (struct CMUnitTest)cmocka_unit_test(test_owners);
    return cmocka_run_group_tests_name("picture of a match", tests, NULL, NULL);
}
