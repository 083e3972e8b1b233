/* SPDX-License-Identifier: MIT */
/* 3 x 3 matrices. */
#ifndef METAMER_NUMERIC_MATRIX3_H
#define METAMER_NUMERIC_MATRIX3_H

#include <stdbool.h>

/** A 3 x 3 matrix, row by row. */
typedef struct mtmi_m3 {
    double at[3][3];
} mtmi_m3;

/** Inverse of a; false where a is singular to working precision (b untouched). What is
 *  singular is told by the lengths of the rows: covariances have tiny determinants. */
bool mtmi_m3_invert(const mtmi_m3 *a, mtmi_m3 *b);
/** a b. */
mtmi_m3 mtmi_m3_multiply(const mtmi_m3 *a, const mtmi_m3 *b);
/** a b a^T: how a covariance b passes through a linear map. JCGM 102:2011, 6.2. */
mtmi_m3 mtmi_m3_carry(const mtmi_m3 *a, const mtmi_m3 *b);
/** out = a v; out may be v. */
void mtmi_m3_apply(const mtmi_m3 *a, const double v[3], double out[3]);

#endif
