/* SPDX-License-Identifier: MIT */
/* Cubics through points, against an independent program and by hand. */
#include "support/check.h"

#include "numeric/cubic.h"

/* SciPy 1.10.1 (Debian 12), scipy.interpolate.PchipInterpolator: values to 12 decimals, and the
 * derivatives at the points. */
static const double curve_x[] = {0, 0.05, 0.1, 0.2, 0.35, 0.5, 0.8, 1};
static const double curve_y[] = {0, 0.002, 0.004, 0.03, 0.03, 0.21, 0.6, 1};
static const double curve_slope[] = {0.04, 0.04,           0.064109589041, 0,
                                     0,    1.242477876106, 1.598360655738, 2.28};
static const struct cubic_row {
    const char *name;
    double at, value;
} cubic_rows[] = {
    {"0.01", 0.01, 0.0004},
    {"0.07", 0.07, 0.002684273973},
    {"0.15", 0.15, 0.017801369863},
    {"0.25", 0.25, 0.03},
    {"0.30", 0.3, 0.03},
    {"0.40", 0.4, 0.062861356932},
    {"0.49", 0.49, 0.196883303835},
    {"0.60", 0.6, 0.330813224366},
    {"0.70", 0.7, 0.455461256992},
    {"0.90", 0.9, 0.782959016393},
    {"0.99", 0.99, 0.977282221311},
};

static void test_cubic(void **state)
{
    const struct cubic_row *row = *state;
    double slope[COUNT(curve_x)];

    mtmi_monotone_slopes(curve_x, curve_y, COUNT(curve_x), slope);
    CHECK_NEAR(row->name, mtmi_monotone_value(curve_x, curve_y, slope, COUNT(curve_x), row->at),
               row->value, 1e-12);
}

static void test_slopes(void **state)
{
    double slope[COUNT(curve_x)];
    const double x[] = {0, 0.5, 1};
    const double y[] = {0, 0.1, 1};
    const double wanted[] = {0, 0.36, 2.6}; /* the same program */

    (void)state;
    mtmi_monotone_slopes(curve_x, curve_y, COUNT(curve_x), slope);
    for (size_t i = 0; i < COUNT(curve_x); i++)
        CHECK_NEAR("slope", slope[i], curve_slope[i], 1e-12);
    mtmi_monotone_slopes(x, y, 3, slope);
    for (size_t i = 0; i < 3; i++)
        CHECK_NEAR("slope of three", slope[i], wanted[i], 1e-12);
    CHECK_NEAR("value of three", mtmi_monotone_value(x, y, slope, 3, 0.6), 0.17504, 1e-12);
}

/* Two points make a straight line, and outside the points the ends hold. */
static void test_ends(void **state)
{
    const double x[] = {0.2, 0.8};
    const double y[] = {1, 4};
    double slope[2];

    (void)state;
    mtmi_monotone_slopes(x, y, 2, slope);
    CHECK_NEAR("middle", mtmi_monotone_value(x, y, slope, 2, 0.5), 2.5, 1e-15);
    CHECK_NEAR("before", mtmi_monotone_value(x, y, slope, 2, 0), 1, 0);
    CHECK_NEAR("behind", mtmi_monotone_value(x, y, slope, 2, 1), 4, 0);
}

static void test_monotone(void **state)
{
    double slope[COUNT(curve_x)];
    double last = -1;

    (void)state;
    mtmi_monotone_slopes(curve_x, curve_y, COUNT(curve_x), slope);
    for (int i = 0; i <= 4000; i++) {
        double value = mtmi_monotone_value(curve_x, curve_y, slope, COUNT(curve_x), i / 4000.0);
        assert_true(value >= last - 1e-15);
        last = value;
    }
}

/* What is a parabola comes back as one, however its points are spaced. */
static void test_spline_of_parabola(void **state)
{
    const double x[] = {0, 1, 1.5, 4, 6};
    double y[COUNT(x)], slope[COUNT(x)], scratch[COUNT(x)];

    (void)state;
    for (size_t i = 0; i < COUNT(x); i++)
        y[i] = 3 - 2 * x[i] + 0.5 * x[i] * x[i];
    mtmi_spline_slopes(x, y, COUNT(x), slope, scratch);
    for (size_t i = 0; i < COUNT(x); i++)
        CHECK_NEAR("slope", slope[i], x[i] - 2, 1e-13);
    for (size_t i = 0; i + 1 < COUNT(x); i++) {
        double h = x[i + 1] - x[i], at = x[i] + 0.3 * h;
        CHECK_NEAR("value", mtmi_hermite(h, y[i], y[i + 1], slope[i], slope[i + 1], 0.3),
                   3 - 2 * at + 0.5 * at * at, 1e-13);
    }
}

/* By hand: 0, 0, 1, 0, 0 at whole numbers. The parabolas at the ends have slopes -1/2 and 1/2;
 * inside, d[i - 1] + 4 d[i] + d[i + 1] = 3 (y[i + 1] - y[i - 1]): -1/2 + 4 a + 0 = 3, so a = 7/8.
 */
static void test_spline_of_peak(void **state)
{
    const double x[] = {0, 1, 2, 3, 4}, y[] = {0, 0, 1, 0, 0};
    const double wanted[] = {-0.5, 0.875, 0, -0.875, 0.5};
    double slope[COUNT(x)], scratch[COUNT(x)];

    (void)state;
    mtmi_spline_slopes(x, y, COUNT(x), slope, scratch);
    for (size_t i = 0; i < COUNT(x); i++)
        CHECK_NEAR("slope", slope[i], wanted[i], 1e-15);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(cubic_rows)];
    const struct CMUnitTest others[] = {
        cmocka_unit_test(test_slopes),         cmocka_unit_test(test_ends),
        cmocka_unit_test(test_monotone),       cmocka_unit_test(test_spline_of_parabola),
        cmocka_unit_test(test_spline_of_peak),
    };

    ROW_TESTS(tests, cubic_rows, test_cubic);
    int failed = cmocka_run_group_tests_name("monotone cubic", tests, NULL, NULL);
    return failed + cmocka_run_group_tests_name("cubics", others, NULL, NULL);
}
