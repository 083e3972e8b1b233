/* SPDX-License-Identifier: MIT */
/* The pictures of a trim and of how units moved: places and the meter's ellipse where arithmetic
 * says; crowds. */
#include "support/check.h"
#include "support/drawn_words.h"
#include "support/trial.h"

#include <metamer/tolerance.h>
#include <metamer/trim_picture.h>

static mtm_picture *must(mtm_result result, mtm_picture *picture, const mtm_error *error)
{
    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error->text);
        skip();
    }
    trial_must(result, error);
    return picture;
}

/* u', v' of ISO/CIE 11664-5:2016, 4.1. */
static void to_uv(double x, double y, double *u, double *v)
{
    double sum = -2 * x + 12 * y + 3;

    *u = 4 * x / sum;
    *v = 9 * y / sum;
}

/* The leftmost square that is stroked: a plane. */
static const struct drawn *plane_of(const struct drawing *drawing)
{
    const struct drawn *first = NULL;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        double width = path->right - path->left, height = path->bottom - path->top;
        if (!path->filled && path->points == 5 && width > 150 && fabs(width - height) < 1 &&
            (first == NULL || path->left < first->left))
            first = path;
    }
    assert_non_null(first);
    return first;
}

/* Half the side of the neighbourhood: 15 % beyond what is farthest from its middle. */
static double half_of(double farthest)
{
    return 1.15 * farthest;
}

