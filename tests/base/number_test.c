/* SPDX-License-Identifier: MIT */
/* Numbers from text: what is taken, what is refused, whatever the locale. */
#include "support/check.h"

#include "base/name.h"
#include "base/number.h"

static const struct row {
    const char *name; /* the text itself */
    size_t used;
    double value;
} rows[] = {
    {"1", 1, 1},    {"-.5", 3, -0.5}, {"2.5e3x", 5, 2500}, {"+7.", 3, 7}, {"1e", 1, 1},
    {"0x10", 1, 0}, {"inf", 0, 0},    {"nan", 0, 0},       {"", 0, 0},    {".", 0, 0},
    {"-", 0, 0},    {"1e999", 0, 0},  {"0.1e-400", 8, 0},  {" 1", 0, 0},  {"1,5", 1, 1},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    double value = 0;

    assert_int_equal(mtmi_number_read(row->name, &value), row->used);
    CHECK_NEAR(row->name, value, row->value, 0);
}

/* Plain numbers take a short way; strtod of the C library is the judge of every bit. */
static void test_every_bit(void **state)
{
    uint64_t seed = 7;

    (void)state;
    for (int i = 0; i < 100000; i++) {
        char text[48];
        double value = 1;
        seed = seed * 6364136223846793005U + 1442695040888963407U;
        int whole = (int)(seed >> 60);
        int decimals = (int)(seed >> 56 & 15);
        (void)snprintf(text, sizeof text, "%s%0*llu.%0*llu", (seed & 1) != 0 ? "-" : "", whole + 1,
                       (unsigned long long)(seed >> 20) % 100000, decimals + 1,
                       (unsigned long long)(seed >> 8) % 10000000);
        assert_int_equal(mtmi_number_read(text, &value), strlen(text));
        if (value != strtod(text, NULL))
            fail_msg("%s: %.17g", text, value);
    }
}

static void test_product(void **state)
{
    size_t product = 7;

    (void)state;
    assert_true(mtmi_size_product(3, 4, &product));
    assert_int_equal(product, 12);
    assert_false(mtmi_size_product(SIZE_MAX / 2, 3, &product));
    assert_int_equal(product, 12);
}

/* What rounding can make is not more; from 1e-9 of the smaller, or of 1, on it is. */
static void test_exceeds(void **state)
{
    static const struct {
        double a, b;
        bool more;
    } pairs[] = {
        {2, 1, true},
        {1, 2, false},
        {1, 1, false},
        {0.1 + 0.2, 0.3, false},
        {2.4e-16, 0, false}, /* what a chromaticity differs by from itself, computed twice */
        {1e-9, 0, false},
        {1.1e-9, 0, true},
        {1 + 0.9e-9, 1, false},
        {1 + 1.1e-9, 1, true},
        {1e6 + 0.9e-3, 1e6, false},
        {1e6 + 1.1e-3, 1e6, true},
        {-1, -1 - 0.9e-9, false},
        {-1, -1 - 1.1e-9, true},
        {INFINITY, 1e300, true},
        {-1e300, -INFINITY, true},
        {INFINITY, INFINITY, false},
        {1, INFINITY, false},
        {NAN, -INFINITY, false},
        {1, NAN, false},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(pairs); i++) {
        if (mtmi_exceeds(pairs[i].a, pairs[i].b) != pairs[i].more)
            fail_msg("row %zu: %.17g, %.17g", i, pairs[i].a, pairs[i].b);
    }
}

static void test_nearest_name(void **state)
{
    static const char *const names[] = {"peak_nm", "fwhm_nm", "flux_lm", NULL};

    (void)state;
    assert_string_equal(mtmi_name_nearest("flux", names, mtmi_name_in_array), "flux_lm");
    assert_string_equal(mtmi_name_nearest("Peak_nm", names, mtmi_name_in_array), "peak_nm");
    assert_null(mtmi_name_nearest("zzzzzzzz", names, mtmi_name_in_array));
}

/* Both say the same of what is 0 or more. */
static void test_with_noise(void **state)
{
    static const double values[] = {0, 1e-12, 0.3, 1, 17, 1e6, 1e300};

    (void)state;
    for (size_t i = 0; i < COUNT(values); i++) {
        double most = mtmi_with_noise(values[i]);
        double more = values[i] + 1.001 * (most - values[i]);
        double less = values[i] + 0.999 * (most - values[i]);
        assert_true(mtmi_exceeds(more, values[i]) && !mtmi_exceeds(less, values[i]));
    }
    assert_true(isinf(mtmi_with_noise(INFINITY)));
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 5];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_product);
    tests[COUNT(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(test_nearest_name);
    tests[COUNT(rows) + 2] = (struct CMUnitTest)cmocka_unit_test(test_every_bit);
    tests[COUNT(rows) + 3] = (struct CMUnitTest)cmocka_unit_test(test_exceeds);
    tests[COUNT(rows) + 4] = (struct CMUnitTest)cmocka_unit_test(test_with_noise);
    return cmocka_run_group_tests_name("numbers and names", tests, NULL, NULL);
}
