/* SPDX-License-Identifier: MIT */
/* The picture of a fixture: corners, whites, spectra and curves where arithmetic says; all
 * profiles. */
#include "support/check.h"
#include "support/drawn.h"
#include "support/trial.h"

#include <metamer/fixture_picture.h>

static mtm_fixture *load(const char *name)
{
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};
    char path[512];

    (void)snprintf(path, sizeof path, "%s/%s", getenv("METAMER_PROFILES"), name);
    trial_must(mtm_fixture_load(path, &fixture, &error), &error);
    return fixture;
}

static mtm_picture *draw(const mtm_fixture *fixture, const mtm_picture_options *options)
{
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_fixture(fixture, MTM_OBSERVER_2, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

/* The frame of a plot whose top left lies in a quarter of the page: left or right, upper or lower;
 * of several the last from the left, or the first. */
static const struct drawn *frame_in(const struct drawing *drawing, bool right, bool lower,
                                    bool last)
{
    const struct drawn *found = NULL;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (path->filled || path->points != 5 || path->first_x != path->last_x ||
            path->right - path->left < 60 || path->bottom - path->top < 60)
            continue;
        if ((path->left > 490) != right || (path->top > 460) != lower)
            continue;
        if (found == NULL || (path->left > found->left) == last)
            found = path;
    }
    assert_non_null(found);
    return found;
}

/* Ends of a line that is stroked and goes from one place to another. */
static void check_line(const struct drawing *drawing, const char *what, double x0, double y0,
                       double x1, double y1)
{
    double nearest = INFINITY;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (!path->filled)
            nearest = fmin(nearest, fmax(hypot(path->first_x - x0, path->first_y - y0),
                                         hypot(path->last_x - x1, path->last_y - y1)));
    }
    if (!(nearest <= 0.5))
        fail_msg("%s: the nearest line is %.2f px away", what, nearest);
}

/* A dimmer of 8 bits, linear, and one emitter of 16 bits, square (curve.h): at code 1 1/255 and
 * 1/65535 squared of the light. u', v' by ISO/CIE 11664-5:2016, 4.1. */
static void test_places(void **state)
{
    mtm_fixture *fixture = load("plain-white.json");
    mtm_picture *picture = draw(fixture, NULL);
    struct drawing drawing = drawn_read(picture);
    mtm_xyz xyz = mtm_fixture_emitter(fixture, 0)->xyz[MTM_OBSERVER_2];
    const struct drawn *plane = frame_in(&drawing, false, false, false);
    const struct drawn *steps = frame_in(&drawing, true, true, true);
    const struct drawn *straight = frame_in(&drawing, true, true, false);
    double sum = xyz.x + 15 * xyz.y + 3 * xyz.z;

    (void)state;
    double x = drawn_along(4 * xyz.x / sum, -0.09, 0.68, plane->left, plane->right);
    double y = drawn_along(9 * xyz.y / sum, -0.03, 0.65, plane->bottom, plane->top);
    CHECK_DRAWN(&drawing, "emitter", path->filled && fabs(path->right - path->left - 6.8) < 0.5, x,
                y);
    /* codes from 0.7 to 65536, light from half of 1e-10 to 1.5, by their logarithms */
    static const double first[2][2] = {{1, 1.0 / 255}, {1, 1.0 / 65535 / 65535}};
    for (size_t i = 0; i < 2; i++) {
        x = drawn_along(log(first[i][0]), log(0.7), log(65536), steps->left, steps->right);
        y = drawn_along(log(first[i][1]), log(0.5e-10), log(1.5), steps->bottom, steps->top);
        CHECK_DRAWN(&drawing, "first code",
                    path->filled && fabs(path->right - path->left - 6.8) < 0.5, x, y);
    }
    check_line(&drawing, "linear", straight->left, straight->bottom, straight->right,
               straight->top);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_fixture_free(fixture);
}

/* Two emitters: their whites are a line between theirs; mired from 667 to 50, Duv ±0.02. */
static void test_whites(void **state)
{
    mtm_fixture *fixture = load("tunable-white.json");
    mtm_picture *picture = draw(fixture, NULL);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = frame_in(&drawing, true, false, false);

    (void)state;
    for (size_t k = 0; k < 2; k++) {
        mtm_xyz xyz = mtm_fixture_emitter(fixture, k)->xyz[MTM_OBSERVER_2];
        mtm_white white;
        mtm_error error = {""};
        trial_must(mtm_white_from_xy(mtm_xy_from_xyz(xyz), &white, &error), &error);
        double x = drawn_along(1e6 / white.cct_k, 667, 50, frame->left, frame->right);
        double y = drawn_along(white.duv, -0.02, 0.02, frame->bottom, frame->top);
        CHECK_DRAWN(&drawing, "end", path->filled && fabs(path->right - path->left - 6.8) < 0.5, x,
                    y);
    }
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_fixture_free(fixture);
}

static const struct profile {
    const char *name;
    double width, height;
} profiles[] = {
    {"ember-downlight.json", 0, 0},    {"five-colour-batten.json", 600, 0},
    {"five-colour-spot.json", 0, 240}, {"five-colour-wash.json", 240, 0},
    {"plain-white.json", 240, 2000},   {"studio-panel.json", 0, 0},
    {"three-colour-strip.json", 0, 0}, {"three-colour-wash.json", 0, 0},
    {"tunable-white.json", 0, 0},      {"tungsten-spot.json", 0, 0},
};

static void test_profile(void **state)
{
    const struct profile *profile = *state;
    const mtm_picture_options options = {.width = profile->width, .height = profile->height};
    mtm_fixture *fixture = load(profile->name);
    mtm_picture *picture = draw(fixture, &options), *again = draw(fixture, &options);
    struct drawing drawing = drawn_read(picture);
    size_t count = 0, count_again = 0;

    assert_true(drawing.count > 50);
    for (size_t i = 0; i < drawing.count; i++)
        assert_true(isfinite(drawing.path[i].left + drawing.path[i].bottom));
    const void *bytes = mtm_picture_bytes(picture, &count);
    const void *bytes_again = mtm_picture_bytes(again, &count_again);
    assert_int_equal(count, count_again);
    assert_memory_equal(bytes, bytes_again, count);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_picture_free(again);
    mtm_fixture_free(fixture);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(profiles) + 2];

    ROW_TESTS(tests, profiles, test_profile);
    tests[COUNT(profiles)] = (struct CMUnitTest)cmocka_unit_test(test_places);
    tests[COUNT(profiles) + 1] = (struct CMUnitTest)cmocka_unit_test(test_whites);
    return cmocka_run_group_tests_name("picture of a fixture", tests, NULL, NULL);
}
