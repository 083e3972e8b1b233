/* SPDX-License-Identifier: MIT */
/* 3 x 3 matrices: Hilbert's, whose inverse has whole numbers, and properties. */
#include "support/check.h"
#include "support/random.h"

#include "numeric/matrix3.h"

static void check_matrix(const char *what, const mtmi_m3 *got, const mtmi_m3 *wanted, double near)
{
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++)
            CHECK_NEAR(what, got->at[i][j], wanted->at[i][j], near);
    }
}

/* D. Hilbert, Acta Mathematica 18, 1894: the determinant of this matrix is 1/2160; the inverse can
 * be multiplied out. */
static void test_hilbert(void **state)
{
    const mtmi_m3 hilbert = {
        {{1, 1.0 / 2, 1.0 / 3}, {1.0 / 2, 1.0 / 3, 1.0 / 4}, {1.0 / 3, 1.0 / 4, 1.0 / 5}}};
    const mtmi_m3 wanted = {{{9, -36, 30}, {-36, 192, -180}, {30, -180, 180}}};
    mtmi_m3 inverse = {{{0}}};

    (void)state;
    assert_true(mtmi_m3_invert(&hilbert, &inverse));
    check_matrix("Hilbert", &inverse, &wanted, 1e-10);
}

/* Scaled down until its determinant is 1e-30 of what it was, as covariances are. */
static void test_tiny(void **state)
{
    const mtmi_m3 tiny = {{{2e-10, 0, 0}, {0, 4e-10, 0}, {0, 1e-10, 5e-10}}};
    const mtmi_m3 wanted = {{{5e9, 0, 0}, {0, 2.5e9, 0}, {0, -5e8, 2e9}}};
    mtmi_m3 inverse = {{{0}}};

    (void)state;
    assert_true(mtmi_m3_invert(&tiny, &inverse));
    check_matrix("tiny", &inverse, &wanted, 1e-3);
}

static void test_singular(void **state)
{
    static const mtmi_m3 rows[] = {
        {{{1, 2, 3}, {4, 5, 6}, {7, 8, 9}}}, /* the third row is twice the second less the first */
        {{{1, 0, 0}, {0, 0, 0}, {0, 0, 1}}},
        {{{0}}},
        {{{NAN, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        mtmi_m3 inverse = {{{42}}};
        assert_false(mtmi_m3_invert(&rows[i], &inverse));
        assert_true(inverse.at[0][0] == 42);
    }
}

/* By hand: rows times columns; a b a^T with b = diag(1, 4, 9). */
static void test_products(void **state)
{
    const mtmi_m3 a = {{{1, 2, 0}, {0, 1, 0}, {3, 0, 1}}};
    const mtmi_m3 b = {{{1, 0, 0}, {0, 4, 0}, {0, 0, 9}}};
    const mtmi_m3 product = {{{1, 8, 0}, {0, 4, 0}, {3, 0, 9}}};
    const mtmi_m3 carried = {{{17, 8, 3}, {8, 4, 0}, {3, 0, 18}}};
    mtmi_m3 got = mtmi_m3_multiply(&a, &b);
    double v[3] = {1, 2, 3};

    (void)state;
    check_matrix("a b", &got, &product, 0);
    got = mtmi_m3_carry(&a, &b);
    check_matrix("a b a^T", &got, &carried, 0);
    mtmi_m3_apply(&a, v, v);
    CHECK_NEAR("x", v[0], 5, 0);
    CHECK_NEAR("y", v[1], 2, 0);
    CHECK_NEAR("z", v[2], 6, 0);
}

static void test_random(void **state)
{
    struct random random = {7};
    const mtmi_m3 one = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};

    (void)state;
    for (int n = 0; n < 1000; n++) {
        mtmi_m3 a, inverse;
        for (int i = 0; i < 3; i++) {
            for (int j = 0; j < 3; j++)
                a.at[i][j] = random_between(&random, -1, 1) + (i == j ? 3 : 0);
        }
        assert_true(mtmi_m3_invert(&a, &inverse));
        mtmi_m3 product = mtmi_m3_multiply(&a, &inverse);
        check_matrix("a a^-1 (seed 7)", &product, &one, 1e-13);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_hilbert),  cmocka_unit_test(test_tiny),
        cmocka_unit_test(test_singular), cmocka_unit_test(test_products),
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests_name("3 x 3 matrices", tests, NULL, NULL);
}
