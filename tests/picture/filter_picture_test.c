/* SPDX-License-Identifier: MIT */
/* The picture of filters: the light and what is behind each filter where arithmetic says, and
 * curves from end to end. */
#include "support/check.h"
#include "support/drawn.h"
#include "support/trial.h"

#include <metamer/filter_picture.h>

/* Filters that let pass either end of the spectrum: far apart, so that the whole diagram is drawn.
 */
static mtm_filter step_filter(const char *name, double low, double high)
{
    mtm_filter filter = {.computed = false};

    (void)snprintf(filter.name, sizeof filter.name, "%s", name);
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        filter.transmittance.value[i] = i + MTM_SPECTRUM_FIRST_NM < 560 ? low : high;
    return filter;
}

/* u', v' by ISO/CIE 11664-5:2016, 4.1; the frame holds what picture.h states. */
static void place(const struct drawn *frame, mtm_xyz xyz, double *px, double *py)
{
    double sum = xyz.x + 15 * xyz.y + 3 * xyz.z;

    *px = drawn_along(4 * xyz.x / sum, -0.09, 0.68, frame->left, frame->right);
    *py = drawn_along(9 * xyz.y / sum, -0.03, 0.65, frame->bottom, frame->top);
}

/* A curve's ends lie on the sides of its frame, at its values of 380 and 780 nm in per cent. */
static void check_curve(const struct drawing *drawing, double low, double high)
{
    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *curve = &drawing->path[i];
        if (curve->filled || curve->points < 4) /* those between two alike are left out */
            continue;
        for (size_t k = 0; k < drawing->count; k++) {
            const struct drawn *frame = &drawing->path[k];
            if (frame->filled || frame->points != 5 || fabs(frame->left - curve->first_x) > 0.5 ||
                fabs(frame->right - curve->last_x) > 0.5)
                continue;
            if (fabs(drawn_along(low, 0, 1, frame->bottom, frame->top) - curve->first_y) <= 0.5 &&
                fabs(drawn_along(high, 0, 1, frame->bottom, frame->top) - curve->last_y) <= 0.5)
                return;
        }
    }
    fail_msg("no curve from %g to %g was found", low, high);
}

static void test_places(void **state)
{
    const mtm_filter filter[2] = {step_filter("cool <&>", 0.8, 0.01),
                                  step_filter("warm", 0.02, 0.9)};
    mtm_shown_filter shown[2] = {{.filter = &filter[0]}, {.filter = &filter[1]}};
    mtm_light light;
    mtm_error error = {""};
    mtm_picture *picture = NULL;
    double x, y;

    (void)state;
    trial_must(mtm_light_from_text("5600", &light, &error), &error);
    for (size_t i = 0; i < 2; i++)
        trial_must(
            mtm_filter_over(&filter[i], &light.spectrum, MTM_OBSERVER_2, &shown[i].made, &error),
            &error);
    const mtm_filter_view view = {.light = &light, .filter = shown, .count = 2};
    mtm_result result = mtm_picture_of_filters(&view, NULL, &picture, &error);
    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = drawn_frame(&drawing);
    for (size_t i = 0; i < 2; i++) {
        place(frame, shown[i].made.xyz, &x, &y);
        CHECK_DRAWN(&drawing, filter[i].name,
                    path->filled && path->bottom - path->top > 5 && path->bottom - path->top < 12,
                    x, y);
    }
    place(frame, shown[0].made.light_xyz, &x, &y);
    CHECK_DRAWN(&drawing, "light", fabs(path->right - path->left - 6.8) < 0.5, x, y);
    check_curve(&drawing, 0.8, 0.01);
    check_curve(&drawing, 0.02, 0.9);
    free(drawing.path);
    mtm_picture_free(picture);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_places)};

    return cmocka_run_group_tests_name("picture of filters", tests, NULL, NULL);
}
