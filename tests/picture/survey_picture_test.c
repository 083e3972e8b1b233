/* SPDX-License-Identifier: MIT */
/* The picture of a survey: bars, bands and marks where arithmetic says; no rig too small or large.
 */
#include "support/check.h"
#include "support/drawn_words.h"
#include "support/trial.h"

#include "base/file.h"

#include <metamer/survey_picture.h>

#include <cjson/cJSON.h>

static mtm_picture *draw(const mtm_survey_view *view, const mtm_picture_options *options)
{
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_survey(view, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    trial_must(result, &error);
    return picture;
}

static mtm_rig *hall(void)
{
    mtm_rig *rig = NULL;
    mtm_error error = {""};
    char path[1024];

    (void)snprintf(path, sizeof path, "%s/examples/hall.json", getenv("METAMER_SOURCE"));
    trial_must(mtm_rig_load(path, &rig, &error), &error);
    return rig;
}

static mtm_survey *survey_of(const mtm_rig *rig)
{
    mtm_survey *survey = NULL;
    mtm_error error = {""};

    trial_must(mtm_survey_create(rig, NULL, 0, NULL, &survey, &error), &error);
    return survey;
}

/* Px of a temperature: mired from 1500 K to 15000 K are spread evenly over the frame. */
static double px(double cct_k, const struct drawn *frame)
{
    double x = drawn_along(1e6 / cct_k, 1e6 / 1500, 1e6 / 15000, frame->left, frame->right);

    return fmin(fmax(x, frame->left), frame->right);
}

/* Filled boxes from one temperature to another, at least so high and at most. */
static size_t boxes(const struct drawing *drawing, const struct drawn *frame, double warm_k,
                    double cool_k, double low, double high)
{
    size_t found = 0;

    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        double height = path->bottom - path->top;
        found += path->filled && path->points == 5 && height >= low && height <= high &&
                 fabs(path->left - px(warm_k, frame)) <= 0.5 &&
                 fabs(path->right - px(cool_k, frame)) <= 0.5;
    }
    return found;
}

/* Frames of the plots, from above; that of the bars is as wide. */
static const struct drawn *output_frame(const struct drawing *drawing, const struct drawn *bars)
{
    for (size_t i = 0; i < drawing->count; i++) {
        const struct drawn *path = &drawing->path[i];
        if (!path->filled && path->points == 5 && path->top > bars->bottom &&
            fabs(path->left - bars->left) < 0.1 && fabs(path->right - bars->right) < 0.1)
            return path;
    }
    fail_msg("there is no plot of the output");
    return NULL;
}

static void test_places(void **state)
{
    mtm_rig *rig = hall();
    mtm_survey *survey = survey_of(rig);
    const mtm_survey_view view = {rig, survey, 0};
    mtm_picture *picture = draw(&view, NULL);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = drawn_frame(&drawing);
    const struct drawn *below = output_frame(&drawing, frame);
    size_t kinds = mtm_survey_kind_count(survey), ranges = mtm_survey_range_count(survey);
    double pitch = (frame->bottom - frame->top) / (double)kinds, most = 0;

    (void)state;
    assert_true(ranges > 0);
    for (size_t i = 0; i < kinds; i++) {
        const mtm_survey_kind *kind = mtm_survey_kind_at(survey, i);
        double left = px(kind->warmest_k, frame), right = px(kind->coolest_k, frame);
        CHECK_DRAWN(&drawing, kind->mode,
                    path->filled && path->points == 5 && fabs(path->left - left) <= 0.5 &&
                        fabs(path->right - right) <= 0.5,
                    (left + right) / 2, frame->top + ((double)i + 0.5) * pitch);
    }
    for (size_t i = 0; i < ranges; i++) { /* a band in each plot */
        const mtm_survey_range *range = mtm_survey_range_at(survey, i);
        assert_int_equal(boxes(&drawing, frame, range->warmest_k, range->coolest_k, 3 * pitch, 1e4),
                         2);
    }
    for (size_t i = 0; i < mtm_survey_white_count(survey); i++)
        most = fmax(most, mtm_survey_white_at(survey, i)->flux_lm);
    for (size_t i = 0; i < mtm_survey_white_count(survey); i++) {
        const mtm_survey_white *white = mtm_survey_white_at(survey, i);
        /* a triangle has its middle of height a quarter of its reach above that of its circle */
        bool far = white->delta_uv > 0.0011;
        double y = drawn_along(white->flux_lm, 0, 1.3 * most, below->bottom, below->top);
        CHECK_DRAWN(&drawing, "output",
                    path->filled && (far ? path->points <= 5 : path->points > 5) &&
                        path->right - path->left < 12 && path->right - path->left > 5,
                    px(white->cct_k, below), far ? y - 1.0 : y);
    }
    assert_true(drawn_check_words(picture, 1000) > 30);
    free(drawing.path);
    mtm_picture_free(picture);
    mtm_survey_free(survey);
    mtm_rig_free(rig);
}

