/* SPDX-License-Identifier: MIT */
/* Quadratic programs: small ones by hand, random ones by their optimality conditions (no feasible
 * point is better than the proved gap lets be). */
#include "support/check.h"
#include "support/random.h"

#include "numeric/qp.h"

/* The nearest point to (1, 1) on x + y = 1 is (1/2, 1/2); with x <= 1/4, (1/4, 3/4). */
static void test_by_hand(void **state)
{
    struct mtmi_qp qp = {.count = 2,
                         .rows = 1,
                         .h = {{2, 0}, {0, 2}},
                         .c = {-2, -2},
                         .a = {{1, 1}},
                         .upper = {1, 1}};
    double x[MTMI_QP_VARIABLES] = {0, 1}, gap = 1;

    (void)state;
    mtmi_qp_solve(&qp, x, &gap);
    CHECK_NEAR("x", x[0], 0.5, 1e-9);
    CHECK_NEAR("y", x[1], 0.5, 1e-9);
    CHECK_NEAR("gap", gap, 0, 1e-9);
    qp.upper[0] = 0.25;
    x[0] = 0;
    x[1] = 1;
    mtmi_qp_solve(&qp, x, &gap);
    CHECK_NEAR("x", x[0], 0.25, 1e-12);
    CHECK_NEAR("y", x[1], 0.75, 1e-9);
}

/* A linear objective ends in a corner. */
static void test_linear(void **state)
{
    struct mtmi_qp qp = {
        .count = 3, .rows = 1, .c = {1, 2, -1}, .a = {{1, 1, 1}}, .upper = {1, 1, 1}};
    double x[MTMI_QP_VARIABLES] = {0.5, 0.5, 0.5}, gap = 1;

    (void)state;
    mtmi_qp_solve(&qp, x, &gap);
    CHECK_NEAR("dear", x[1], 0, 1e-9);
    CHECK_NEAR("cheap", x[2], 1, 1e-9);
    CHECK_NEAR("rest", x[0], 0.5, 1e-9);
    CHECK_NEAR("gap", gap, 0, 1e-9);
}

static double objective(const struct mtmi_qp *qp, const double *x)
{
    double sum = 0;

    for (size_t i = 0; i < qp->count; i++) {
        sum += qp->c[i] * x[i];
        for (size_t j = 0; j < qp->count; j++)
            sum += 0.5 * qp->h[i][j] * x[i] * x[j];
    }
    return sum;
}

/* h = sum of rank-one parts, fewer than count now and then; a with one duplicate column. */
static void random_qp(struct random *random, struct mtmi_qp *qp, double *start)
{
    size_t parts = 1 + random_index(random, 10);

    memset(qp, 0, sizeof *qp);
    qp->count = 3 + random_index(random, MTMI_QP_VARIABLES - 2);
    qp->rows = 1 + random_index(random, MTMI_QP_CONSTRAINTS);
    for (size_t p = 0; p < parts; p++) {
        double v[MTMI_QP_VARIABLES];
        for (size_t i = 0; i < qp->count; i++)
            v[i] = random_between(random, -1, 1);
        for (size_t i = 0; i < qp->count; i++) {
            for (size_t j = 0; j < qp->count; j++)
                qp->h[i][j] += v[i] * v[j];
        }
    }
    for (size_t i = 0; i < qp->count; i++) {
        qp->c[i] = random_between(random, -1, 1);
        qp->upper[i] = random_index(random, 5) == 0 ? 0 : random_between(random, 0.1, 2);
        start[i] = random_between(random, 0, 1) * qp->upper[i];
        for (size_t row = 0; row < qp->rows; row++)
            qp->a[row][i] = i == 1 ? qp->a[row][0] : random_between(random, 0, 1);
    }
}

static void test_random(void **state)
{
    struct random random = {31};

    (void)state;
    for (int n = 0; n < 500; n++) {
        struct mtmi_qp qp;
        double start[MTMI_QP_VARIABLES] = {0}, x[MTMI_QP_VARIABLES], gap = 0;
        random_qp(&random, &qp, start);
        memcpy(x, start, sizeof x);
        mtmi_qp_solve(&qp, x, &gap);
        double best = objective(&qp, x);
        assert_true(gap < 1e-6);
        assert_true(best <= objective(&qp, start) + 1e-9);
        for (size_t row = 0; row < qp.rows; row++) {
            double was = 0, is = 0;
            for (size_t i = 0; i < qp.count; i++) {
                was += qp.a[row][i] * start[i];
                is += qp.a[row][i] * x[i];
            }
            CHECK_NEAR("row", is, was, 1e-9);
        }
        for (size_t i = 0; i < qp.count; i++)
            assert_true(x[i] >= 0 && x[i] <= qp.upper[i]);
        /* on the way to any feasible point it only gets worse */
        for (int step = 1; step <= 5; step++) {
            double between[MTMI_QP_VARIABLES];
            for (size_t i = 0; i < qp.count; i++)
                between[i] = x[i] + 0.2 * step * (start[i] - x[i]);
            assert_true(objective(&qp, between) >= best - gap - 1e-9);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand),
        cmocka_unit_test(test_linear),
        cmocka_unit_test(test_random),
    };

    return cmocka_run_group_tests_name("qp", tests, NULL, NULL);
}
