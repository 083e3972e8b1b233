/* SPDX-License-Identifier: MIT */
/* The nearest point of a convex set: by plane geometry, and by the conditions of optimality, which
 * another method (the primal active-set one) meets in its own way. */
#include "support/check.h"
#include "support/random.h"

#include "numeric/dual_qp.h"
#include "numeric/qp.h"

/* The unit square, and the line x + y = 1. Plane geometry. */
static void make_square(struct mtmi_dual_qp *qp, bool with_line)
{
    static const double unit[2][2] = {{1, 0}, {0, 1}}, line[2] = {1, 1};

    *qp = (struct mtmi_dual_qp){.variables = 2, .equalities = with_line};
    if (with_line)
        mtmi_dual_qp_add(qp, line, 1, 1);
    for (size_t i = 0; i < 2; i++) {
        mtmi_dual_qp_add(qp, unit[i], 1, 0);
        mtmi_dual_qp_add(qp, unit[i], -1, -1);
    }
}

static const struct row {
    const char *name;
    double from[2], to[2];
    bool with_line;
} rows[] = {
    {"inside stays", {0.2, 0.7}, {0.2, 0.7}, false},
    {"to a side", {0.3, 4}, {0.3, 1}, false},
    {"to a corner", {-2, 3}, {0, 1}, false},
    {"to the line from above", {1, 1}, {0.5, 0.5}, true},
    {"to the line from below", {0.1, 0.3}, {0.4, 0.6}, true},
    {"to the line's end", {5, 0.5}, {1, 0}, true},
};

static void test_square(void **state)
{
    const struct row *row = *state;
    struct mtmi_dual_qp qp;
    double x[2] = {row->from[0], row->from[1]};

    make_square(&qp, row->with_line);
    assert_true(mtmi_dual_qp_nearest(&qp, x));
    CHECK_NEAR("x", x[0], row->to[0], 1e-12);
    CHECK_NEAR("y", x[1], row->to[1], 1e-12);
}

static void test_empty(void **state)
{
    struct mtmi_dual_qp qp;
    const double line[2] = {1, 1};
    double x[2] = {0.5, 0.5};

    (void)state;
    make_square(&qp, false);
    mtmi_dual_qp_add(&qp, line, 1, 3);
    assert_false(mtmi_dual_qp_nearest(&qp, x));
}

/* The same random problem for both methods: half the squared distance, rows that keep their value,
 * and 0 <= x <= 1. */
static void test_against_primal(void **state)
{
    struct random random = {17};

    (void)state;
    for (int n = 0; n < 500; n++) {
        size_t count = 4 + random_index(&random, MTMI_DUAL_QP_VARIABLES_MAX - 3);
        struct mtmi_dual_qp dual = {.variables = count, .equalities = 3};
        struct mtmi_qp primal = {.count = count, .rows = 3};
        double x[MTMI_QP_VARIABLES], y[MTMI_QP_VARIABLES], gap = 0;

        for (size_t i = 0; i < count; i++) {
            x[i] = random_between(&random, -0.5, 1.5);
            y[i] = random_between(&random, 0, 1);
            primal.h[i][i] = 1;
            primal.c[i] = -x[i];
            primal.upper[i] = 1;
        }
        for (size_t row = 0; row < 3; row++) {
            double wanted = 0;
            for (size_t i = 0; i < count; i++) {
                primal.a[row][i] = random_between(&random, 0, 1);
                wanted += primal.a[row][i] * y[i];
            }
            mtmi_dual_qp_add(&dual, primal.a[row], 1, wanted);
        }
        for (size_t i = 0; i < count; i++) {
            double unit[MTMI_DUAL_QP_VARIABLES_MAX] = {0};
            unit[i] = 1;
            mtmi_dual_qp_add(&dual, unit, 1, 0);
            mtmi_dual_qp_add(&dual, unit, -1, -1);
        }
        assert_true(mtmi_dual_qp_nearest(&dual, x));
        mtmi_qp_solve(&primal, y, &gap);
        for (size_t i = 0; i < count; i++)
            CHECK_NEAR("x (seed 17)", x[i], y[i], 1e-8);
    }
}

int main(void)
{
    struct CMUnitTest square[COUNT(rows)];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_empty),
        cmocka_unit_test(test_against_primal),
    };

    ROW_TESTS(square, rows, test_square);
    int failed = cmocka_run_group_tests_name("nearest in a square", square, NULL, NULL);
    return failed + cmocka_run_group_tests_name("dual QP", tests, NULL, NULL);
}
