/* SPDX-License-Identifier: MIT */
/* The picture of a colour: places by arithmetic, forms, files, words that are no markup. */
#include "support/check.h"
#include "support/drawn.h"

#include <metamer/diagram.h>

#include <sys/stat.h>
#include <unistd.h>

static mtm_target target_of(double x, double y)
{
    mtm_target target;

    assert_int_equal(mtm_target_from_xy((mtm_xy){x, y}, MTM_OBSERVER_2, &target, NULL), MTM_OK);
    return target;
}

/* NULL, and a told skip, where this machine has no cairo. */
static mtm_picture *draw(const mtm_target *target, const mtm_picture_options *options)
{
    mtm_picture *picture = NULL;
    mtm_error error = {""};
    mtm_result result = mtm_picture_of_colour(target, options, &picture, &error);

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: %s\n", error.text);
        skip();
    }
    if (result != MTM_OK)
        fail_msg("%s", error.text);
    return picture;
}

/* u', v' of x, y: ISO/CIE 11664-5:2016, 4.1. */
static void to_uv(double x, double y, double *u, double *v)
{
    double sum = -2 * x + 12 * y + 3;

    *u = 4 * x / sum;
    *v = 9 * y / sum;
}

static const struct row {
    const char *name;
    mtm_diagram diagram;
    double width;
    bool dark;
} rows[] = {
    {"u', v', 1000 px", MTM_DIAGRAM_UV, 0, false},
    {"u', v', 600 px, dark", MTM_DIAGRAM_UV, 600, true},
    {"x, y, 1000 px", MTM_DIAGRAM_XY, 0, false},
    {"x, y, 600 px", MTM_DIAGRAM_XY, 600, false},
};

/* Where a chromaticity must stand in the largest frame; the ranges are those of picture.h. */
static void place(const struct drawn *frame, mtm_diagram diagram, double x, double y, double *px,
                  double *py)
{
    double u, v;

    to_uv(x, y, &u, &v);
    if (diagram == MTM_DIAGRAM_XY) {
        *px = drawn_along(x, -0.10, 0.84, frame->left, frame->right);
        *py = drawn_along(y, -0.04, 0.90, frame->bottom, frame->top);
    } else {
        *px = drawn_along(u, -0.09, 0.68, frame->left, frame->right);
        *py = drawn_along(v, -0.03, 0.65, frame->bottom, frame->top);
    }
}

static void test_places(void **state)
{
    const struct row *row = *state;
    const mtm_picture_options options = {
        .diagram = row->diagram, .width = row->width, .dark = row->dark};
    const mtm_target target = target_of(0.22, 0.31);
    mtm_picture *picture = draw(&target, &options);
    struct drawing drawing = drawn_read(picture);
    const struct drawn *frame = drawn_frame(&drawing);
    double x, y;

    /* the target's ring: four arcs, 7.5 px about the colour that was asked */
    place(frame, row->diagram, 0.22, 0.31, &x, &y);
    CHECK_DRAWN(&drawing, "target",
                !path->filled && fabs(path->right - path->left - 15) < 1 && path->points > 12, x,
                y);
    /* D65: CIE 15:2004, table T.3: x 0.31272, y 0.32903; a cross of 7 px */
    place(frame, row->diagram, 0.31272, 0.32903, &x, &y);
    CHECK_DRAWN(&drawing, "D65, across",
                path->points == 2 && fabs(path->right - path->left - 7) < 0.01, x, y);
    CHECK_DRAWN(&drawing, "D65, upright",
                path->points == 2 && fabs(path->bottom - path->top - 7) < 0.01, x, y);
    /* 480 nm: CIE 15:2004, table T.4: x 0.09129, y 0.13270; its tick begins there */
    double nearest = INFINITY;
    place(frame, row->diagram, 0.09129, 0.13270, &x, &y);
    for (size_t i = 0; i < drawing.count; i++) {
        const struct drawn *path = &drawing.path[i];
        double length = hypot(path->last_x - path->first_x, path->last_y - path->first_y);
        if (path->points == 2 && fabs(length - 7) < 0.01)
            nearest = fmin(nearest, hypot(path->first_x - x, path->first_y - y));
    }
    if (!(nearest <= 0.5))
        fail_msg("480 nm: the nearest tick is %.2f px away", nearest);
    free(drawing.path);
    mtm_picture_free(picture);
}

/* Each form begins as its standard says: PNG (ISO/IEC 15948, 5.2), PDF (ISO 32000-1, 7.5.2). */
static void test_forms(void **state)
{
    static const struct {
        mtm_picture_form form;
        const char *start;
    } forms[] = {{MTM_PICTURE_SVG, "<?xml"},
                 {MTM_PICTURE_PNG, "\x89PNG\r\n\x1a\n"},
                 {MTM_PICTURE_PDF, "%PDF-"}};
    const mtm_target target = target_of(0.3, 0.3);

    (void)state;
    for (size_t i = 0; i < COUNT(forms); i++) {
        const mtm_picture_options options = {.form = forms[i].form};
        mtm_picture *first = draw(&target, &options);
        mtm_picture *again = draw(&target, &options);
        size_t count = 0, count_again = 0;
        const void *bytes = mtm_picture_bytes(first, &count);
        const void *bytes_again = mtm_picture_bytes(again, &count_again);
        assert_true(count > 1000);
        assert_memory_equal(bytes, forms[i].start, strlen(forms[i].start));
        if (forms[i].form != MTM_PICTURE_PDF) { /* cairo names what is in it by a running number */
            assert_int_equal(count, count_again);
            assert_memory_equal(bytes, bytes_again, count);
        }
        mtm_picture_free(first);
        mtm_picture_free(again);
    }
}

