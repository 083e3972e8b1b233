/* SPDX-License-Identifier: MIT */
/* Dominant wavelength, purity, peak, width and efficacy against computed figures. */
#include "support/check.h"

#include <metamer/dominant.h>

/* CIE 015 / CIE e-ILV definitions; numpy 1.24.2, locus as a polygon of 1 nm points 380..700 nm;
 * colour-science 0.4.6 agrees to its nearest nanometre. Tolerance 0.1 nm, 0.001. */
static const struct row {
    const char *name;
    mtm_xy xy, white;
    double dominant_nm, purity;
} rows[] = {
    {"0.54369557 0.32107944", {0.54369557, 0.32107944}, {0.3127, 0.329}, 616.40, 0.6229},
    {"0.37605506 0.24452225", {0.37605506, 0.24452225}, {0.3127, 0.329}, -508.93, 0.4386},
    {"0.17 0.7", {0.17, 0.7}, {0.3127, 0.329}, 526.06, 0.7517},
    {"0.69 0.305", {0.69, 0.305}, {0.3127, 0.329}, 621.90, 0.9864},
    {"0.57 0.42", {0.57, 0.42}, {0.3127, 0.329}, 590.31, 0.9738},
    {"0.1 0.35", {0.1, 0.35}, {0.3127, 0.329}, 492.71, 0.7606},
    {"0.45 0.25", {0.45, 0.25}, {0.333333, 0.333333}, -501.17, 0.5405},
    {"0.6 0.32", {0.6, 0.32}, {0.3127, 0.329}, 615.93, 0.7771},
    {"0.25 0.22", {0.25, 0.22}, {0.333333, 0.333333}, 468.84, 0.4040},
    {"0.35 0.2", {0.35, 0.2}, {0.3127, 0.329}, -533.17, 0.5635},
    {"0.22 0.4", {0.22, 0.4}, {0.333333, 0.333333}, 499.42, 0.3500},
};

static void test_dominant(void **state)
{
    const struct row *row = *state;
    mtm_dominant dominant = {0};

    assert_int_equal(mtm_dominant_from_xy(row->xy, row->white, MTM_OBSERVER_2, &dominant, NULL),
                     MTM_OK);
    CHECK_NEAR("wavelength", dominant.wavelength_nm, row->dominant_nm, 0.01);
    CHECK_NEAR("purity", dominant.purity, row->purity, 0.0001);
}

/* LED line shape of Ohno (Opt. Eng. 44, 111302, 2005): width solved with SciPy 1.10.1; efficacy by
 * sums at 1 nm, 360..830 nm, numpy 1.24.2. */
static const struct led_row {
    const char *name;
    double peak_nm, fwhm_nm;
    mtm_xy xy;
    double ler_lm_per_w;
} led_rows[] = {
    {"555 nm, 23.045578 nm", 555, 23.045578, {0.3492798, 0.6433030}, 654.8873},
    {"530 nm, 27.654694 nm", 530, 27.654694, {0.1894027, 0.7424411}, 545.7109},
    {"450 nm, 16.592816 nm", 450, 16.592816, {0.1547028, 0.0203694}, 28.3585},
    {"470 nm, 23.045578 nm", 470, 23.045578, {0.1259480, 0.0715187}, 74.0012},
    {"595 nm, 13.827347 nm", 595, 13.827347, {0.5968726, 0.4025549}, 472.7612},
    {"660 nm, 18.436462 nm", 660, 18.436462, {0.7257082, 0.2742811}, 48.9258},
    {"525 nm, 32.263809 nm", 525, 32.263809, {0.1691813, 0.7165369}, 495.9623},
    {"425 nm, 13.827347 nm", 425, 13.827347, {0.1687763, 0.0071172}, 5.9711},
    {"640 nm, 14.749170 nm", 640, 14.749170, {0.7142291, 0.2857252}, 125.5486},
    {"605 nm, 55.309387 nm", 605, 55.309387, {0.5815986, 0.4143319}, 375.4681},
};

static void test_led(void **state)
{
    const struct led_row *row = *state;
    mtm_spectrum spectrum = {{0}};
    mtm_peak peak = {0};
    double ler = 0;

    assert_int_equal(mtm_spectrum_led(row->peak_nm, row->fwhm_nm, &spectrum, NULL), MTM_OK);
    assert_int_equal(mtm_peak_from_spectrum(&spectrum, &peak, NULL), MTM_OK);
    CHECK_NEAR("peak", peak.wavelength_nm, row->peak_nm, 0.001);
    CHECK_NEAR("height", peak.value, 1, 1e-4);
    assert_true(peak.has_fwhm);
    CHECK_NEAR("width", peak.fwhm_nm, row->fwhm_nm, 0.05);
    assert_int_equal(mtm_ler_from_spectrum(&spectrum, &ler, NULL), MTM_OK);
    CHECK_NEAR("efficacy", ler, row->ler_lm_per_w, 0.001);
    mtm_xy xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_2));
    CHECK_NEAR("x", xy.x, row->xy.x, 2e-6);
    CHECK_NEAR("y", xy.y, row->xy.y, 2e-6);
}

/* A peak between two samples is found between them. */
static void test_peak_between(void **state)
{
    mtm_spectrum spectrum = {{0}};
    mtm_peak peak = {0};

    (void)state;
    assert_int_equal(mtm_spectrum_led(521.37, 20, &spectrum, NULL), MTM_OK);
    assert_int_equal(mtm_peak_from_spectrum(&spectrum, &peak, NULL), MTM_OK);
    CHECK_NEAR("peak", peak.wavelength_nm, 521.37, 0.01);
}

