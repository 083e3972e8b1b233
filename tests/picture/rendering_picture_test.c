/* SPDX-License-Identifier: MIT */
/* The picture of how lights render: spectra, shifts and bars where arithmetic says; one light and
 * thousands. */
#include "support/check.h"
#include "support/drawn.h"
#include "support/trial.h"

#include <metamer/illuminant.h>
#include <metamer/rendering_picture.h>

#define PI 3.14159265358979323846

static mtm_picture *draw(const mtm_light_view *light, size_t count,
                         const mtm_picture_options *options)
{
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_rendering(light, count, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

/* Indices that no light has, but that are easily found again. */
static mtm_quality plain_quality(void)
{
    mtm_quality q = {.white = {3000, 0.001}, .cri = {.ra = 60}, .fidelity = {.rf = 70, .rg = 95}};

    for (int i = 0; i < MTM_TCS_COUNT; i++)
        q.cri.r[i] = 90 - 10 * i; /* to -40, so that the axis goes to -50 */
    for (int i = 0; i < MTM_HUE_BINS; i++) {
        q.fidelity.bin_rf[i] = 20 + 4 * i;
        q.fidelity.chroma_shift[i] = 2.0 * i - 16; /* to +14 %, so that the rings go to +20 % */
        q.fidelity.hue_shift[i] = 0.02 * i - 0.1;
        q.fidelity.bin_count[i] = 6;
    }
    return q;
}

/* A stroked frame of a plot, the number of them counted from the left. */
static const struct drawn *frame_at(const struct drawing *drawing, int number)
{
    const struct drawn *found[8] = {NULL};
    int count = 0;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (path->filled || path->points != 5 || path->first_x != path->last_x ||
            path->right - path->left < 40)
            continue;
        assert_true(count < 8);
        int at = count++;
        for (; at > 0 && found[at - 1]->left > path->left; at--)
            found[at] = found[at - 1];
        found[at] = path;
    }
    assert_true(number < count);
    return found[number];
}

/* The largest circle with the line of the reference's chroma, 1.25 px; the rings are thinner. */
static const struct drawn *ring(const struct drawing *drawing)
{
    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (!path->filled && path->line == 1.25 && path->points > 8 &&
            fabs(path->right - path->left - path->bottom + path->top) < 0.1)
            return path;
    }
    fail_msg("there is no circle of the reference");
    return NULL;
}

/* Shifts about the circle, as CIE 224:2017 counts hue: from a', against the clock; bins of 22.5°.
 * Bars from 0 up or down. */
static void test_indices(void **state)
{
    const mtm_quality quality = plain_quality();
    mtm_spectrum equal;
    mtm_error error = {""};
    double x, y;

    (void)state;
    trial_must(mtm_spectrum_illuminant("E", &equal, &error), &error);
    const mtm_light_view light = {.name = "one", .spectrum = &equal, .quality = &quality};
    mtm_picture *picture = draw(&light, 1, NULL);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *circle = ring(&drawing);
    const struct drawn *bins = frame_at(&drawing, 1), *samples = frame_at(&drawing, 2);
    double unit = (circle->right - circle->left) / 2;
    for (int i = 0; i < MTM_HUE_BINS; i++) {
        double hue = (i + 0.5) * PI / 8 + 0.02 * i - 0.1, chroma = 1 + (2.0 * i - 16) / 100;
        x = (circle->left + circle->right) / 2 + unit * chroma * cos(hue);
        y = (circle->top + circle->bottom) / 2 - unit * chroma * sin(hue);
        CHECK_DRAWN(&drawing, "shift",
                    path->filled && path->right - path->left > 4 && path->right - path->left < 7, x,
                    y);
        x = drawn_along(i + 1, 0.5, 16.5, bins->left, bins->right);
        y = drawn_along((20 + 4.0 * i) / 2, 0, 100, bins->bottom, bins->top);
        CHECK_DRAWN(&drawing, "bar of a bin", path->filled && path->points == 5, x, y);
    }
    for (int i = 0; i < MTM_TCS_COUNT; i++) {
        x = drawn_along(i + 1, 0.5, 14.5, samples->left, samples->right);
        y = drawn_along((90 - 10.0 * i) / 2, -50, 100, samples->bottom, samples->top);
        if (i != 9) /* R10 is 0 */
            CHECK_DRAWN(&drawing, "bar of a sample", path->filled && path->points == 5, x, y);
    }
    free(drawing.path);
    mtm_picture_free(picture);
}

