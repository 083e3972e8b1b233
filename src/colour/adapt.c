/* SPDX-License-Identifier: MIT */
/* Chromatic adaptation: Bradford by LittleCMS, CAT16 by its matrix. */
#include <metamer/adapt.h>

#include "base/error.h"
#include "colour/adapt.h"
#include "colour/matrix.h"

#include <lcms2.h>

#include <math.h>

const mtm_matrix mtmi_cat16 = {{
    {0.401288, 0.650173, -0.051461},
    {-0.250268, 1.204414, 0.045854},
    {-0.002079, 0.048952, 0.953127},
}};

const mtm_matrix mtmi_cat16_back = {{
    {1.8620678550872327, -1.0112546305316843, 0.1491867754444517},
    {0.3875265432361372, 0.6214474419314754, -0.0089739851676125},
    {-0.0158414988493339, -0.0341229380285156, 1.0499644368778493},
}};

static bool white_valid(mtm_xyz white)
{
    return isfinite(white.x) && isfinite(white.y) && isfinite(white.z) && white.x > 0 &&
           white.y > 0 && white.z > 0;
}

static mtm_xyz unit_y(mtm_xyz white)
{
    return (mtm_xyz){white.x / white.y, 1, white.z / white.y};
}

/* The matrix's columns are what it makes of the three unit vectors. */
static bool bradford(mtm_xyz from, mtm_xyz to, mtm_matrix *matrix)
{
    const cmsCIEXYZ source = {from.x, from.y, from.z};
    const cmsCIEXYZ target = {to.x, to.y, to.z};

    for (int column = 0; column < 3; column++) {
        const cmsCIEXYZ unit = {column == 0, column == 1, column == 2};
        cmsCIEXYZ made;

        if (!cmsAdaptToIlluminant(&made, &source, &target, &unit))
            return false;
        matrix->m[0][column] = made.X;
        matrix->m[1][column] = made.Y;
        matrix->m[2][column] = made.Z;
    }
    return true;
}

static bool cat16(mtm_xyz from, mtm_xyz to, mtm_matrix *matrix)
{
    mtm_xyz a = mtm_matrix_apply(&mtmi_cat16, from);
    mtm_xyz b = mtm_matrix_apply(&mtmi_cat16, to);
    mtm_matrix inverse;

    if (!(a.x > 0 && a.y > 0 && a.z > 0 && b.x > 0 && b.y > 0 && b.z > 0) ||
        !mtmi_matrix_invert(&mtmi_cat16, &inverse))
        return false;
    const double gain[3] = {b.x / a.x, b.y / a.y, b.z / a.z};
    for (int row = 0; row < 3; row++) {
        for (int column = 0; column < 3; column++) {
            matrix->m[row][column] = 0;
            for (int i = 0; i < 3; i++)
                matrix->m[row][column] += inverse.m[row][i] * gain[i] * mtmi_cat16.m[i][column];
        }
    }
    return true;
}

mtm_result mtm_adapt_matrix(mtm_adapt_method method, mtm_xyz from, mtm_xyz to, double degree,
                            mtm_matrix *matrix, mtm_error *error)
{
    mtm_matrix made;

    if (matrix == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the adaptation was given");
    if ((unsigned)method > MTM_ADAPT_BRADFORD)
        return mtmi_fail(error, MTM_INVALID, "there is no such method of adaptation: %d",
                         (int)method);
    if (!white_valid(from) || !white_valid(to))
        return mtmi_fail(error, MTM_INVALID, "a white needs X, Y and Z above 0");
    if (!(degree >= 0 && degree <= 1))
        return mtmi_fail(error, MTM_INVALID, "a degree of adaptation is 0..1, not %g", degree);
    bool done = method == MTM_ADAPT_BRADFORD ? bradford(unit_y(from), unit_y(to), &made)
                                             : cat16(unit_y(from), unit_y(to), &made);
    if (!done)
        return mtmi_fail(error, MTM_INVALID,
                         "the whites are too far from any light to adapt between them");
    /* Mixing each gain with 1 is mixing the whole matrix with the identity. */
    for (int row = 0; row < 3; row++) {
        for (int column = 0; column < 3; column++)
            made.m[row][column] =
                degree * made.m[row][column] + (1 - degree) * (row == column ? 1 : 0);
    }
    *matrix = made;
    return MTM_OK;
}
