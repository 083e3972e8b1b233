/* SPDX-License-Identifier: MIT */
/* Observers: the tables against another copy, and spectra of all kinds through them. */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/illuminant.h>
#include <metamer/spectrum_file.h>

#include "data/tables.h"

static mtm_spectrum_set *load(const char *path)
{
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    if (mtm_spectrum_set_load(path, MTM_ENDS_ZERO, &set, &error) != MTM_OK)
        fail_msg("%s", error.text);
    return set;
}

/* Every fifth value beside the 5 nm copy that Debian's colord-data 1.4.6 installs; that copy went
 * through single precision and so differs by up to 1.5e-7 of 1. */
static void check_copy(const char *path, const double (*table)[MTM_SPECTRUM_COUNT])
{
    mtm_spectrum_set *set = load(path);

    assert_int_equal(mtm_spectrum_set_count(set), 3);
    for (size_t function = 0; function < 3; function++) {
        for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i += 5)
            CHECK_NEAR("value", table[function][i], mtm_spectrum_set_at(set, function)->value[i],
                       1.5e-7);
    }
    mtm_spectrum_set_free(set);
}

static void test_copies(void **state)
{
    (void)state;
    check_copy("/usr/share/colord/cmf/CIE1931-2deg-XYZ.cmf", mtmi_table_observer_2);
    check_copy("/usr/share/colord/cmf/CIE1964-10deg-XYZ.cmf", mtmi_table_observer_10);
}

/* The daylight components beside colord-data's copy, every 10 nm. */
static void test_daylight_copy(void **state)
{
    mtm_spectrum_set *set = load("/usr/share/colord/ref/CIE-1986-daylight-SPD.cmf");

    (void)state;
    for (size_t component = 0; component < 3; component++) {
        for (size_t row = 6; row < 54; row++)
            CHECK_NEAR("component", mtmi_table_daylight[component][row],
                       mtm_spectrum_set_at(set, component)->value[10 * row - 60], 1e-6);
    }
    mtm_spectrum_set_free(set);
}

/* CIE illuminants as colord-data 1.4.6 installs them, mostly at 5 nm. Chromaticities: sums of the
 * CIE tables at 5 nm (numpy 1.24.2), equal to those printed in CIE 015:2018 to their digits. A sum
 * at 1 nm moves those with lines by up to 0.00023. */
static const struct illuminant_row {
    const char *name; /* file */
    mtm_xy xy, xy_10;
    double tolerance;
} illuminant_rows[] = {
    {"CIE-A.sp", {0.447571, 0.407440}, {0.451175, 0.405937}, 6e-5},
    {"CIE-C.sp", {0.310058, 0.316150}, {0.310389, 0.319051}, 6e-5},
    {"CIE-D50.sp", {0.345668, 0.358497}, {0.347729, 0.359523}, 6e-5},
    {"CIE-D65.sp", {0.312711, 0.329008}, {0.313805, 0.330976}, 6e-5},
    {"CIE-F1.sp", {0.313062, 0.337106}, {0.318099, 0.335489}, 3e-4},
    {"CIE-F2.sp", {0.372068, 0.375123}, {0.379275, 0.367228}, 3e-4},
    {"CIE-F4.sp", {0.440181, 0.403091}, {0.449248, 0.390605}, 3e-4},
    {"CIE-F7.sp", {0.312852, 0.329174}, {0.315646, 0.329508}, 3e-4},
    {"CIE-F8.sp", {0.345806, 0.358618}, {0.348966, 0.359317}, 3e-4},
    {"CIE-F9.sp", {0.374099, 0.372684}, {0.378254, 0.370382}, 3e-4},
    {"CIE-F11.sp", {0.380537, 0.376915}, {0.385435, 0.371095}, 3e-4},
};

/* Two lights of one wavelength that make a white: computed with SciPy 1.10.1, a cubic spline
 * between the observers' values at 1 nm (ISO/CIE 11664-1) and the line through the white. Power
 * ratio of the second to the first, and the first one's share of the luminous flux. Tolerance 0.05
 * nm, 0.2 %. */
