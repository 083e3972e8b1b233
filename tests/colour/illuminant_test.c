/* SPDX-License-Identifier: MIT */
/* Illuminants by name: chromaticities of the CIE for both observers; conversions of chromaticities.
 */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/illuminant.h>

/* CIE 015:2018, tables of chromaticity coordinates (A, D50, D65, both observers; D50 and D65
 * printed to four decimals for 2 degrees); E by definition. D55 and D75: ASTM E308 whites 95.682
 * 100 92.149 and 94.972 100 122.638, 2 degrees only. Tolerance 0.00005, that of a 5 nm against a 1
 * nm sum. */
static const struct row {
    const char *name;
    mtm_xy xy, xy_10;
} rows[] = {
    {"A", {0.44758, 0.40745}, {0.45117, 0.40594}},
    {"D50", {0.34567, 0.35850}, {0.34773, 0.35952}},
    {"D55", {0.95682 / 2.87831, 1 / 2.87831}, {0, 0}},
    {"D65", {0.31271, 0.32901}, {0.31382, 0.33100}},
    {"D75", {0.94972 / 3.17610, 1 / 3.17610}, {0, 0}},
    {"E", {1.0 / 3, 1.0 / 3}, {1.0 / 3, 1.0 / 3}},
};

static void check_xy(mtm_xy got, mtm_xy wanted)
{
    CHECK_NEAR("x", got.x, wanted.x, 5e-5);
    CHECK_NEAR("y", got.y, wanted.y, 5e-5);
}

static void test_row(void **state)
{
    const struct row *row = *state;
    mtm_spectrum spectrum;

    assert_int_equal(mtm_spectrum_illuminant(row->name, &spectrum, NULL), MTM_OK);
    CHECK_NEAR("at 560 nm", spectrum.value[200], 100, 1e-12);
    check_xy(mtm_xy_from_xyz(mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_2)), row->xy);
    if (row->xy_10.x > 0)
        check_xy(mtm_xy_from_xyz(mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_10)), row->xy_10);
}

/* Spectra as the CIE prints them: A (ISO/CIE 11664-2, table 1) at 380, 560, 780 nm, and D65 at 380,
 * 560, 780 nm. */
static void test_spectra(void **state)
{
    mtm_spectrum a;
    mtm_spectrum d65;

    (void)state;
    assert_int_equal(mtm_spectrum_illuminant("a", &a, NULL), MTM_OK);
    CHECK_NEAR("A 380", a.value[20], 9.79510, 5e-6);
    CHECK_NEAR("A 780", a.value[420], 241.675, 5e-4);
    assert_int_equal(mtm_spectrum_illuminant("d65", &d65, NULL), MTM_OK);
    CHECK_NEAR("D65 380", d65.value[20], 49.9755, 5e-5);
    CHECK_NEAR("D65 780", d65.value[420], 63.3828, 5e-5);
}

static void test_find(void **state)
{
    mtm_spectrum spectrum = {.value = {7}};
    mtm_error error;
    size_t count = 0;

    (void)state;
    for (; count < mtm_illuminant_count(); count++) {
        const mtm_illuminant *i = mtm_illuminant_at(count);
        assert_non_null(i->description);
        assert_int_equal(mtm_spectrum_illuminant(i->name, &spectrum, NULL), MTM_OK);
    }
    assert_int_equal(count, COUNT(rows));
    spectrum.value[0] = 7;
    assert_int_equal(mtm_spectrum_illuminant("D56", &spectrum, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "no illuminant \"D56\", the nearest is D5");
    assert_int_equal(mtm_spectrum_illuminant("moonlight", &spectrum, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, "no illuminant \"moonlight\"; there are A, D50");
    assert_int_equal(mtm_spectrum_illuminant(NULL, &spectrum, &error), MTM_INVALID);
    CHECK_NEAR("untouched", spectrum.value[0], 7, 0);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 2];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_spectra);
    tests[COUNT(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(test_find);
    return cmocka_run_group_tests_name("illuminants", tests, NULL, NULL);
}
