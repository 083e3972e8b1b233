/* SPDX-License-Identifier: MIT */
/* Symmetric positive definite systems by Cholesky's factor. */
#include "numeric/cholesky.h"

#include <math.h>

bool mtmi_cholesky(double *a, size_t n)
{
    for (size_t j = 0; j < n; j++) {
        double pivot = a[j * n + j];
        for (size_t k = 0; k < j; k++)
            pivot -= a[j * n + k] * a[j * n + k];
        if (!(pivot > 0))
            return false;
        double root = sqrt(pivot);
        a[j * n + j] = root;
        for (size_t i = j + 1; i < n; i++) {
            double sum = a[i * n + j];
            for (size_t k = 0; k < j; k++)
                sum -= a[i * n + k] * a[j * n + k];
            a[i * n + j] = sum / root;
        }
    }
    return true;
}

void mtmi_cholesky_solve(const double *factor, size_t n, double *b)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++)
            b[i] -= factor[i * n + k] * b[k];
        b[i] /= factor[i * n + i];
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; k++)
            b[i] -= factor[k * n + i] * b[k];
        b[i] /= factor[i * n + i];
    }
}
