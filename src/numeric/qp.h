/* SPDX-License-Identifier: MIT */
/* Quadratic programs of a handful of variables. */
#ifndef METAMER_NUMERIC_QP_H
#define METAMER_NUMERIC_QP_H

#include <stdbool.h>
#include <stddef.h>

#define MTMI_QP_VARIABLES 17  /* emitters, and the watts to spare */
#define MTMI_QP_CONSTRAINTS 4 /* X, Y, Z, watts */

/** Least x' h x / 2 + c' x, where 0 <= x <= upper and a x stays what it is. h is symmetric and not
 *  negative. Best scaled so that columns of a and x are about 1. */
struct mtmi_qp {
    size_t count, rows;
    double h[MTMI_QP_VARIABLES][MTMI_QP_VARIABLES];
    double c[MTMI_QP_VARIABLES];
    double a[MTMI_QP_CONSTRAINTS][MTMI_QP_VARIABLES];
    double upper[MTMI_QP_VARIABLES]; /* finite or INFINITY */
};

/**
 * Solves by the primal active-set method.
 * @param x   a feasible start; the solution
 * @param gap how much less the objective could be at most, proved by duality; INFINITY if the
 *            method did not end
 */
void mtmi_qp_solve(const struct mtmi_qp *qp, double *x, double *gap);

#endif