/* Equal energy at 1000 lm: 1000 / (683 lm/W × 106.857 nm) = 13.70 mW/nm, the integral of V(λ) being
 * that of ȳ, ISO/CIE 11664-1; the axis goes to 15. A picture without indices holds the spectrum
 * alone. */
static void test_spectrum(void **state)
{
    mtm_spectrum equal;
    mtm_error error = {""};
    double nearest = INFINITY;

    (void)state;
    trial_must(mtm_spectrum_illuminant("E", &equal, &error), &error);
    const mtm_light_view light = {.name = "equal energy", .spectrum = &equal};
    mtm_picture *picture = draw(&light, 1, NULL);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = drawn_frame(&drawing);
    double y = drawn_along(1e6 / (683 * 106.857), 0, 15, frame->bottom, frame->top);
    for (size_t i = 0; i < drawing.count; i++) {
        const struct drawn *path = &drawing.path[i];
        if (!path->filled && path->points == 2 && path->right - path->left > 500 &&
            fabs(path->top - path->bottom) < 1e-6)
            nearest = fmin(nearest, fabs(path->top - y));
    }
    if (!(nearest <= 0.5))
        fail_msg("the nearest line across is %.2f px away", nearest);
    free(drawing.path);
    mtm_picture_free(picture);
}

/* The sentence below the title, which the file has for whoever reads it without seeing it. */
static const struct sentence {
    const char *name;
    size_t lights, judged;
    const char *said;
} sentences[] = {
    {"one", 1, 1, ">Rf 70 and Ra 60 beside the reference of its colour temperature.<"},
    {"one without indices", 1, 0, ">It has no rendering index.<"},
    {"none of two", 2, 0, ">None of these has a rendering index.<"},
    {"alike", 2, 2, ">All of these render alike: Rf 70.<"},
    {"one of three", 3, 1, ">light 0 has Rf 70 and Ra 60; 2 of 3 have no rendering index.<"},
};

static void test_sentence(void **state)
{
    const struct sentence *sentence = *state;
    static const char *const names[] = {"light 0", "light 1", "light 2"};
    const mtm_quality quality = plain_quality();
    mtm_light_view light[3];
    mtm_spectrum equal;
    mtm_error error = {""};
    size_t size = 0;

    trial_must(mtm_spectrum_illuminant("E", &equal, &error), &error);
    for (size_t i = 0; i < 3; i++)
        light[i] = (mtm_light_view){.name = names[i],
                                    .spectrum = &equal,
                                    .quality = i < sentence->judged ? &quality : NULL};
    mtm_picture *picture = draw(light, sentence->lights, NULL);
    const char *bytes = mtm_picture_bytes(picture, &size);
    char *text = strndup(bytes, size);
    assert_non_null(text);
    if (strstr(text, sentence->said) == NULL)
        fail_msg("the picture does not say \"%s\"", sentence->said);
    free(text);
    mtm_picture_free(picture);
}

static const struct crowd {
    const char *name;
    size_t lights;
    double width, height;
    mtm_picture_form form;
} crowds[] = {
    {"two", 2, 0, 0, MTM_PICTURE_SVG},
    {"200, narrow", 200, 600, 0, MTM_PICTURE_SVG},
    {"10000 in the smallest", 10000, 240, 240, MTM_PICTURE_SVG},
    {"30 in the lowest", 30, 2000, 240, MTM_PICTURE_SVG},
    {"one upright", 1, 300, 1500, MTM_PICTURE_SVG},
};

