/* SPDX-License-Identifier: MIT */
/* The picture of a layout: slots where arithmetic says; no rig too small or too large. */
#include "support/check.h"
#include "support/drawn_words.h"
#include "support/trial.h"

#include <metamer/layout_picture.h>

static mtm_picture *draw(const mtm_layout_view *view, const mtm_picture_options *options)
{
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_layout(view, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

/* Units of one kind, all open; supplies of this many ports, none where 0. */
static mtm_rig *rig_of(size_t units, size_t supplies, const char *name)
{
    mtm_rig *rig = NULL;
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};
    char text[4200], path[1024];

    trial_must(mtm_rig_create("trial", &rig, &error), &error);
    (void)snprintf(path, sizeof path, "%s/three-colour-wash.json", getenv("METAMER_PROFILES"));
    trial_must(mtm_fixture_load(path, &fixture, &error), &error);
    trial_must(mtm_rig_add_fixture(rig, fixture, &error), &error);
    for (size_t i = 0; i < supplies; i++) {
        (void)snprintf(text, sizeof text, "%s%zu", name, i);
        const mtm_supply supply = {
            .name = text, .ports = 12, .port_w = 1000, .total_w = 8000, .circuit = -1};
        trial_must(mtm_rig_add_supply(rig, &supply, &error), &error);
    }
    for (size_t i = 0; i < units; i++) {
        (void)snprintf(text, sizeof text, "%s%zu", name, i);
        const mtm_unit unit = {.name = text,
                               .fixture_file = "x",
                               .fixture = fixture,
                               .mode = mtm_fixture_mode(fixture, 0),
                               .supply = -1,
                               .follows = -1};
        trial_must(mtm_rig_add_unit(rig, &unit, &error), &error);
    }
    return rig;
}

/* Fails unless a filled box covers these slots (from 0) of a row of 32, in a grid of 16 rows. */
static void check_slots(const struct drawing *drawing, int row, int from, int to)
{
    const struct drawn *grid = drawn_frame(drawing);
    double left = drawn_along(from, 0, 32, grid->left, grid->right);
    double right = drawn_along(to, 0, 32, grid->left, grid->right);
    double top = drawn_along(row, 0, 16, grid->top, grid->bottom);
    double bottom = drawn_along(row + 1, 0, 16, grid->top, grid->bottom);
    double nearest = INFINITY;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (path->filled && path->points == 5)
            nearest = fmin(nearest, fabs(path->left - left) + fabs(path->right - right) +
                                        fabs(path->top - top) + fabs(path->bottom - bottom));
    }
    if (!(nearest <= 0.5))
        fail_msg("slots %d to %d of row %d: the nearest box is %.2f px away", from, to, row,
                 nearest);
}

/* Address 33 begins the second row; what begins on 62 goes on in the third. */
static void test_slots(void **state)
{
    mtm_rig *rig = rig_of(3, 1, "unit ");
    const int slots = (int)mtm_rig_unit(rig, 0)->mode->slot_count;
    const mtm_place place[] = {{1, 1, 0, 1}, {1, 33, 0, 1}, {1, 62, 0, 12}};
    const mtm_place was[] = {{1, 1, 0, 1}, {2, 33, 0, 1}, {1, 62, 0, 2}};
    const mtm_layout_view view = {rig, place, was};
    mtm_picture *picture = draw(&view, NULL);
    struct drawing drawing = drawn_read(picture);

    (void)state;
    assert_in_range(slots, 4, 30);
    check_slots(&drawing, 0, 0, slots);
    check_slots(&drawing, 1, 0, slots);
    check_slots(&drawing, 1, 29, 32);
    check_slots(&drawing, 2, 0, slots - 3);
    assert_true(drawn_check_words(picture, 1000) > 8);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_rig_free(rig);
}

static char long_name[4001];

static const struct crowd {
    const char *name;
    size_t units, supplies;
    double width, height;
    const char *unit;
} crowds[] = {
    {"one unit, no supply", 1, 0, 0, 0, "unit "},
    {"40 units at 600 px", 40, 4, 600, 0, "unit "},
    {"200 units", 200, 10, 0, 0, "unit "},
    {"2000 units", 2000, 60, 0, 0, "unit "},
    {"10 000 units", 10000, 300, 0, 0, "unit "},
    {"the smallest page", 300, 20, 240, 240, "unit "},
    {"hostile names", 30, 3, 600, 0, "<&\"\n\u202e\u05e9\u05dc\u05d5\u05dd "},
    {"4000 letters", 30, 3, 0, 0, long_name},
};

static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    mtm_rig *rig = rig_of(crowd->units, crowd->supplies, crowd->unit);
    mtm_place *place = calloc(crowd->units, sizeof *place);
    mtm_place *was = calloc(crowd->units, sizeof *was);
    mtm_layout_report report;
    mtm_error error = {""};
    size_t count = 0, count_again = 0;

    assert_non_null(place);
    assert_non_null(was);
    mtm_layout_places(rig, was);
    mtm_layout_places(rig, place);
    trial_must(mtm_layout_fill(rig, NULL, place, &report, &error), &error);
    const mtm_layout_view view = {rig, place, was};
    const mtm_picture_options options = {.width = crowd->width, .height = crowd->height};
    mtm_picture *picture = draw(&view, &options);
    mtm_picture *again = draw(&view, &options);
    const void *bytes = mtm_picture_bytes(picture, &count);
    const void *bytes_again = mtm_picture_bytes(again, &count_again);
    assert_int_equal(count, count_again);
    assert_memory_equal(bytes, bytes_again, count);
    assert_true(count < 4000000);
    assert_true(drawn_check_words(picture, crowd->width > 0 ? crowd->width : 1000) > 3);
    mtm_picture_free(picture);
    mtm_picture_free(again);
    free(place);
    free(was);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + 1];

    memset(long_name, 'x', sizeof long_name - 1);
    ROW_TESTS(tests, crowds, test_crowd);
    tests[COUNT(crowds)] = (struct CMUnitTest)cmocka_unit_test(test_slots);
    return cmocka_run_group_tests_name("picture of a layout", tests, NULL, NULL);
}
