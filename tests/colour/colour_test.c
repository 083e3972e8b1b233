/* SPDX-License-Identifier: MIT */
/* Chromaticities: the white points of the standards in each form, and what black gives. */
#include "support/check.h"

#include <metamer/colour.h>

/* Planckian points with x, y and CIE 1960 u, v (2 degrees): CIE 015:2018, c2 = 1.4388e-2 m K,
 * summed at 1 nm; 4000 K as in Wyszecki & Stiles, table 1(3.11): u .22511, v .33439. To 6 decimals.
 */
static const struct row {
    const char *name;
    mtm_xy xy;
    double u, v_1960;
} rows[] = {
    {"1800 K", {0.549248, 0.408224}, 0.323078, 0.360187},
    {"2856 K", {0.447539, 0.407429}, 0.255953, 0.349521},
    {"4000 K", {0.380442, 0.376749}, 0.225111, 0.334387},
    {"10000 K", {0.280634, 0.288289}, 0.190319, 0.293265},
};

static void test_row(void **state)
{
    const struct row *row = *state;

    mtm_uv uv = mtm_uv_from_xy(row->xy);
    CHECK_NEAR("u'", uv.u, row->u, 2e-6);
    CHECK_NEAR("v'", uv.v, 1.5 * row->v_1960, 3e-6);
    mtm_xy back = mtm_xy_from_uv(uv);
    CHECK_NEAR("x", back.x, row->xy.x, 1e-14);
    CHECK_NEAR("y", back.y, row->xy.y, 1e-14);
    mtm_xyz xyz = mtm_xyz_from_xy(row->xy, 250);
    CHECK_NEAR("Y", xyz.y, 250, 0);
    CHECK_NEAR("x", mtm_xy_from_xyz(xyz).x, row->xy.x, 1e-14);
    CHECK_NEAR("y", mtm_xy_from_xyz(xyz).y, row->xy.y, 1e-14);
    CHECK_NEAR("u'", mtm_uv_from_xyz(xyz).u, uv.u, 1e-14);
    CHECK_NEAR("v'", mtm_uv_from_xyz(xyz).v, uv.v, 1e-14);
}

static void test_black(void **state)
{
    const mtm_xyz black = {0, 0, 0};
    const mtm_xyz none = {-1, -1, -1};

    (void)state;
    CHECK_NEAR("x", mtm_xy_from_xyz(black).x, 0, 0);
    CHECK_NEAR("y", mtm_xy_from_xyz(black).y, 0, 0);
    CHECK_NEAR("u'", mtm_uv_from_xyz(black).u, 0, 0);
    CHECK_NEAR("v'", mtm_uv_from_xyz(black).v, 0, 0);
    CHECK_NEAR("x", mtm_xy_from_xyz(none).x, 0, 0);
    CHECK_NEAR("u'", mtm_uv_from_xyz(none).u, 0, 0);
    CHECK_NEAR("of zeros", mtm_xyz_from_xy((mtm_xy){0.3, 0.3}, 0).x, 0, 0);
}

static void test_valid(void **state)
{
    (void)state;
    assert_true(mtm_xy_valid((mtm_xy){0.3, 0.3}));
    assert_true(mtm_xy_valid((mtm_xy){0, 1}));
    assert_false(mtm_xy_valid((mtm_xy){0.3, 0}));
    assert_false(mtm_xy_valid((mtm_xy){-1e-9, 0.3}));
    assert_false(mtm_xy_valid((mtm_xy){0.6, 0.4001}));
    assert_false(mtm_xy_valid((mtm_xy){NAN, 0.3}));
    assert_false(mtm_xy_valid((mtm_xy){0.3, INFINITY}));
}

static void test_distance(void **state)
{
    (void)state;
    CHECK_NEAR("3-4-5", mtm_uv_distance((mtm_uv){0.20, 0.46}, (mtm_uv){0.23, 0.50}), 0.05, 1e-15);
}

/* The candela's definition (SI Brochure, 9th edition, 2.3.1) is 683 lm a watt at 540 THz, where V
 * is 1 to its printed digits, as at 555 nm; V(600 nm) = 0.631 (CIE 018, table of V). A spectrum of
 * one wavelength has so many lumens, and any other unit is scaled away. */
static void test_lumens(void **state)
{
    static const struct line {
        int wavelength_nm;
        double raw, flux_lm, watts;
    } lines[] = {
        {555, 42, 683, 1},
        {555, 1e-9, 68.3, 0.1},
        {600, 7, 683 * 0.631, 1},
        {600, 7, 0, 0},
    };
    mtm_spectrum dark = {{0}};
    mtm_error error;

    (void)state;
    for (size_t i = 0; i < COUNT(lines); i++) {
        mtm_spectrum spectrum = {{0}};
        double *value = &spectrum.value[lines[i].wavelength_nm - MTM_SPECTRUM_FIRST_NM];
        *value = lines[i].raw;
        assert_int_equal(mtm_spectrum_scale_to_lm(&spectrum, lines[i].flux_lm, NULL), MTM_OK);
        CHECK_NEAR("watts", *value, lines[i].watts, 1e-9);
    }
    assert_int_equal(mtm_spectrum_scale_to_lm(&dark, 0, NULL), MTM_OK);
    assert_int_equal(mtm_spectrum_scale_to_lm(&dark, 1, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "no visible light");
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 4];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_black);
    tests[COUNT(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(test_valid);
    tests[COUNT(rows) + 2] = (struct CMUnitTest)cmocka_unit_test(test_distance);
    tests[COUNT(rows) + 3] = (struct CMUnitTest)cmocka_unit_test(test_lumens);
    return cmocka_run_group_tests_name("chromaticities", tests, NULL, NULL);
}
