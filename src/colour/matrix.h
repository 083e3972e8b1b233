/* SPDX-License-Identifier: MIT */
/* The inverse of a three by three matrix, by LittleCMS. */
#ifndef METAMER_COLOUR_MATRIX_H
#define METAMER_COLOUR_MATRIX_H

#include <metamer/colour.h>

/** The inverse of a matrix that has one (determinant above 1e-4, as LittleCMS wants it); false, and
 *  nothing written, otherwise. */
bool mtmi_matrix_invert(const mtm_matrix *matrix, mtm_matrix *inverse);

#endif