/* A single line on the grid has a width of one step; a rising spectrum has none. */
static void test_peak_edges(void **state)
{
    mtm_spectrum spectrum = {{0}};
    mtm_peak peak = {0};

    (void)state;
    spectrum.value[100] = 2;
    assert_int_equal(mtm_peak_from_spectrum(&spectrum, &peak, NULL), MTM_OK);
    CHECK_NEAR("line", peak.wavelength_nm, 460, 0);
    CHECK_NEAR("line width", peak.fwhm_nm, 1, 1e-12);
    assert_int_equal(mtm_spectrum_planck(2856, &spectrum, NULL), MTM_OK);
    assert_int_equal(mtm_peak_from_spectrum(&spectrum, &peak, NULL), MTM_OK);
    CHECK_NEAR("end", peak.wavelength_nm, 830, 0);
    assert_false(peak.has_fwhm);
}

/* Monochromatic light is its own dominant wavelength, of purity 1, for both observers. */
static void test_on_locus(void **state)
{
    (void)state;
    for (int observer = 0; observer < MTM_OBSERVER_COUNT; observer++)
        for (int nm = 400; nm <= 680; nm += 20) {
            mtm_spectrum line = {{0}};
            mtm_dominant dominant = {0};

            line.value[nm - MTM_SPECTRUM_FIRST_NM] = 1;
            mtm_xy xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(&line, (mtm_observer)observer));
            assert_int_equal(mtm_dominant_from_xy(xy, (mtm_xy){1.0 / 3, 1.0 / 3},
                                                  (mtm_observer)observer, &dominant, NULL),
                             MTM_OK);
            CHECK_NEAR("wavelength", dominant.wavelength_nm, nm, 0.001);
            CHECK_NEAR("purity", dominant.purity, 1, 1e-6);
        }
}

static void test_wrong_calls(void **state)
{
    mtm_xy white = {0.3127, 0.3290};
    mtm_xy good = {0.4, 0.4};
    mtm_dominant dominant = {-1, -1};
    mtm_spectrum dark = {{0}};
    mtm_spectrum broken = {{0}};
    mtm_peak peak = {.value = -1};
    mtm_error error = {""};
    double ler = -1;

    (void)state;
    assert_int_equal(mtm_dominant_from_xy(white, white, MTM_OBSERVER_2, &dominant, &error),
                     MTM_RANGE);
    CHECK_HOLDS(error.text, "the white itself");
    assert_int_equal(
        mtm_dominant_from_xy((mtm_xy){NAN, 0.3}, white, MTM_OBSERVER_2, &dominant, &error),
        MTM_INVALID);
    assert_int_equal(
        mtm_dominant_from_xy(good, (mtm_xy){0.8, 0.3}, MTM_OBSERVER_2, &dominant, &error),
        MTM_INVALID);
    assert_int_equal(
        mtm_dominant_from_xy(good, (mtm_xy){0.05, 0.2}, MTM_OBSERVER_2, &dominant, &error),
        MTM_INVALID);
    CHECK_HOLDS(error.text, "outside the spectrum locus");
    assert_int_equal(mtm_dominant_from_xy(good, white, (mtm_observer)5, &dominant, &error),
                     MTM_INVALID);
    assert_int_equal(mtm_dominant_from_xy(good, white, MTM_OBSERVER_2, NULL, &error), MTM_INVALID);
    assert_true(dominant.purity == -1);
    broken.value[140] = NAN;
    assert_int_equal(mtm_peak_from_spectrum(&broken, &peak, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, "at 500 nm");
    assert_int_equal(mtm_peak_from_spectrum(&dark, &peak, &error), MTM_RANGE);
    assert_int_equal(mtm_peak_from_spectrum(NULL, &peak, &error), MTM_INVALID);
    assert_int_equal(mtm_peak_from_spectrum(&dark, NULL, &error), MTM_INVALID);
    assert_true(peak.value == -1);
    assert_int_equal(mtm_ler_from_spectrum(&broken, &ler, &error), MTM_INVALID);
    assert_int_equal(mtm_ler_from_spectrum(&dark, &ler, &error), MTM_RANGE);
    assert_int_equal(mtm_ler_from_spectrum(&dark, NULL, &error), MTM_INVALID);
    assert_true(ler == -1);
}

/* The locus has purity 1 (CIE S 017, 17-23-067); the room for rounding is our own. */
static void test_imaginary(void **state)
{
    (void)state;
    assert_false(mtm_dominant_imaginary((mtm_dominant){520, 1}));
    assert_false(mtm_dominant_imaginary((mtm_dominant){520, 1.0019}));
    assert_true(mtm_dominant_imaginary((mtm_dominant){520, 1.0021}));
    assert_true(mtm_dominant_imaginary((mtm_dominant){-520, 1.1}));
}

static const struct CMUnitTest single_tests[] = {
    cmocka_unit_test(test_peak_between), cmocka_unit_test(test_peak_edges),
    cmocka_unit_test(test_on_locus),     cmocka_unit_test(test_wrong_calls),
    cmocka_unit_test(test_imaginary),
};

int main(void)
{
    static struct CMUnitTest tests[COUNT(rows) + COUNT(led_rows) + COUNT(single_tests)];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, rows, test_dominant);
    next += COUNT(rows);
    ROW_TESTS(next, led_rows, test_led);
    next += COUNT(led_rows);
    memcpy(next, single_tests, sizeof single_tests);
    return cmocka_run_group_tests_name("dominant wavelength and peak", tests, NULL, NULL);
}
