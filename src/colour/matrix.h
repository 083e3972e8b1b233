/* SPDX-License-Identifier: MIT */
/* Colours through three by three matrices. */
#ifndef METAMER_COLOUR_MATRIX_H
#define METAMER_COLOUR_MATRIX_H

#include "numeric/matrix3.h"

#include <metamer/colour.h>

#include <string.h>

/** The inverse of a matrix; false, and nothing written, if it has none. */
static inline bool mtmi_matrix_invert(const mtm_matrix *matrix, mtm_matrix *inverse)
{
    mtmi_m3 a, b;

    memcpy(a.at, matrix->m, sizeof a.at);
    if (!mtmi_m3_invert(&a, &b))
        return false;
    memcpy(inverse->m, b.at, sizeof b.at);
    return true;
}

/** a v, for a colour. */
static inline mtm_xyz mtmi_m3_xyz(const mtmi_m3 *a, mtm_xyz v)
{
    double out[3] = {v.x, v.y, v.z};

    mtmi_m3_apply(a, out, out);
    return (mtm_xyz){out[0], out[1], out[2]};
}

#endif