static void test_endings(void **state)
{
    mtm_picture_form form = MTM_PICTURE_SVG;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_picture_form_from_path("a.b/c.PDF", &form, &error), MTM_OK);
    assert_int_equal(form, MTM_PICTURE_PDF);
    assert_int_equal(mtm_picture_form_from_path("a.png", &form, &error), MTM_OK);
    assert_int_equal(form, MTM_PICTURE_PNG);
    assert_int_equal(mtm_picture_form_from_path("a.svg/b", &form, &error), MTM_INVALID);
    assert_int_equal(mtm_picture_form_from_path("a.jpg", &form, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "a.jpg");
    CHECK_HOLDS(error.text, ".svg, .png and .pdf");
}

/* Words as bad as they come: the picture is well-formed, and they stand in it escaped. */
static void test_words(void **state)
{
    static char longest[4001];
    static const char *const words[] = {
        "<b>&\"']]>", "a\nb\x01", "\xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d", "\xff\xfe", "\u202e abc",
        "",           longest};
    const mtm_target target = target_of(0.3, 0.3);

    (void)state;
    memset(longest, 'm', 4000);
    for (size_t i = 0; i < COUNT(words); i++) {
        const mtm_picture_options options = {
            .title = words[i], .subtitle = words[i], .date = words[i]};
        mtm_picture *picture = draw(&target, &options);
        struct drawing drawing = drawn_read(picture);
        assert_true(drawing.count > 50);
        free(drawing.path);
        mtm_picture_free(picture);
    }
}

/* What is far out: the ends of the locus, and beyond all light. */
static void test_ends(void **state)
{
    static const mtm_xy ends[] = {{0.1741, 0.0050}, {0.7347, 0.2653}, {0.0743, 0.8338},
                                  {1e-6, 1e-6},     {0.999, 0.001},   {0, 1}};

    (void)state;
    for (size_t i = 0; i < COUNT(ends); i++) {
        const mtm_target target = target_of(ends[i].x, ends[i].y);
        for (int diagram = MTM_DIAGRAM_UV; diagram <= MTM_DIAGRAM_XY; diagram++) {
            const mtm_picture_options options = {.diagram = (mtm_diagram)diagram, .width = 240};
            mtm_picture *picture = draw(&target, &options);
            struct drawing drawing = drawn_read(picture);
            for (size_t k = 0; k < drawing.count; k++) {
                if (!isfinite(drawing.path[k].left + drawing.path[k].bottom))
                    fail_msg("a path is nowhere");
            }
            free(drawing.path);
            mtm_picture_free(picture);
        }
    }
}

/* A full disk leaves a sentence, and a file that stood there stays. */
static void test_files(void **state)
{
    char folder[] = "/tmp/picture-XXXXXX";
    char path[64], nowhere[80];
    const mtm_target target = target_of(0.3, 0.3);
    mtm_picture *picture = draw(&target, NULL);
    mtm_error error = {""};
    struct stat info;

    (void)state;
    assert_non_null(mkdtemp(folder));
    (void)snprintf(path, sizeof path, "%s/a.svg", folder);
    (void)snprintf(nowhere, sizeof nowhere, "%s/none/a.svg", folder);
    assert_int_equal(mtm_picture_save(picture, path, &error), MTM_OK);
    size_t count = 0;
    (void)mtm_picture_bytes(picture, &count);
    assert_int_equal(stat(path, &info), 0);
    assert_int_equal(info.st_size, count);
    assert_int_equal(mtm_picture_save(picture, nowhere, &error), MTM_IO);
    CHECK_HOLDS(error.text, nowhere);
    if (access("/dev/full", W_OK) == 0)
        assert_int_equal(mtm_picture_save(picture, "/dev/full", &error), MTM_IO);
    else
        print_message("skipped: there is no /dev/full here\n");
    assert_int_equal(unlink(path), 0);
    assert_int_equal(rmdir(folder), 0);
    mtm_picture_free(picture);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 5];
    const struct CMUnitTest others[] = {
        cmocka_unit_test(test_forms), cmocka_unit_test(test_endings), cmocka_unit_test(test_words),
        cmocka_unit_test(test_ends),  cmocka_unit_test(test_files),
    };

    ROW_TESTS(tests, rows, test_places);
    memcpy(&tests[COUNT(rows)], others, sizeof others);
    return cmocka_run_group_tests_name("picture of a colour", tests, NULL, NULL);
}
