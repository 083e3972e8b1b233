/* SPDX-License-Identifier: MIT */
/* Chromaticities: x, y and u', v' from tristimulus values and from each other; a spectrum's lumens.
 */
#include <metamer/colour.h>

#include "base/error.h"

#include <math.h>

mtm_xy mtm_xy_from_xyz(mtm_xyz xyz)
{
    double sum = xyz.x + xyz.y + xyz.z;

    if (!(sum > 0))
        return (mtm_xy){0, 0};
    return (mtm_xy){xyz.x / sum, xyz.y / sum};
}

mtm_uv mtm_uv_from_xyz(mtm_xyz xyz)
{
    double sum = xyz.x + 15 * xyz.y + 3 * xyz.z;

    if (!(sum > 0))
        return (mtm_uv){0, 0};
    return (mtm_uv){4 * xyz.x / sum, 9 * xyz.y / sum};
}

mtm_xyz mtm_xyz_from_xy(mtm_xy xy, double y_value)
{
    if (!(xy.y > 0))
        return (mtm_xyz){NAN, NAN, NAN};
    return (mtm_xyz){xy.x / xy.y * y_value, y_value, (1 - xy.x - xy.y) / xy.y * y_value};
}

mtm_uv mtm_uv_from_xy(mtm_xy xy)
{
    double sum = -2 * xy.x + 12 * xy.y + 3;

    return (mtm_uv){4 * xy.x / sum, 9 * xy.y / sum};
}

mtm_xy mtm_xy_from_uv(mtm_uv uv)
{
    double sum = 6 * uv.u - 16 * uv.v + 12;

    return (mtm_xy){9 * uv.u / sum, 4 * uv.v / sum};
}

double mtm_uv_distance(mtm_uv a, mtm_uv b)
{
    double du = a.u - b.u;
    double dv = a.v - b.v;

    return sqrt(du * du + dv * dv);
}

mtm_xyz mtm_matrix_apply(const mtm_matrix *matrix, mtm_xyz xyz)
{
    if (matrix == NULL)
        return (mtm_xyz){0, 0, 0};
    const double(*m)[3] = matrix->m;

    return (mtm_xyz){m[0][0] * xyz.x + m[0][1] * xyz.y + m[0][2] * xyz.z,
                     m[1][0] * xyz.x + m[1][1] * xyz.y + m[1][2] * xyz.z,
                     m[2][0] * xyz.x + m[2][1] * xyz.y + m[2][2] * xyz.z};
}

bool mtm_xy_valid(mtm_xy xy)
{
    return isfinite(xy.x) && isfinite(xy.y) && xy.x >= 0 && xy.y > 0 && xy.x + xy.y <= 1;
}

mtm_result mtm_spectrum_scale_to_lm(mtm_spectrum *spectrum, double flux_lm, mtm_error *error)
{
    if (spectrum == NULL || !(flux_lm >= 0 && isfinite(flux_lm)))
        return mtmi_fail(error, MTM_INVALID,
                         "a spectrum is needed, and a flux of 0 lm or more, not %g", flux_lm);
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        if (!isfinite(spectrum->value[i]))
            return mtmi_fail(error, MTM_INVALID, "the spectrum has no finite value at %zu nm",
                             MTM_SPECTRUM_FIRST_NM + i);
    }
    double raw_lm = mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2).y;
    double factor = flux_lm > 0 ? flux_lm / raw_lm : 0;
    if (flux_lm > 0 && !(raw_lm > 0 && isfinite(factor)))
        return mtmi_fail(error, MTM_RANGE,
                         "the spectrum has next to no visible light (%g), so it cannot be "
                         "scaled to %g lm",
                         raw_lm, flux_lm);
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        spectrum->value[i] *= factor;
    return MTM_OK;
}
