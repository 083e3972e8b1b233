/* SPDX-License-Identifier: MIT */
/* RGB spaces: matrices of the standards, encoded values, and both directions of each. */
#include "support/check.h"

#include <metamer/rgb.h>

/* Primaries and whites of IEC 61966-2-1, ITU-R BT.2020, ANSI E1.54 and SMPTE EG 432-1; matrices
 * computed from them with numpy 1.24.2, equal to colour-science 0.4.6 within 1e-9. Tolerance 1e-6.
 */
static const struct matrix_row {
    const char *name; /* of the space */
    mtm_matrix matrix;
} matrix_rows[] = {
    {"srgb",
     {{{0.4123907993, 0.3575843394, 0.1804807884},
       {0.2126390059, 0.7151686788, 0.0721923154},
       {0.0193308187, 0.1191947798, 0.9505321522}}}},
    {"rec2020",
     {{{0.6369580483, 0.1446169036, 0.1688809752},
       {0.2627002120, 0.6779980715, 0.0593017165},
       {0.0000000000, 0.0280726930, 1.0609850577}}}},
    {"e1.54",
     {{{0.9083264657, 0.1276116008, 0.0159907169},
       {0.3279964766, 0.6719598329, 0.0000436905},
       {0.0000000000, 0.0000000000, 0.4208704253}}}},
    {"p3-d65",
     {{{0.4865709486, 0.2656676932, 0.1982172852},
       {0.2289745641, 0.6917385218, 0.0792869141},
       {-0.0000000000, 0.0451133819, 1.0439443689}}}},
};

/* Encoded values to XYZ: computed with colorjs.io 0.7.1; the sRGB rows agree with colour-science
 * 0.4.6 to 0.0002 (which uses the rounded matrix of the standard). Tolerance 0.0002. */
static const struct value_row {
    const char *name, *space;
    mtm_rgb rgb;
    mtm_xyz xyz;
} value_rows[] = {
    {"sRGB 1 1 1", "srgb", {1, 1, 1}, {0.95045593, 1.00000000, 1.08905775}},
    {"sRGB 0.2 0.4 0.6", "srgb", {0.2, 0.4, 0.6}, {0.11865531, 0.12505926, 0.31926611}},
    {"P3-D65 0 1 0", "p3-d65", {0, 1, 0}, {0.26566769, 0.69173852, 0.04511338}},
    {"P3-D65 0.8 0.3 0.1", "p3-d65", {0.8, 0.3, 0.1}, {0.31524876, 0.18971799, 0.01376733}},
    {"sRGB 0.1 0.2 0.3", "srgb", {0.1, 0.2, 0.3}, {0.02918929, 0.03109403, 0.07375565}},
    {"sRGB 0.5 0.5 0.5", "srgb", {0.5, 0.5, 0.5}, {0.20343667, 0.21404114, 0.23310316}},
    {"P3-D65 0.25 0.5 0.75", "p3-d65", {0.25, 0.5, 0.75}, {0.18519145, 0.20113895, 0.55513955}},
};

static const mtm_rgb_space *find(const char *name)
{
    const mtm_rgb_space *space = NULL;

    assert_int_equal(mtm_rgb_space_find(name, &space, NULL), MTM_OK);
    return space;
}

static void test_matrix(void **state)
{
    const struct matrix_row *row = *state;
    mtm_matrix matrix = mtm_rgb_matrix(find(row->name));

    for (int i = 0; i < 3; i++) {
        for (int k = 0; k < 3; k++)
            CHECK_NEAR("element", matrix.m[i][k], row->matrix.m[i][k], 1e-6);
    }
}

static void test_value(void **state)
{
    const struct value_row *row = *state;
    const mtm_rgb_space *space = find(row->space);

    mtm_xyz xyz = mtm_rgb_to_xyz(space, row->rgb);
    CHECK_NEAR("X", xyz.x, row->xyz.x, 2e-4);
    CHECK_NEAR("Y", xyz.y, row->xyz.y, 2e-4);
    CHECK_NEAR("Z", xyz.z, row->xyz.z, 2e-4);
    mtm_rgb rgb = mtm_rgb_from_xyz(space, row->xyz);
    CHECK_NEAR("R", rgb.r, row->rgb.r, 2e-4);
    CHECK_NEAR("G", rgb.g, row->rgb.g, 2e-4);
    CHECK_NEAR("B", rgb.b, row->rgb.b, 2e-4);
}

/* Every space: its curve is odd, rises, keeps 0 and 1, and inverts; its white and primaries are
 * where the standard puts them. */