static mtm_rig *rig_of(size_t units, const char *name)
{
    mtm_rig *rig = NULL;
    mtm_fixture *fixture = NULL;
    mtm_error error = {""};
    char text[4200], path[1024];

    trial_must(mtm_rig_create("trial", &rig, &error), &error);
    (void)snprintf(path, sizeof path, "%s/three-colour-wash.json", getenv("METAMER_PROFILES"));
    trial_must(mtm_fixture_load(path, &fixture, &error), &error);
    trial_must(mtm_rig_add_fixture(rig, fixture, &error), &error);
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

/* One unit that moved from u' + 0.004 to v' - 0.003 of its target: the hollow and the filled mark,
 * and the target. */
static void test_moved(void **state)
{
    const mtm_xy white = {0.3818, 0.3797};
    const double half = half_of(0.004);
    mtm_rig *rig = rig_of(1, "unit ");
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    double u = 0, v = 0;

    (void)state;
    to_uv(white.x, white.y, &u, &v);
    const mtm_moved moved = {.delta_uv = 0.005,
                             .old_uv = {u + 0.004, v},
                             .new_uv = {u, v - 0.003},
                             .old_most = 1000,
                             .new_most = 900};
    const mtm_moved_view view = {.rig = rig,
                                 .moved = &moved,
                                 .count = 1,
                                 .target = white,
                                 .old_output = 1000,
                                 .new_output = 900};
    mtm_result result = mtm_picture_of_moved(&view, NULL, &picture, &error);
    picture = must(result, picture, &error);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = plane_of(&drawing);
    double middle_x = drawn_along(u, u - half, u + half, frame->left, frame->right);
    double middle_y = drawn_along(v, v - half, v + half, frame->bottom, frame->top);
    double pixel = (frame->right - frame->left) / (2 * half);
    CHECK_DRAWN(&drawing, "target", !path->filled && path->points == 16, middle_x, middle_y);
    CHECK_DRAWN(&drawing, "then", fabs(path->line - 1.25) < 0.01 && path->right - path->left < 9,
                middle_x + 0.004 * pixel, middle_y);
    CHECK_DRAWN(&drawing, "now", path->filled && path->right - path->left < 9, middle_x,
                middle_y + 0.003 * pixel);
    assert_true(drawn_check_words(picture, 1000) > 8);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_rig_free(rig);
}

/* A trim of the hall's readings, whose meter states x, y +-0.0020 (k = 2). */
struct trimmed {
    mtm_rig *rig;
    mtm_readings *readings;
    mtm_calibration *calibration;
    mtm_trim *trim;
};

static struct trimmed trim_hall(mtm_xy white)
{
    struct trimmed made = {.rig = NULL};
    mtm_error error = {""};
    char path[1024];

    (void)snprintf(path, sizeof path, "%s/examples/hall.json", getenv("METAMER_SOURCE"));
    trial_must(mtm_rig_load(path, &made.rig, &error), &error);
    (void)snprintf(path, sizeof path, "%s/examples/hall-readings.csv", getenv("METAMER_SOURCE"));
    trial_must(mtm_readings_load(path, made.rig, &made.readings, &error), &error);
    trial_must(mtm_calibration_fit(made.readings, made.rig, NULL, &made.calibration, &error),
               &error);
    const mtm_trim_request request = {.target = white, .steps = 3};
    trial_must(mtm_trim_run(made.calibration, made.rig, NULL, mtm_readings_meter(made.readings),
                            &request, &made.trim, &error),
               &error);
    return made;
}

static void free_trimmed(struct trimmed *made)
{
    mtm_trim_free(made->trim);
    mtm_calibration_free(made->calibration);
    mtm_readings_free(made->readings);
    mtm_rig_free(made->rig);
}

/* Half the width and height of the ellipse: what 0.0020 in x and in y, independent of each other,
 * come to in u' and in v' (JCGM 100:2008, 5.1.2), by differences. */
static void ellipse_of(mtm_xy white, double size, double *wide, double *high)
{
    const double apart = 1e-6;
    double u0, v0, ux, vx, uy, vy;

    to_uv(white.x, white.y, &u0, &v0);
    to_uv(white.x + apart, white.y, &ux, &vx);
    to_uv(white.x, white.y + apart, &uy, &vy);
    *wide = size * hypot((ux - u0) / apart, (uy - u0) / apart);
    *high = size * hypot((vx - v0) / apart, (vy - v0) / apart);
}

static void test_trim(void **state)
{
    const mtm_xy white = {0.4369, 0.4041}; /* near 3000 K */
    struct trimmed made = trim_hall(white);
    const mtm_meter *meter = mtm_readings_meter(made.readings);
    const mtm_trim *const trims[] = {made.trim};
    const mtm_trim_view view = {made.rig, trims, 1, meter, NULL};
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    double u = 0, v = 0, wide, high, farthest = 0;

    (void)state;
    assert_true(fabs(meter->xy - 0.0020) < 1e-12);
    to_uv(white.x, white.y, &u, &v);
    for (size_t i = 0; i < mtm_trim_count(made.trim); i++) {
        mtm_xyz xyz = mtm_trim_at(made.trim, i)->before.xyz;
        double sum = xyz.x + xyz.y + xyz.z, bu, bv;
        to_uv(xyz.x / sum, xyz.y / sum, &bu, &bv);
        farthest = fmax(farthest, fmax(fabs(bu - u), fabs(bv - v)));
    }
    mtm_result result = mtm_picture_of_trim(&view, NULL, &picture, &error);
    picture = must(result, picture, &error);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *first = plane_of(&drawing);
    double pixel = (first->right - first->left) / (2 * half_of(farthest));
    double middle_x = (first->left + first->right) / 2, middle_y = (first->top + first->bottom) / 2;
    ellipse_of(white, 0.0020, &wide, &high);
    CHECK_DRAWN(&drawing, "ellipse",
                path->points > 70 && fabs(path->right - path->left - 2 * wide * pixel) < 0.5 &&
                    fabs(path->bottom - path->top - 2 * high * pixel) < 0.5,
                middle_x, middle_y);
    CHECK_DRAWN(&drawing, "tolerance",
                path->points > 70 &&
                    fabs(path->right - path->left - 2 * 3 * MTM_STEP_UV * pixel) < 0.5,
                middle_x, middle_y);
    assert_true(drawn_check_words(picture, 1000) > 20);
    free(drawing.path);
    mtm_picture_free(picture);
    free_trimmed(&made);
}

static char long_name[4001];

static const struct crowd {
    const char *name;
    size_t units;
    double width, height, spread;
    const char *unit;
} crowds[] = {
    {"one unit that stayed", 1, 0, 0, 0, "unit "},
    {"12 units at 600 px", 12, 600, 0, 0.004, "unit "},
    {"200 units", 200, 0, 0, 0.004, "unit "},
    {"10 000 units", 10000, 0, 0, 0.02, "unit "},
    {"the smallest page", 30, 240, 240, 0.004, "unit "},
    {"hostile names", 30, 600, 0, 0.004, "<&\"\n\u202e\u05e9\u05dc\u05d5\u05dd "},
    {"4000 letters", 30, 0, 0, 0.004, long_name},
};

static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    mtm_rig *rig = rig_of(crowd->units, crowd->unit);
    mtm_moved *moved = calloc(crowd->units, sizeof *moved);
    const mtm_meter meter = {.name = "m<1>", .xy = 0.002};
    mtm_picture *picture[2] = {NULL, NULL};
    mtm_error error = {""};
    double u = 0, v = 0;

    assert_non_null(moved);
    to_uv(0.3818, 0.3797, &u, &v);
    for (size_t i = 0; i < crowd->units; i++) {
        double angle = 2.4 * (double)i, away = crowd->spread * (double)(i % 89) / 89;
        moved[i] = (mtm_moved){.unit = i,
                               .delta_uv = away,
                               .old_uv = {u, v},
                               .new_uv = {u + away * cos(angle), v + away * sin(angle)},
                               .old_most = 1000,
                               .new_most = 900 + (double)(i % 83)};
    }
    const mtm_moved_view view = {.rig = rig,
                                 .moved = moved,
                                 .count = crowd->units,
                                 .target = {0.3818, 0.3797},
                                 .tolerance_uv = 0.0033,
                                 .old_output = 1000,
                                 .new_output = 900,
                                 .meter = &meter};
    const mtm_picture_options options = {.width = crowd->width, .height = crowd->height};
    size_t count[2] = {0, 0};
    const void *bytes[2];
    for (int i = 0; i < 2; i++) {
        mtm_result result = mtm_picture_of_moved(&view, &options, &picture[i], &error);
        picture[i] = must(result, picture[i], &error);
        bytes[i] = mtm_picture_bytes(picture[i], &count[i]);
    }
    assert_int_equal(count[0], count[1]);
    assert_memory_equal(bytes[0], bytes[1], count[0]);
    assert_true(drawn_check_words(picture[0], crowd->width > 0 ? crowd->width : 1000) > 8);
    mtm_picture_free(picture[0]);
    mtm_picture_free(picture[1]);
    free(moved);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + 2];

    memset(long_name, 'x', sizeof long_name - 1);
    ROW_TESTS(tests, crowds, test_crowd);
    tests[COUNT(crowds)] = (struct CMUnitTest)cmocka_unit_test(test_moved);
    tests[COUNT(crowds) + 1] = (struct CMUnitTest)cmocka_unit_test(test_trim);
    return cmocka_run_group_tests_name("picture of a trim", tests, NULL, NULL);
}
