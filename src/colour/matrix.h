/* SPDX-License-Identifier: MIT */
/* The inverse of a three by three matrix, by LittleCMS. */
#ifndef METAMER_COLOUR_MATRIX_H
#define METAMER_COLOUR_MATRIX_H

#include "numeric/linear.h"

#include <metamer/colour.h>

/** The inverse of a matrix that has one (determinant above 1e-4, as LittleCMS wants it); false, and
 *  nothing written, otherwise. */
bool mtmi_matrix_invert(const mtm_matrix *matrix, mtm_matrix *inverse);

/** a v, for a colour. */
static inline mtm_xyz mtmi_m3_xyz(const mtmi_m3 *a, mtm_xyz v)
{
    double out[3] = {v.x, v.y, v.z};

    mtmi_m3_apply(a, out, out);
    return (mtm_xyz){out[0], out[1], out[2]};
}

#endif