static void test_every_space(void **state)
{
    size_t count = 0;

    (void)state;
    for (; count < mtm_rgb_space_count(); count++) {
        const mtm_rgb_space *space = mtm_rgb_space_at(count);
        double last = -2;

        assert_non_null(space->description);
        CHECK_NEAR(space->name, space->to_light(0), 0, 0);
        CHECK_NEAR(space->name, space->to_light(1), 1, 1e-14);
        CHECK_NEAR(space->name, space->from_light(1), 1, 1e-14);
        for (int i = -1200; i <= 1200; i++) {
            double value = i / 1000.0;
            double light = space->to_light(value);

            assert_true(light > last);
            last = light;
            CHECK_NEAR(space->name, space->to_light(-value), -light, 0);
            CHECK_NEAR(space->name, space->from_light(light), value, 1e-7);
        }
        mtm_xy white = mtm_xy_from_xyz(mtm_rgb_to_xyz(space, (mtm_rgb){1, 1, 1}));
        CHECK_NEAR("white x", white.x, space->white.x, 1e-12);
        CHECK_NEAR("white y", white.y, space->white.y, 1e-12);
        mtm_xy blue = mtm_xy_from_xyz(mtm_rgb_to_xyz(space, (mtm_rgb){0, 0, 0.5}));
        CHECK_NEAR("blue x", blue.x, space->blue.x, 1e-12);
        CHECK_NEAR("blue y", blue.y, space->blue.y, 1e-12);
    }
    assert_int_equal(count, 4);
}

/* ITU-R BT.2020-2, table 4: E' = 4.5 E below beta, alpha E^0.45 - (alpha - 1) from there; with the
 * printed alpha 1.0993 and beta 0.0181 for 12 bits. */
static void test_rec2020_curve(void **state)
{
    const mtm_rgb_space *space = find("Rec2020");

    (void)state;
    CHECK_NEAR("dark", space->from_light(0.01), 0.045, 1e-12);
    CHECK_NEAR("middle", space->from_light(0.18), 1.0993 * pow(0.18, 0.45) - 0.0993, 1e-4);
    CHECK_NEAR("at beta", space->from_light(0.0181), 4.5 * 0.0181, 1e-4);
}

static void test_find(void **state)
{
    const mtm_rgb_space *space = NULL;
    mtm_error error;

    (void)state;
    assert_int_equal(mtm_rgb_space_find("rec202", &space, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "no RGB space \"rec202\"; did you mean rec2020?");
    assert_int_equal(mtm_rgb_space_find("", &space, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "there are srgb, rec2020, p3-d65 and e1.54");
    assert_int_equal(mtm_rgb_space_find(NULL, &space, &error), MTM_INVALID);
    assert_null(space);
}

/* In every space: its primaries (from the standards, as above) and white are the brightest values
 * of their chromaticities, and what is between has its chromaticity and a largest part of 1. */
static void test_brightest(void **state)
{
    (void)state;
    for (size_t i = 0; i < mtm_rgb_space_count(); i++) {
        const mtm_rgb_space *space = mtm_rgb_space_at(i);
        const struct {
            mtm_xy xy;
            mtm_rgb rgb;
        } ends[] = {{space->red, {1, 0, 0}},
                    {space->green, {0, 1, 0}},
                    {space->blue, {0, 0, 1}},
                    {space->white, {1, 1, 1}}};
        for (size_t k = 0; k < COUNT(ends); k++) {
            mtm_rgb rgb = mtm_rgb_brightest(space, ends[k].xy);
            CHECK_NEAR("R", rgb.r, ends[k].rgb.r, 1e-9);
            CHECK_NEAR("G", rgb.g, ends[k].rgb.g, 1e-9);
            CHECK_NEAR("B", rgb.b, ends[k].rgb.b, 1e-9);
            assert_true(mtm_rgb_inside(rgb));
        }
        const mtm_xy between = {0.35, 0.40};
        mtm_rgb rgb = mtm_rgb_brightest(space, between);
        mtm_xy xy = mtm_xy_from_xyz(mtm_rgb_to_xyz(space, rgb));
        CHECK_NEAR("largest", fmax(rgb.r, fmax(rgb.g, rgb.b)), 1, 1e-9);
        CHECK_NEAR("x", xy.x, between.x, 1e-9);
        CHECK_NEAR("y", xy.y, between.y, 1e-9);
    }
    /* ITU-R BT.2020's green lies outside the triangle of IEC 61966-2-1 */
    assert_false(mtm_rgb_inside(mtm_rgb_brightest(find("srgb"), find("rec2020")->green)));
    assert_false(mtm_rgb_inside((mtm_rgb){1.00001, 0, 0}));
    assert_false(mtm_rgb_inside((mtm_rgb){1, NAN, 0}));
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_every_space),
        cmocka_unit_test(test_rec2020_curve),
        cmocka_unit_test(test_find),
        cmocka_unit_test(test_brightest),
    };
    struct CMUnitTest tests[COUNT(matrix_rows) + COUNT(value_rows) + COUNT(single)];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, matrix_rows, test_matrix);
    next += COUNT(matrix_rows);
    ROW_TESTS(next, value_rows, test_value);
    next += COUNT(value_rows);
    memcpy(next, single, sizeof single);
    return cmocka_run_group_tests_name("RGB spaces", tests, NULL, NULL);
}
