/* SPDX-License-Identifier: MIT */
/* The inverse of a three by three matrix, by LittleCMS. */
#include "colour/matrix.h"

#include <lcms2_plugin.h>

bool mtmi_matrix_invert(const mtm_matrix *matrix, mtm_matrix *inverse)
{
    cmsMAT3 theirs;
    cmsMAT3 made;

    for (int row = 0; row < 3; row++)
        _cmsVEC3init(&theirs.v[row], matrix->m[row][0], matrix->m[row][1], matrix->m[row][2]);
    if (!_cmsMAT3inverse(&theirs, &made))
        return false;
    for (int row = 0; row < 3; row++) {
        for (int column = 0; column < 3; column++)
            inverse->m[row][column] = made.v[row].n[column];
    }
    return true;
}
