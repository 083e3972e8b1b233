/* SPDX-License-Identifier: MIT */
/* Cholesky's factor: a small one that can be multiplied out, Hilbert's matrices, random systems. */
#include "support/check.h"
#include "support/random.h"

#include "numeric/cholesky.h"

#define SIZE_MAX_TRIED 40

/* L = {2}, {6, 1}, {-8, 5, 3}; L L^T can be multiplied out, and so can its product with 1, 2, 3. */
static void test_by_hand(void **state)
{
    double a[9] = {4, 12, -16, 12, 37, -43, -16, -43, 98};
    double b[3] = {-20, -43, 192};

    (void)state;
    assert_true(mtmi_cholesky(a, 3));
    CHECK_NEAR("l00", a[0], 2, 0);
    CHECK_NEAR("l10", a[3], 6, 0);
    CHECK_NEAR("l11", a[4], 1, 0);
    CHECK_NEAR("l20", a[6], -8, 0);
    CHECK_NEAR("l21", a[7], 5, 0);
    CHECK_NEAR("l22", a[8], 3, 0);
    mtmi_cholesky_solve(a, 3, b);
    for (size_t i = 0; i < 3; i++)
        CHECK_NEAR("x", b[i], (double)i + 1, 1e-13);
}

/* Hilbert's matrix of 5 rows times 25, -300, 1050, -1400, 630 is 1, 0, 0, 0, 0: it can be
 * multiplied out. */
static void test_hilbert(void **state)
{
    const double wanted[5] = {25, -300, 1050, -1400, 630};
    double a[25], b[5] = {1};

    (void)state;
    for (size_t i = 0; i < 5; i++) {
        for (size_t j = 0; j < 5; j++)
            a[5 * i + j] = 1 / (double)(i + j + 1);
    }
    assert_true(mtmi_cholesky(a, 5));
    mtmi_cholesky_solve(a, 5, b);
    for (size_t i = 0; i < 5; i++)
        CHECK_NEAR("column", b[i], wanted[i], 1e-7);
}

static void test_not_positive(void **state)
{
    double indefinite[4] = {1, 2, 2, 1};
    double singular[4] = {1, 1, 1, 1};
    double broken[1] = {NAN};

    (void)state;
    assert_false(mtmi_cholesky(indefinite, 2));
    assert_false(mtmi_cholesky(singular, 2));
    assert_false(mtmi_cholesky(broken, 1));
}

/* a = b b^T + 1: what was multiplied with it is found again. */
static void test_random(void **state)
{
    static double b[SIZE_MAX_TRIED][SIZE_MAX_TRIED], a[SIZE_MAX_TRIED * SIZE_MAX_TRIED];
    struct random random = {3};

    (void)state;
    for (size_t n = 1; n <= SIZE_MAX_TRIED; n++) {
        double x[SIZE_MAX_TRIED], y[SIZE_MAX_TRIED] = {0};
        for (size_t i = 0; i < n; i++) {
            x[i] = random_between(&random, -1, 1);
            for (size_t j = 0; j < n; j++)
                b[i][j] = random_between(&random, -1, 1);
        }
        for (size_t i = 0; i < n; i++) {
            for (size_t j = 0; j < n; j++) {
                a[i * n + j] = i == j;
                for (size_t k = 0; k < n; k++)
                    a[i * n + j] += b[i][k] * b[j][k];
                y[i] += a[i * n + j] * x[j];
            }
        }
        assert_true(mtmi_cholesky(a, n));
        mtmi_cholesky_solve(a, n, y);
        for (size_t i = 0; i < n; i++)
            CHECK_NEAR("x (seed 3)", y[i], x[i], 1e-11);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand),
        cmocka_unit_test(test_hilbert),
        cmocka_unit_test(test_not_positive),
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests_name("Cholesky", tests, NULL, NULL);
}