static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    const mtm_picture_options options = {
        .form = crowd->form, .width = crowd->width, .height = crowd->height};
    mtm_quality quality = plain_quality();
    mtm_light_view *light = calloc(crowd->lights, sizeof *light);
    mtm_spectrum spectrum;
    mtm_error error = {""};
    size_t count = 0, count_again = 0;

    assert_non_null(light);
    quality.cri.r[8] = -400;
    quality.fidelity.chroma_shift[3] = 900;
    quality.fidelity.bin_count[5] = 0;
    trial_must(mtm_spectrum_led(630, 1, &spectrum, &error), &error);
    for (size_t i = 0; i < crowd->lights; i++)
        light[i] = (mtm_light_view){
            .name = i % 3 == 0 ? "<a name & another that is longer than any line has room for>\n"
                               : "\xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d",
            .note = "a note",
            .spectrum = i % 5 == 4 ? NULL : &spectrum,
            .quality = i % 4 == 3 ? NULL : &quality,
            .ideal_lines = true};
    mtm_picture *picture = draw(light, crowd->lights, &options);
    mtm_picture *again = draw(light, crowd->lights, &options);
    struct drawing drawing = drawn_read(picture);
    assert_true(drawing.count > 10);
    for (size_t k = 0; k < drawing.count; k++) {
        if (!isfinite(drawing.path[k].left + drawing.path[k].bottom))
            fail_msg("a path is nowhere");
    }
    const void *bytes = mtm_picture_bytes(picture, &count);
    const void *bytes_again = mtm_picture_bytes(again, &count_again);
    assert_int_equal(count, count_again);
    assert_memory_equal(bytes, bytes_again, count);
    free(drawing.path);
    free(light);
    mtm_picture_free(picture);
    mtm_picture_free(again);
}

/* Of each kind the unit of the lowest Rf, which the sentence names. */
static void test_match(void **state)
{
    static const struct trial_unit units[] = {{"one", "three-colour-wash.json", "16-bit"},
                                              {"two", "three-colour-wash.json", "8-bit"},
                                              {"three", "five-colour-wash.json", "16-bit"}};
    mtm_rig *rig = trial_rig(units, COUNT(units));
    mtm_matcher *matcher = NULL;
    mtm_match match[COUNT(units)];
    mtm_judgement judgement[COUNT(units)];
    mtm_error error = {""};
    mtm_match_request request = {.goal = MTM_GOAL_LIGHT};
    mtm_picture *picture = NULL;
    char words[64];
    size_t size = 0;

    (void)state;
    trial_must(mtm_target_from_xy((mtm_xy){0.4, 0.38}, MTM_OBSERVER_2, &request.target, &error),
               &error);
    trial_must(mtm_matcher_create(rig, MTM_OBSERVER_2, &matcher, &error), &error);
    for (size_t i = 0; i < COUNT(units); i++) {
        trial_must(mtm_matcher_unit(matcher, i, &request, &match[i], &error), &error);
        trial_must(mtm_judge(mtm_rig_unit(rig, i)->fixture, match[i].level, &judgement[i], &error),
                   &error);
    }
    const mtm_match_light_view view = {.rig = rig,
                                       .target = &request.target,
                                       .match = match,
                                       .judgement = judgement,
                                       .count = COUNT(units)};
    mtm_result result = mtm_picture_of_match_rendering(&view, NULL, &picture, &error);
    if (result == MTM_UNSUPPORTED)
        skip();
    trial_must(result, &error);
    const char *bytes = mtm_picture_bytes(picture, &size);
    (void)snprintf(words, sizeof words, "wash renders least truly, with Rf %.0f",
                   fmin(judgement[0].rf, judgement[1].rf));
    char *text = strndup(bytes, size);
    assert_non_null(text);
    if (strstr(text, words) == NULL)
        fail_msg("the picture does not say \"%s\"", words);
    assert_non_null(strstr(text, "2 × three-colour wash"));
    free(text);
    mtm_picture_free(picture);
    mtm_matcher_free(matcher);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + COUNT(sentences) + 3];
    struct CMUnitTest *others = &tests[COUNT(crowds) + COUNT(sentences)];

    ROW_TESTS(tests, crowds, test_crowd);
    ROW_TESTS(&tests[COUNT(crowds)], sentences, test_sentence);
    others[0] = (struct CMUnitTest)cmocka_unit_test(test_indices);
    others[1] = (struct CMUnitTest)cmocka_unit_test(test_spectrum);
    others[2] = (struct CMUnitTest)cmocka_unit_test(test_match);
    return cmocka_run_group_tests_name("picture of rendering", tests, NULL, NULL);
}
