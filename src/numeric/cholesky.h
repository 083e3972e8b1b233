/* SPDX-License-Identifier: MIT */
/* Symmetric positive definite systems. */
#ifndef METAMER_NUMERIC_CHOLESKY_H
#define METAMER_NUMERIC_CHOLESKY_H

#include <stdbool.h>
#include <stddef.h>

/** Cholesky factor of a (n x n, row by row) in its lower triangle; false if not positive definite.
 */
bool mtmi_cholesky(double *a, size_t n);
/** Solves for one right side with the factor, in place. */
void mtmi_cholesky_solve(const double *factor, size_t n, double *b);

#endif
