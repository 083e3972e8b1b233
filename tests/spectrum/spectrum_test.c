/* SPDX-License-Identifier: MIT */
/* Samples to the grid and the grid to XYZ: exactness, kept power, the kernels against a plain sum.
 */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/spectrum.h>

#include "colour/integrate.h"
#include "data/tables.h"

static double at(const mtm_spectrum *spectrum, int nm)
{
    return spectrum->value[nm - MTM_SPECTRUM_FIRST_NM];
}

static double sum(const mtm_spectrum *spectrum)
{
    double total = 0;

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        total += spectrum->value[i];
    return total;
}

/* Centre of gravity. */
static double mean_nm(const mtm_spectrum *spectrum)
{
    double moment = 0;

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        moment += spectrum->value[i] * (double)(MTM_SPECTRUM_FIRST_NM + i);
    return moment / sum(spectrum);
}

/* A repeatable sequence in 0..1, for wavelengths and values. */
static double next_random(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005U + 1442695040888963407U;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

#define ROOM 5000

/* Samples of a function from first_nm to last_nm. Returns their number. */
static size_t sample(double (*function)(double), double first_nm, double last_nm, double step_nm,
                     double *nm, double *value)
{
    size_t count = 0;

    while (count < ROOM && first_nm + step_nm * (double)count <= last_nm + 1e-9) {
        nm[count] = first_nm + step_nm * (double)count;
        value[count] = function(nm[count]);
        count++;
    }
    return count;
}

static double line_40(double nm)
{
    return 0.25 + nm / 40;
}

static double quartic(double nm)
{
    double t = (nm - 600) / 100;

    return 3 + t * (2 + t * (-1 + t * (0.5 + t / 4)));
}

/* A Gaussian line of 20 nm full width, and one of 5 nm. */
static double wide_line(double nm)
{
    double t = (nm - 521.3) / 20;

    return exp(-2.772588722239781 * t * t);
}

static double narrow_line(double nm)
{
    double t = (nm - 521.3) / 5;

    return exp(-2.772588722239781 * t * t);
}

/* Whatever the spacing, a straight line stays straight; from 2 nm up, a polynomial of fourth degree
 * stays itself (Sprague is exact for it, save in the first and last two intervals, where the
 * standard's end formulas are exact for straight lines only). */
static void test_polynomials(void **state)
{
    static const double steps[] = {0.1, 0.5, 0.9, 1, 1.3, 1.9, 2, 2.5, 5, 7.3, 10, 20};
    double nm[ROOM];
    double value[ROOM];
    mtm_spectrum made;

    (void)state;
    for (size_t s = 0; s < COUNT(steps); s++) {
        size_t count = sample(line_40, 355, 835, steps[s], nm, value);

        assert_int_equal(mtm_spectrum_from_samples(nm, value, count, MTM_ENDS_HOLD, &made, NULL),
                         MTM_OK);
        for (int x = 360; x <= 820; x++)
            CHECK_NEAR("straight", at(&made, x), line_40(x), 1e-9);
        if (steps[s] < 2)
            continue;
        count = sample(quartic, 360, 820, steps[s], nm, value);
        assert_int_equal(mtm_spectrum_from_samples(nm, value, count, MTM_ENDS_ZERO, &made, NULL),
                         MTM_OK);
        for (int x = (int)ceil(nm[2]); x <= nm[count - 3]; x++)
            CHECK_NEAR("fourth degree", at(&made, x), quartic(x), 1e-9);
    }
}

/* Samples that already lie on the grid are not touched, at 1, 2 and 5 nm. */
static void test_on_grid(void **state)
{
    uint64_t seed = 1;
    double nm[MTM_SPECTRUM_COUNT];
    double value[MTM_SPECTRUM_COUNT];
    mtm_spectrum made;

    (void)state;
    for (int step = 1; step <= 5; step += step == 1 ? 1 : 3) {
        size_t count = 0;

        for (int x = 380; x <= 780; x += step, count++) {
            nm[count] = x;
            value[count] = next_random(&seed);
        }
        assert_int_equal(mtm_spectrum_from_samples(nm, value, count, MTM_ENDS_ZERO, &made, NULL),
                         MTM_OK);
        for (size_t i = 0; i < count; i++)
            CHECK_NEAR("sample", at(&made, 380 + (int)i * step), value[i], 1e-15);
        CHECK_NEAR("before", at(&made, 379), 0, 0);
        CHECK_NEAR("behind", at(&made, 781), 0, 0);
    }
}

/* The power of a line (the integral of its samples) survives at every spacing that resolves it, and
 * for samples finer than 2 nm even where the line is narrower than the grid. */
static void test_power_of_resolved_lines(void **state)
{
    static const double steps[] = {0.1, 0.25, 0.4, 0.7, 1, 1.25, 1.6, 2, 2.5};
    double nm[ROOM];
    double value[ROOM];
    mtm_spectrum made;
    /* Integral of a Gaussian: FWHM sqrt(pi / (4 ln 2)). */
    double gaussian = sqrt(3.14159265358979323846 / 2.772588722239781);

    (void)state;
    for (size_t s = 0; s < COUNT(steps); s++) {
        size_t count = sample(narrow_line, 380, 780, steps[s], nm, value);

        assert_int_equal(mtm_spectrum_from_samples(nm, value, count, MTM_ENDS_ZERO, &made, NULL),
                         MTM_OK);
        CHECK_NEAR("5 nm line", sum(&made), 5 * gaussian, 5 * gaussian * 1e-4);
    }
    for (int halves = 6; halves <= 20; halves++) {
        size_t count = sample(wide_line, 380, 780, 0.5 * halves, nm, value);

        assert_int_equal(mtm_spectrum_from_samples(nm, value, count, MTM_ENDS_ZERO, &made, NULL),
                         MTM_OK);
        CHECK_NEAR("20 nm line", sum(&made), 20 * gaussian, 20 * gaussian * 2e-3);
    }
}

/* What a line narrower than the grid has, whatever the spacing: power (the triangles under the
 * samples) and centre of gravity. */
static void test_power_of_single_samples(void **state)
{
    uint64_t seed = 2;
    double nm[ROOM] = {0};
    double value[ROOM];
    mtm_spectrum made;

    (void)state;
    for (int round = 0; round < 200; round++) {
        double step = 0.05 + 1.9 * next_random(&seed);
        double x = 400;
        size_t count = 0;

        for (; x < 420; count++) {
            nm[count] = x;
            value[count] = 0;
            x += step * (0.5 + next_random(&seed));
            x = fmin(x, nm[count] + 1.99);
        }
        size_t spike = count / 2;
        value[spike] = 1;
        double area = (nm[spike + 1] - nm[spike - 1]) / 2;
        assert_int_equal(mtm_spectrum_from_samples(nm, value, count, MTM_ENDS_ZERO, &made, NULL),
                         MTM_OK);
        CHECK_NEAR("single sample", sum(&made), area, 1e-12);
        double place = (nm[spike - 1] + nm[spike] + nm[spike + 1]) / 3;
        CHECK_NEAR("its place", mean_nm(&made), place, 1e-9);
    }
    /* A line alone: three samples between two grid points, and around one. */
    for (int i = 0; i < 3; i++) {
        const double centre = 632.8 + 0.2 * i;
        const double x[] = {centre - 0.1, centre, centre + 0.1};
        const double y[] = {0, 1, 0};

        assert_int_equal(mtm_spectrum_from_samples(x, y, 3, MTM_ENDS_ZERO, &made, NULL), MTM_OK);
        CHECK_NEAR("laser", sum(&made), 0.1, 1e-12);
        CHECK_NEAR("its place", mean_nm(&made), centre, 1e-9);
    }
}

/* Every spacing of 2 nm or more that is a whole number of nanometres keeps the sum exactly. */
static void test_power_of_coarse_samples(void **state)
{
    double nm[ROOM];
    double value[ROOM];
    mtm_spectrum made;

    (void)state;
    for (int step = 2; step <= 20; step++) {
        size_t count = 0;

        for (int x = 370; x <= 820; x += step, count++) {
            nm[count] = x;
            value[count] = count == 11 ? 1 : 0;
        }
        assert_int_equal(mtm_spectrum_from_samples(nm, value, count, MTM_ENDS_ZERO, &made, NULL),
                         MTM_OK);
        CHECK_NEAR("sum", sum(&made), step, 1e-12);
    }
}

/* Uneven samples: passes through each, no swing beyond its neighbours' reach, smooth data near. */
static void test_uneven(void **state)
{
    static const double x[] = {380, 400, 405, 430, 431, 450, 500, 502, 602, 700, 780};
    static const double steep[] = {0, 0, 0, 0, 1, 1, 0, 1, 1, 0, 0};
    static const double gap_x[] = {380, 395, 405, 415, 430, 780};
    static const double gap_y[] = {0, 0.2, 1, 0.2, 0, 0};
    double smooth_x[80];
    double smooth_y[80];
    mtm_spectrum made;

    (void)state;
    assert_int_equal(mtm_spectrum_from_samples(x, steep, COUNT(x), MTM_ENDS_ZERO, &made, NULL),
                     MTM_OK);
    for (size_t i = 0; i < COUNT(x); i++)
        CHECK_NEAR("through the sample", at(&made, (int)x[i]), steep[i], 1e-12);
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        assert_true(made.value[i] > -0.6 && made.value[i] < 1.6);

    /* A gap beside a line stays flat: no power comes or goes there. */
    assert_int_equal(
        mtm_spectrum_from_samples(gap_x, gap_y, COUNT(gap_x), MTM_ENDS_ZERO, &made, NULL), MTM_OK);
    for (int nm = 430; nm <= 780; nm++)
        CHECK_NEAR("in the gap", at(&made, nm), 0, 1e-12);
    CHECK_NEAR("power", sum(&made), 15, 1.5); /* as the samples have it, joined straight */

    for (size_t i = 0; i < COUNT(smooth_x); i++) {
        smooth_x[i] = 380 + 5 * (double)i + (double)(i % 2);
        smooth_y[i] = wide_line(smooth_x[i]);
    }
    assert_int_equal(
        mtm_spectrum_from_samples(smooth_x, smooth_y, COUNT(smooth_x), MTM_ENDS_ZERO, &made, NULL),
        MTM_OK);
    for (int nm = 380; nm <= 775; nm++)
        CHECK_NEAR("smooth", at(&made, nm), wide_line(nm), 0.004);
}

/* Colour and flux of LED lines survive sampling, even or jittered by half a step either way, as
 * long as the samples resolve them. Limits: what this way of interpolation was measured to keep,
 * rounded up; a tenth of a step of the eye is 0.0001 in u', v'. */
static void test_led_lines(void **state)
{
    static const struct {
        double fwhm_nm, step_nm, jitter, delta_uv, flux;
    } rows[] = {
        {5, 2, 0, 1e-5, 1e-5},      {10, 5, 0, 3e-5, 2e-4},   {15, 5, 0, 1e-5, 2e-5},
        {20, 10, 0, 2e-4, 5e-4},    {30, 10, 0, 1e-4, 2e-4},  {15, 3, 0.5, 3e-4, 4e-3},
        {20, 5, 0.5, 3e-4, 5e-3},   {30, 5, 0.5, 2e-4, 2e-3}, {20, 1, 0.5, 1e-4, 1e-3},
        {20, 0.5, 0.5, 5e-5, 4e-4}, {10, 0.2, 0, 5e-5, 5e-4},
    };
    double nm[ROOM];
    double value[ROOM];
    uint64_t seed = 4;

    (void)state;
    for (size_t r = 0; r < COUNT(rows); r++) {
        for (int peak_nm = 430; peak_nm <= 660; peak_nm += 7) {
            double x = 380;
            size_t count = 0;
            mtm_spectrum exact;
            mtm_spectrum made;

            for (; x <= 780; count++) {
                double t = (x - peak_nm - 0.3) / (rows[r].fwhm_nm / 0.92182311964982);
                double g = exp(-t * t);

                nm[count] = x;
                value[count] = (g + 2 * pow(g, 5)) / 3;
                x += rows[r].step_nm * (1 + rows[r].jitter * (2 * next_random(&seed) - 1));
            }
            assert_int_equal(mtm_spectrum_led(peak_nm + 0.3, rows[r].fwhm_nm, &exact, NULL),
                             MTM_OK);
            assert_int_equal(
                mtm_spectrum_from_samples(nm, value, count, MTM_ENDS_ZERO, &made, NULL), MTM_OK);
            mtm_xyz wanted = mtm_xyz_from_spectrum(&exact, MTM_OBSERVER_2);
            mtm_xyz got = mtm_xyz_from_spectrum(&made, MTM_OBSERVER_2);
            CHECK_NEAR("distance in u', v'",
                       mtm_uv_distance(mtm_uv_from_xyz(got), mtm_uv_from_xyz(wanted)), 0,
                       rows[r].delta_uv);
            CHECK_NEAR("flux", got.y / wanted.y, 1, rows[r].flux);
        }
    }
}

static void test_ends(void **state)
{
    static const double x[] = {400, 500, 600, 700};
    static const double y[] = {2, 3, 3, 4};
    mtm_spectrum made;

    (void)state;
    assert_int_equal(mtm_spectrum_from_samples(x, y, 4, MTM_ENDS_HOLD, &made, NULL), MTM_OK);
    CHECK_NEAR("first", at(&made, 360), 2, 0);
    CHECK_NEAR("last", at(&made, 830), 4, 0);
    assert_int_equal(mtm_spectrum_from_samples(x, y, 4, MTM_ENDS_ZERO, &made, NULL), MTM_OK);
    CHECK_NEAR("first", at(&made, 360), 0, 0);
    CHECK_NEAR("last", at(&made, 830), 0, 0);
    CHECK_NEAR("at the first sample", at(&made, 400), 2, 1e-15);
    CHECK_NEAR("at the last sample", at(&made, 700), 4, 1e-15);

    /* Cut off at 0.5 nm spacing: the first nanometre is as high as the light there. */
    double fine_x[101];
    double fine_y[101];
    for (size_t i = 0; i < 101; i++) {
        fine_x[i] = 450 + 0.5 * (double)i;
        fine_y[i] = 5;
    }
    for (int ends = MTM_ENDS_ZERO; ends <= MTM_ENDS_HOLD; ends++) {
        assert_int_equal(
            mtm_spectrum_from_samples(fine_x, fine_y, 101, (mtm_ends)ends, &made, NULL), MTM_OK);
        CHECK_NEAR("first", at(&made, 450), 5, 1e-12);
        CHECK_NEAR("last", at(&made, 500), 5, 1e-12);
        CHECK_NEAR("before", at(&made, 449), ends == MTM_ENDS_HOLD ? 5 : 0, 1e-12);
        CHECK_NEAR("behind", at(&made, 501), ends == MTM_ENDS_HOLD ? 5 : 0, 1e-12);
    }
}

static void test_refused(void **state)
{
    static const double good[] = {400, 500};
    static const double falling[] = {400, 399};
    static const double same[] = {400, 400};
    static const double not_finite[] = {400, INFINITY};
    static const double huge[] = {1.7e308, -1.7e308};
    static double many[100001];
    mtm_spectrum made = {.value = {7}};
    mtm_error error;

    (void)state;
    assert_int_equal(mtm_spectrum_from_samples(good, good, 1, MTM_ENDS_ZERO, &made, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "at least 2 samples, not 1");
    assert_int_equal(mtm_spectrum_from_samples(falling, good, 2, MTM_ENDS_ZERO, &made, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "399 nm of sample 2 does not lie above the 400 nm");
    assert_int_equal(mtm_spectrum_from_samples(same, good, 2, MTM_ENDS_ZERO, &made, &error),
                     MTM_INVALID);
    assert_int_equal(mtm_spectrum_from_samples(not_finite, good, 2, MTM_ENDS_ZERO, &made, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "sample 2 is not a finite number");
    assert_int_equal(mtm_spectrum_from_samples(good, not_finite, 2, MTM_ENDS_ZERO, &made, &error),
                     MTM_INVALID);
    assert_int_equal(mtm_spectrum_from_samples(good, huge, 2, MTM_ENDS_ZERO, &made, &error),
                     MTM_INVALID);
    CHECK_HOLDS(error.text, "too large");
    assert_int_equal(mtm_spectrum_from_samples(many, many, 100001, MTM_ENDS_ZERO, &made, &error),
                     MTM_LIMIT);
    CHECK_HOLDS(error.text, "100001 samples");
    assert_int_equal(mtm_spectrum_from_samples(NULL, good, 2, MTM_ENDS_ZERO, &made, &error),
                     MTM_INVALID);
    assert_int_equal(mtm_spectrum_from_samples(good, good, 2, MTM_ENDS_ZERO, NULL, &error),
                     MTM_INVALID);
    CHECK_NEAR("untouched", made.value[0], 7, 0);
}

/* Every kernel against sums in order, in the widest arithmetic there is, and to the last bit
 * against the portable one; and known totals: the sum of y bar is 106.856917 and 116.661877 (CIE
 * 1931 and 1964 tables at 1 nm, added up with numpy). */
static void test_kernels(void **state)
{
    static const double y_total[] = {106.856917, 116.661877};
    uint64_t seed = 3;

    (void)state;
    for (int observer = 0; observer < MTM_OBSERVER_COUNT; observer++) {
        const double(*column)[MTM_SPECTRUM_COUNT] = mtmi_observer_table((mtm_observer)observer);
        mtm_spectrum spectrum;

        for (int round = 0; round < 50; round++) {
            long double sums[3] = {0, 0, 0};
            const mtmi_integrate_kernel *portable =
                &mtmi_integrate_kernels[mtmi_integrate_kernel_count - 1];

            for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
                spectrum.value[i] = round == 0 ? 1 : next_random(&seed);
                for (size_t c = 0; c < 3; c++)
                    sums[c] += (long double)spectrum.value[i] * (long double)column[c][i];
            }
            for (size_t k = 0; k < mtmi_integrate_kernel_count; k++) {
                const mtmi_integrate_kernel *kernel = &mtmi_integrate_kernels[k];

                if (!kernel->runs()) /* another processor's test */
                    continue;
                mtm_xyz sum = kernel->integrate(spectrum.value, mtmi_weights[observer]);
                mtm_xyz plain = portable->integrate(spectrum.value, mtmi_weights[observer]);
                assert_memory_equal(&sum, &plain, sizeof sum);
                CHECK_NEAR(kernel->name, sum.x, (double)sums[0], 1e-12);
                CHECK_NEAR(kernel->name, sum.y, (double)sums[1], 1e-12);
                CHECK_NEAR(kernel->name, sum.z, (double)sums[2], 1e-12);
            }
            mtm_xyz xyz = mtm_xyz_from_spectrum(&spectrum, (mtm_observer)observer);
            CHECK_NEAR("lumens", xyz.y, 683 * (double)sums[1], 1e-9);
            if (round == 0)
                CHECK_NEAR("total", xyz.y / 683, y_total[observer], 5e-7);
        }
    }
}

/* A single wavelength gives the table's row: no index is off by one. */
static void test_single_wavelengths(void **state)
{
    (void)state;
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        mtm_spectrum spectrum = {.value = {0}};

        spectrum.value[i] = 1;
        mtm_xyz xyz = mtm_xyz_from_spectrum(&spectrum, MTM_OBSERVER_10);
        CHECK_NEAR("x", xyz.x, 683 * mtmi_table_observer_10[0][i], 1e-12);
        CHECK_NEAR("y", xyz.y, 683 * mtmi_table_observer_10[1][i], 1e-12);
        CHECK_NEAR("z", xyz.z, 683 * mtmi_table_observer_10[2][i], 1e-12);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_polynomials),
        cmocka_unit_test(test_on_grid),
        cmocka_unit_test(test_power_of_resolved_lines),
        cmocka_unit_test(test_power_of_single_samples),
        cmocka_unit_test(test_power_of_coarse_samples),
        cmocka_unit_test(test_uneven),
        cmocka_unit_test(test_led_lines),
        cmocka_unit_test(test_ends),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_kernels),
        cmocka_unit_test(test_single_wavelengths),
    };

    return cmocka_run_group_tests_name("spectrum", tests, NULL, NULL);
}
