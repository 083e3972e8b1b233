/* SPDX-License-Identifier: MIT */
/* Colour rendering indices of CIE 13.3-1995, from the tristimulus values of its samples. */
#include "quality/cri.h"

#include <math.h>

#define PER_DIFFERENCE 4.6 /* CIE 13.3-1995, 5.7 */

static mtm_uv uv_1960(const mtmi_tcs *tcs, size_t i)
{
    double d = tcs->at[0][i] + (15 * tcs->at[1][i]) + (3 * tcs->at[2][i]);

    return d > 0 ? (mtm_uv){4 * tcs->at[0][i] / d, 6 * tcs->at[1][i] / d} : (mtm_uv){0, 0};
}

/* The two quantities in which the standard's von Kries adaptation is linear; black has none. */
static double c_of(mtm_uv p)
{
    return p.v > 0 ? (4 - p.u - (10 * p.v)) / p.v : 0;
}

static double d_of(mtm_uv p)
{
    return p.v > 0 ? ((1.708 * p.v) + 0.404 - (1.481 * p.u)) / p.v : 0;
}

static mtmi_uvw uvw_of(mtm_uv p, mtm_uv white, double y)
{
    double w = (25 * cbrt(y)) - 17;

    return (mtmi_uvw){13 * w * (p.u - white.u), 13 * w * (p.v - white.v), w};
}

static double y_percent(const mtmi_tcs *tcs, size_t i)
{
    return 100 * tcs->at[1][i] / tcs->at[1][MTMI_TCS_WHITE];
}

mtm_uv mtmi_cri_reference(const mtmi_tcs *tcs, mtmi_uvw sample[MTM_TCS_COUNT])
{
    mtm_uv white = uv_1960(tcs, MTMI_TCS_WHITE);

    for (size_t i = 0; i < MTM_TCS_COUNT; i++)
        sample[i] = uvw_of(uv_1960(tcs, i), white, y_percent(tcs, i));
    return white;
}

/* CIE 13.3-1995, 5.5: u, v of a sample as if under the reference. */
static mtm_uv adapted(mtm_uv p, double c_ratio, double d_ratio)
{
    double c = c_ratio * c_of(p);
    double d = d_ratio * d_of(p);
    double scale = 1 / (16.518 + (1.481 * c) - d);

    return (mtm_uv){(10.872 + (0.404 * c) - (4 * d)) * scale, 5.520 * scale};
}

void mtmi_cri_shifts(const mtmi_quality_light *light, const mtmi_quality_reference *reference,
                     mtmi_uvw shift[MTM_TCS_COUNT])
{
    mtm_uv white = uv_1960(&light->tcs, MTMI_TCS_WHITE);
    double c_ratio = c_of(reference->white_1960) / c_of(white);
    double d_ratio = d_of(reference->white_1960) / d_of(white);

    for (size_t i = 0; i < MTM_TCS_COUNT; i++) {
        mtmi_uvw test = uvw_of(adapted(uv_1960(&light->tcs, i), c_ratio, d_ratio),
                               reference->white_1960, y_percent(&light->tcs, i));
        shift[i] = (mtmi_uvw){test.u - reference->tcs[i].u, test.v - reference->tcs[i].v,
                              test.w - reference->tcs[i].w};
    }
}

void mtmi_cri_from_light(const mtmi_quality_light *light, const mtmi_quality_reference *reference,
                         mtm_cri *cri)
{
    mtmi_uvw shift[MTM_TCS_COUNT];
    double sum = 0;

    mtmi_cri_shifts(light, reference, shift);
    for (size_t i = 0; i < MTM_TCS_COUNT; i++) {
        double du = shift[i].u;
        double dv = shift[i].v;
        double dw = shift[i].w;

        cri->r[i] = 100 - (PER_DIFFERENCE * sqrt((du * du) + (dv * dv) + (dw * dw)));
        if (i < 8)
            sum += cri->r[i];
    }
    cri->ra = sum / 8;
    cri->distance = mtm_uv_distance(uv_1960(&light->tcs, MTMI_TCS_WHITE), reference->white_1960);
    cri->far = cri->distance > MTM_CRI_DISTANCE_MAX;
}