static const struct pair_row {
    const char *name;
    mtm_observer observer;
    const char *white;
    double first_nm, second_nm, ratio, flux_share;
} pair_rows[] = {
    {"380 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 380, 560.870, 0.000642285, 0.026437},
    {"400 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 400, 561.086, 0.0785391, 0.025006},
    {"420 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 420, 561.700, 0.890694, 0.023602},
    {"430 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 430, 562.244, 1.42033, 0.026715},
    {"450 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 450, 563.984, 1.79402, 0.048121},
    {"470 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 470, 570.406, 1.09431, 0.150823},
    {"475 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 475, 575.468, 0.812539, 0.229088},
    {"482 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 482, 591.187, 0.482315, 0.423319},
    {"485 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 485, 611.281, 0.457213, 0.560309},
    {"486 nm, 10 degrees, D65", MTM_OBSERVER_10, "D65", 486, 629.592, 0.66756, 0.614433},
    {"440 nm, 2 degrees, D65", MTM_OBSERVER_2, "D65", 440, 567.458, 1.63922, 0.014306},
    {"450 nm, 2 degrees, D65", MTM_OBSERVER_2, "D65", 450, 568.270, 1.65496, 0.023303},
    {"460 nm, 2 degrees, D65", MTM_OBSERVER_2, "D65", 460, 569.625, 1.54632, 0.039069},
    {"450 nm, 2 degrees, A", MTM_OBSERVER_2, "A", 450, 579.496, 5.67932, 0.007589},
    {"470 nm, 2 degrees, D50", MTM_OBSERVER_2, "D50", 470, 573.833, 1.59301, 0.058166},
    {"455 nm, 2 degrees, E", MTM_OBSERVER_2, "E", 455, 571.739, 1.80746, 0.027465},
};

/* Synthetic mixtures of LED lines, tests/data/led-mixtures.csv: computed with numpy 1.24.2; sums at
 * 1 nm. Tolerance 2e-6 in x, y; 0.01 lm/W. */
static const struct mixture_row {
    const char *name;
    mtm_xy xy, xy_10;
    double ler_lm_per_w;
} mixture_rows[] = {
    {"three-line-warm", {0.422364, 0.443411}, {0.431685, 0.438819}, 408.742},
    {"three-line-cool", {0.267866, 0.328359}, {0.272318, 0.331182}, 305.864},
    {"five-line-neutral", {0.366024, 0.373808}, {0.369661, 0.373212}, 331.305},
    {"phosphor-warm", {0.476134, 0.411364}, {0.483731, 0.404123}, 335.094},
    {"phosphor-cool", {0.322516, 0.372180}, {0.332638, 0.363406}, 365.784},
    {"warm-plus-red", {0.435962, 0.439156}, {0.447344, 0.429001}, 389.118},
};

static void check_xy(const mtm_spectrum *spectrum, mtm_xy xy, mtm_xy xy_10, double tolerance)
{
    mtm_xy got = mtm_xy_from_xyz(mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2));
    mtm_xy got_10 = mtm_xy_from_xyz(mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_10));

    CHECK_NEAR("x", got.x, xy.x, tolerance);
    CHECK_NEAR("y", got.y, xy.y, tolerance);
    CHECK_NEAR("x, 10 degrees", got_10.x, xy_10.x, tolerance);
    CHECK_NEAR("y, 10 degrees", got_10.y, xy_10.y, tolerance);
}

static void test_illuminant(void **state)
{
    const struct illuminant_row *row = *state;
    char path[256];

    (void)snprintf(path, sizeof path, "/usr/share/colord/illuminant/%s", row->name);
    mtm_spectrum_set *set = load(path);
    check_xy(mtm_spectrum_set_at(set, 0), row->xy, row->xy_10, row->tolerance);
    mtm_spectrum_set_free(set);
}

/* A line of 0.2 nm width and a power of 1, wherever it lies between the grid points. */
static mtm_xyz line_of_light(double nm, mtm_observer observer)
{
    const double x[] = {nm - 0.1, nm, nm + 0.1};
    const double y[] = {0, 10, 0};
    mtm_spectrum spectrum;

    assert_int_equal(mtm_spectrum_from_samples(x, y, 3, MTM_ENDS_ZERO, &spectrum, NULL), MTM_OK);
    return mtm_xyz_from_spectrum(&spectrum, observer);
}

static void test_pair(void **state)
{
    const struct pair_row *row = *state;
    mtm_xyz first = line_of_light(row->first_nm, row->observer);
    mtm_xyz second = line_of_light(row->second_nm, row->observer);
    mtm_spectrum spectrum;

    assert_int_equal(mtm_spectrum_illuminant(row->white, &spectrum, NULL), MTM_OK);
    mtm_xy white = mtm_xy_from_xyz(mtm_xyz_from_spectrum(&spectrum, row->observer));
    const mtm_xyz mixed = {first.x + row->ratio * second.x, first.y + row->ratio * second.y,
                           first.z + row->ratio * second.z};
    /* 0.05 nm and 0.2 % move the mixture by about 0.0007. */
    CHECK_NEAR("x", mtm_xy_from_xyz(mixed).x, white.x, 7e-4);
    CHECK_NEAR("y", mtm_xy_from_xyz(mixed).y, white.y, 7e-4);
    CHECK_NEAR("flux share", first.y / mixed.y, row->flux_share, 0.004 * row->flux_share);
}

static void test_mixture(void **state)
{
    const struct mixture_row *row = *state;
    char path[1024];
    size_t i = 0;
    double power = 0;

    assert_non_null(getenv("METAMER_TEST_DATA"));
    (void)snprintf(path, sizeof path, "%s/led-mixtures.csv", getenv("METAMER_TEST_DATA"));
    mtm_spectrum_set *set = load(path);
    while (strcmp(mtm_spectrum_set_name(set, i), row->name) != 0) {
        i++;
        assert_true(i < mtm_spectrum_set_count(set));
    }
    const mtm_spectrum *spectrum = mtm_spectrum_set_at(set, i);
    for (size_t k = 0; k < MTM_SPECTRUM_COUNT; k++)
        power += spectrum->value[k];
    check_xy(spectrum, row->xy, row->xy_10, 2e-6);
    CHECK_NEAR("lm/W", mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2).y / power, row->ler_lm_per_w,
               0.01);
    mtm_spectrum_set_free(set);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(illuminant_rows) + COUNT(pair_rows) + COUNT(mixture_rows) + 2];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, illuminant_rows, test_illuminant);
    next += COUNT(illuminant_rows);
    ROW_TESTS(next, pair_rows, test_pair);
    next += COUNT(pair_rows);
    ROW_TESTS(next, mixture_rows, test_mixture);
    next += COUNT(mixture_rows);
    next[0] = (struct CMUnitTest)cmocka_unit_test(test_copies);
    next[1] = (struct CMUnitTest)cmocka_unit_test(test_daylight_copy);
    return cmocka_run_group_tests_name("observers", tests, NULL, NULL);
}