static char long_name[4001];

/* Each kind is a fixture of a name of its own, which holds no more than files allow: 400 bytes, no
 * control characters. */
static mtm_fixture *fixture_of(size_t kind, const char *name)
{
    char called[390], path[1024];
    mtm_error error = {""};
    mtm_fixture *fixture = NULL;
    char *text = NULL;
    size_t length = 0;

    (void)snprintf(called, sizeof called, "%zu%s", kind, name);
    for (char *at = called; *at != '\0'; at++)
        *at = *at == '\n' ? ' ' : *at;
    (void)snprintf(path, sizeof path, "%s/three-colour-wash.json", getenv("METAMER_PROFILES"));
    trial_must(mtmi_file_read(path, MTMI_FILE_LIMIT, &text, &length, &error), &error);
    cJSON *root = cJSON_ParseWithLength(text, length);
    assert_non_null(root);
    assert_true(cJSON_ReplaceItemInObject(root, "name", cJSON_CreateString(called)));
    char *written = cJSON_PrintUnformatted(root);
    assert_non_null(written);
    trial_must(mtm_fixture_parse(written, strlen(written), "trial", NULL, &fixture, &error),
               &error);
    free(written);
    cJSON_Delete(root);
    free(text);
    return fixture;
}

static mtm_rig *rig_of(size_t kinds, size_t units, const char *name)
{
    mtm_rig *rig = NULL;
    mtm_error error = {""};
    char text[4200];

    trial_must(mtm_rig_create(name, &rig, &error), &error);
    for (size_t k = 0; k < kinds; k++) {
        mtm_fixture *fixture = fixture_of(k, name);
        trial_must(mtm_rig_add_fixture(rig, fixture, &error), &error);
        for (size_t i = 0; i < units; i++) {
            (void)snprintf(text, sizeof text, "%s%zu-%zu", name, k, i);
            const mtm_unit unit = {.name = text,
                                   .fixture_file = "x",
                                   .fixture = fixture,
                                   .mode = mtm_fixture_mode(fixture, 0),
                                   .supply = -1,
                                   .follows = -1};
            trial_must(mtm_rig_add_unit(rig, &unit, &error), &error);
        }
    }
    return rig;
}

static const struct crowd {
    const char *name;
    size_t kinds, units;
    double width, height;
    const char *called;
} crowds[] = {
    {"one unit", 1, 1, 0, 0, "s"},
    {"40 kinds", 40, 2, 0, 0, "unit "},
    {"40 kinds at 600 px", 40, 1, 600, 0, "unit "},
    {"the smallest page", 12, 1, 240, 240, "unit "},
    {"hostile names", 3, 1, 600, 0, "<&\"\n\u202e\u05e9\u05dc\u05d5\u05dd "},
    {"4000 letters", 2, 1, 0, 0, long_name},
};

static void test_crowd(void **state)
{
    const struct crowd *crowd = *state;
    mtm_rig *rig = rig_of(crowd->kinds, crowd->units, crowd->called);
    mtm_survey *survey = survey_of(rig);
    const mtm_survey_view view = {rig, survey, 0};
    const mtm_picture_options options = {.width = crowd->width, .height = crowd->height};
    mtm_picture *picture = draw(&view, &options), *again = draw(&view, &options);
    size_t count = 0, count_again = 0;
    const void *bytes = mtm_picture_bytes(picture, &count);
    const void *bytes_again = mtm_picture_bytes(again, &count_again);

    assert_int_equal(mtm_survey_kind_count(survey), crowd->kinds);
    assert_int_equal(count, count_again);
    assert_memory_equal(bytes, bytes_again, count);
    assert_true(drawn_check_words(picture, crowd->width > 0 ? crowd->width : 1000) > 5);
    mtm_picture_free(picture);
    mtm_picture_free(again);
    mtm_survey_free(survey);
    mtm_rig_free(rig);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(crowds) + 1];

    memset(long_name, 'x', sizeof long_name - 1);
    ROW_TESTS(tests, crowds, test_crowd);
    tests[COUNT(crowds)] = (struct CMUnitTest)cmocka_unit_test(test_places);
    return cmocka_run_group_tests_name("picture of a survey", tests, NULL, NULL);
}
