/* SPDX-License-Identifier: MIT */
/* Paths between colours, against tables, against another library, and by what they promise. */
#include "support/check.h"

#include <metamer/lab.h>
#include <metamer/path.h>

#include "data/tables.h"

static mtm_path make(mtm_path_type type, mtm_xy from, mtm_xy to)
{
    mtm_path path = {.type = type};
    mtm_error error = {""};

    if (mtm_path_create(type, from, to, &path, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return path;
}

/* CIE 1931 chromaticity of one wavelength, straight between the 1 nm values. */
static mtm_xy spectral(double nm)
{
    int i = (int)nm - 360;
    double f = nm - floor(nm);
    double v[3];

    for (int k = 0; k < 3; k++)
        v[k] = mtmi_table_observer_2[k][i] * (1 - f) + mtmi_table_observer_2[k][i + 1] * f;
    return mtm_xy_from_xyz((mtm_xyz){v[0], v[1], v[2]});
}

/* Two monochromatic lights that mix to a white, and the share of the first in the luminous flux:
 * computed with SciPy 1.10.1 from the CIE 1931 observer by cubic spline; the linear interpolation
 * here moves the mixture by less than 2e-4. Whites: CIE 015:2018 (D65, A, D50), E by definition. */
static const struct light_row {
    const char *name;
    double first_nm, second_nm, share;
    mtm_xy white;
} light_rows[] = {
    {"440 and 567.458 nm make D65", 440, 567.458, 0.014306, {0.3127, 0.3290}},
    {"450 and 568.270 nm make D65", 450, 568.270, 0.023303, {0.3127, 0.3290}},
    {"460 and 569.625 nm make D65", 460, 569.625, 0.039069, {0.3127, 0.3290}},
    {"450 and 579.496 nm make A", 450, 579.496, 0.007589, {0.4476, 0.4074}},
    {"470 and 573.833 nm make D50", 470, 573.833, 0.058166, {0.3457, 0.3585}},
    {"455 and 571.739 nm make E", 455, 571.739, 0.027465, {1.0 / 3, 1.0 / 3}},
};

static void test_light(void **state)
{
    const struct light_row *row = *state;
    mtm_path path = make(MTM_PATH_LIGHT, spectral(row->second_nm), spectral(row->first_nm));
    mtm_xy xy = mtm_path_at(&path, row->share);

    CHECK_NEAR("x", xy.x, row->white.x, 3e-4);
    CHECK_NEAR("y", xy.y, row->white.y, 3e-4);
}

/* The Planckian locus, c2 = 1.4388e-2 m K: computed by two methods for this purpose with numpy,
 * printed to 6 decimals. */
static const struct white_row {
    const char *name;
    double cct_k;
    mtm_xy xy;
} white_rows[] = {
    {"2200 K", 2200, {0.505629, 0.415208}}, {"2700 K", 2700, {0.459863, 0.410600}},
    {"3200 K", 3200, {0.423363, 0.398953}}, {"4000 K", 4000, {0.380442, 0.376749}},
    {"5000 K", 5000, {0.345103, 0.351610}}, {"6500 K", 6500, {0.313528, 0.323630}},
    {"8000 K", 8000, {0.295188, 0.304767}},
};

static void test_white(void **state)
{
    const struct white_row *row = *state;
    mtm_path path = make(MTM_PATH_WHITE, (mtm_xy){0.526681, 0.413296},
                         (mtm_xy){0.280634, 0.288289}); /* 2000 K and 10000 K, same table */
    mtm_xy xy = mtm_path_at(&path, (500 - 1e6 / row->cct_k) / (500 - 100));

    CHECK_NEAR("x", xy.x, row->xy.x, 3e-6);
    CHECK_NEAR("y", xy.y, row->xy.y, 3e-6);
}

/* Oklab: colorjs.io 0.7.1 (which carries the recomputed matrix of CSS Color 4: it differs from the
 * publication's from the fifth digit on), ends of equal L, straight and by hue and chroma. */
static const struct oklab_row {
    const char *name;
    mtm_path_type type;
    mtm_xy from, to;
    double part;
    mtm_xy xy;
} oklab_rows[] = {
    {"pink to azure, a quarter",
     MTM_PATH_OKLAB,
     {0.532144, 0.304109},
     {0.178832, 0.190813},
     0.25,
     {0.409124, 0.289154}},
    {"pink to azure, half",
     MTM_PATH_OKLAB,
     {0.532144, 0.304109},
     {0.178832, 0.190813},
     0.5,
     {0.306518, 0.260744}},
    {"blue to white, half",
     MTM_PATH_OKLAB,
     {0.182067, 0.113678},
     {0.3127, 0.3290},
     0.5,
     {0.224582, 0.197677}},
    {"blue to white, three quarters",
     MTM_PATH_OKLAB,
     {0.182067, 0.113678},
     {0.3127, 0.3290},
     0.75,
     {0.261285, 0.257120}},
    {"green to orange, half",
     MTM_PATH_OKLAB,
     {0.310828, 0.538049},
     {0.500229, 0.371082},
     0.5,
     {0.410817, 0.448618}},
    {"pink to azure round, half",
     MTM_PATH_OKLAB_ROUND,
     {0.532144, 0.304109},
     {0.178832, 0.190813},
     0.5,
     {0.267350, 0.171854}},
    {"blue to white round, half",
     MTM_PATH_OKLAB_ROUND,
     {0.182067, 0.113678},
     {0.3127, 0.3290},
     0.5,
     {0.224582, 0.197677}},
    {"green to orange round, half",
     MTM_PATH_OKLAB_ROUND,
     {0.310828, 0.538049},
     {0.500229, 0.371082},
     0.5,
     {0.497618, 0.499609}},
};

static void test_oklab(void **state)
{
    const struct oklab_row *row = *state;
    mtm_path path = make(row->type, row->from, row->to);
    mtm_xy xy = mtm_path_at(&path, row->part);

    CHECK_NEAR("x", xy.x, row->xy.x, 1e-4);
    CHECK_NEAR("y", xy.y, row->xy.y, 1e-4);
}

/* The luminance at which a chromaticity has J = 50, by bisection on the forward model. */
static mtm_appearance seen(mtm_xy xy)
{
    const mtm_viewing viewing = {{95.047, 100, 108.883}, 20, 20, MTM_SURROUND_AVERAGE, true};
    mtm_viewer viewer;
    double low = 0;
    double high = 400;

    assert_int_equal(mtm_viewer_create(MTM_CAM16, &viewing, &viewer, NULL), MTM_OK);
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        bool dark = mtm_appearance_from_xyz(&viewer, mtm_xyz_from_xy(xy, middle)).lightness < 50;
        *(dark ? &low : &high) = middle;
    }
    return mtm_appearance_from_xyz(&viewer, mtm_xyz_from_xy(xy, low));
}

/* CAM16's forward model has its own outside figures; here hue must stand still towards white. */
static void test_hue_constant(void **state)
{
    static const mtm_xy colours[] = {{0.17, 0.09}, {0.25, 0.12}, {0.62, 0.34}, {0.28, 0.58}};

    (void)state;
    for (size_t i = 0; i < COUNT(colours); i++) {
        mtm_path path = make(MTM_PATH_CAM16, colours[i], (mtm_xy){0.312727, 0.329024});
        double hue = seen(colours[i]).hue_deg;
        double chroma = INFINITY;

        for (int k = 1; k < 10; k++) {
            mtm_appearance look = seen(mtm_path_at(&path, k / 10.0));

            CHECK_NEAR("hue", look.hue_deg, hue, 0.1);
            assert_true(look.chroma < chroma);
            chroma = look.chroma;
        }
    }
}

/* Round the white, hue moves evenly and colourfulness keeps between those of the ends. */
static void test_round(void **state)
{
    mtm_path path = make(MTM_PATH_CAM16_ROUND, (mtm_xy){0.55, 0.32}, (mtm_xy){0.20, 0.15});
    mtm_appearance a = seen(path.from);
    mtm_appearance b = seen(path.to);
    double turn = remainder(b.hue_deg - a.hue_deg, 360);

    (void)state;
    for (int k = 1; k < 8; k++) {
        mtm_appearance look = seen(mtm_path_at(&path, k / 8.0));
        double wanted = a.hue_deg + turn * k / 8;

        CHECK_NEAR("hue", remainder(look.hue_deg - wanted, 360), 0, 1e-3);
        assert_true(look.colourfulness > fmin(a.colourfulness, b.colourfulness) &&
                    look.colourfulness < fmax(a.colourfulness, b.colourfulness));
    }
}

/* Every path begins and ends exactly, has no jump, and gives chromaticities. */
static void test_ends(void **state)
{
    const mtm_xy from = {0.46, 0.41};
    const mtm_xy to = {0.32, 0.34};

    (void)state;
    for (const mtm_path_info *info = mtm_path_type_at(0); info != NULL;
         info = mtm_path_type_at(info->type + 1)) {
        if (info->type == MTM_PATH_SLOTS)
            continue;
        mtm_path path = make(info->type, from, to);
        mtm_xy last = mtm_path_at(&path, -1);
        assert_memory_equal(&last, &from, sizeof from);
        for (int k = 1; k <= 1000; k++) {
            mtm_xy xy = mtm_path_at(&path, k / 1000.0);
            assert_true(mtm_xy_valid(xy));
            if (!(mtm_uv_distance(mtm_uv_from_xy(xy), mtm_uv_from_xy(last)) < 1e-3))
                fail_msg("%s jumps at %d", info->name, k);
            last = xy;
        }
        assert_memory_equal(&last, &to, sizeof to);
    }
}

static void test_refusals(void **state)
{
    const mtm_xy white = {0.33, 0.34};
    const mtm_xy blue = {0.16, 0.05};
    const mtm_xy none = {0.8, 0.4};
    mtm_path path = {.from = {7, 7}};
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_path_create(MTM_PATH_WHITE, white, blue, &path, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "x 0.1600, y 0.0500");
    assert_int_equal(mtm_path_create(MTM_PATH_LIGHT, white, none, &path, &error), MTM_INVALID);
    assert_int_equal(mtm_path_create(MTM_PATH_SLOTS, white, blue, &path, &error), MTM_INVALID);
    assert_int_equal(mtm_path_create((mtm_path_type)99, white, blue, &path, &error), MTM_INVALID);
    assert_int_equal(mtm_path_create(MTM_PATH_LIGHT, white, blue, NULL, &error), MTM_INVALID);
    CHECK_NEAR("untouched", path.from.x, 7, 0);
}

/* Half way from dark to full: L* 50 is 0.184187 (ISO/CIE 11664-4: ((50 + 16) / 116)^3); square law
 * 0.25 and linear 0.5 by definition; s: 0.5 by symmetry, and 5/32 at a quarter. */
static void test_shapes(void **state)
{
    mtm_curve *own = NULL;

    (void)state;
    assert_int_equal(mtm_curve_create_power(3, &own, NULL), MTM_OK);
    CHECK_NEAR("lightness", mtm_shape_at(MTM_SHAPE_LIGHTNESS, NULL, 0, 1, 0.5), 0.184187, 5e-7);
    CHECK_NEAR("lightness 4", mtm_shape_at(MTM_SHAPE_LIGHTNESS, NULL, 0, 1, 0.04), 4 / 903.2963,
               1e-9);
    CHECK_NEAR("linear", mtm_shape_at(MTM_SHAPE_LINEAR, NULL, 0, 1, 0.5), 0.5, 1e-15);
    CHECK_NEAR("square", mtm_shape_at(MTM_SHAPE_SQUARE, NULL, 0, 1, 0.5), 0.25, 1e-15);
    CHECK_NEAR("s", mtm_shape_at(MTM_SHAPE_S, NULL, 0, 1, 0.25), 5.0 / 32, 1e-15);
    CHECK_NEAR("own", mtm_shape_at(MTM_SHAPE_OWN, own, 0, 1, 0.5), 0.125, 1e-12);
    CHECK_NEAR("own of none", mtm_shape_at(MTM_SHAPE_OWN, NULL, 0, 1, 0.5), 0.5, 1e-15);
    mtm_curve_free(own);
}

/* Every shape: exact ends, never beyond them, never back. */
static void test_shapes_rise(void **state)
{
    mtm_curve *own = NULL;

    (void)state;
    assert_int_equal(mtm_curve_create_named("lightness", &own, NULL), MTM_OK);
    for (const mtm_shape_info *info = mtm_shape_type_at(0); info != NULL;
         info = mtm_shape_type_at(info->type + 1)) {
        double last = 0.02;
        CHECK_NEAR("start", mtm_shape_at(info->type, own, 0.02, 0.7, 0), 0.02, 0);
        CHECK_NEAR("end", mtm_shape_at(info->type, own, 0.02, 0.7, 1), 0.7, 0);
        for (int k = 1; k <= 100; k++) {
            double light = mtm_shape_at(info->type, own, 0.02, 0.7, k / 100.0);
            double back = mtm_shape_at(info->type, own, 0.7, 0.02, 1 - k / 100.0);
            if (!(light > last && light <= 0.7))
                fail_msg("%s at %d: %.9g after %.9g", info->name, k, light, last);
            CHECK_NEAR(info->name, back, light, 1e-9);
            last = light;
        }
    }
    mtm_curve_free(own);
}

int main(void)
{
    struct CMUnitTest rows[COUNT(light_rows) + COUNT(white_rows) + COUNT(oklab_rows)];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_hue_constant), cmocka_unit_test(test_round),
        cmocka_unit_test(test_ends),         cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_shapes),       cmocka_unit_test(test_shapes_rise),
    };

    ROW_TESTS(rows, light_rows, test_light);
    ROW_TESTS(rows + COUNT(light_rows), white_rows, test_white);
    ROW_TESTS(rows + COUNT(light_rows) + COUNT(white_rows), oklab_rows, test_oklab);
    int failed = cmocka_run_group_tests_name("paths", rows, NULL, NULL);
    return failed + cmocka_run_group_tests_name("paths and shapes", tests, NULL, NULL);
}
