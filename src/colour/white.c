/* SPDX-License-Identifier: MIT */
/* White: colour temperature and Duv from a chromaticity and back, and the loci. */
#include <metamer/white.h>

#include "base/error.h"
#include "colour/check.h"
#include "colour/locus.h"
#include "colour/radiator.h"
#include "data/locus.h"

#include <math.h>

/* What the printed digits of a chromaticity cannot tell apart counts as the bound itself. */
#define CCT_SLACK_K 0.01
#define DUV_SLACK 1e-6

static double clamp(double value, double least, double most)
{
    return value < least ? least : value > most ? most : value;
}

/* Why a place is no white; kept out of the fast path. */
static mtm_result fail_place(mtm_xy xy, mtmi_locus_position place, mtm_error *error)
{
    bool hot = place.mired < 1e6 / MTM_CCT_MAX_K;
    bool cold = place.mired > 1e6 / MTM_CCT_MIN_K;

    if (fabs(place.duv) > MTM_DUV_MAX) /* beyond the ends of the locus there is no side of it */
        return mtmi_fail(error, MTM_RANGE,
                         "x %.4f, y %.4f lies %.3f %s the Planckian locus; a colour temperature "
                         "means nothing beyond %.2f",
                         xy.x, xy.y, fabs(place.duv),
                         hot || cold     ? "from"
                         : place.duv < 0 ? "below"
                                         : "above",
                         MTM_DUV_MAX);
    return mtmi_fail(error, MTM_RANGE,
                     "the colour temperature of x %.4f, y %.4f lies %s %.0f K; %.0f to %.0f K is "
                     "allowed",
                     xy.x, xy.y, hot ? "above" : "below", hot ? MTM_CCT_MAX_K : MTM_CCT_MIN_K,
                     MTM_CCT_MIN_K, MTM_CCT_MAX_K);
}

static mtm_result white_from_place(mtm_xy xy, mtmi_locus_position place, mtm_white *white,
                                   mtm_error *error)
{
    double cct_k = 1e6 / place.mired;

    if (!(place.inside && fabs(place.duv) <= MTM_DUV_MAX + DUV_SLACK &&
          cct_k >= MTM_CCT_MIN_K - CCT_SLACK_K && cct_k <= MTM_CCT_MAX_K + CCT_SLACK_K))
        return fail_place(xy, place, error);
    white->cct_k = clamp(cct_k, MTM_CCT_MIN_K, MTM_CCT_MAX_K);
    white->duv = clamp(place.duv, -MTM_DUV_MAX, MTM_DUV_MAX);
    return MTM_OK;
}

mtm_result mtm_white_from_xy(mtm_xy xy, mtm_white *white, mtm_error *error)
{
    if (white == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the white was given");
    if (!(xy.x >= 0 && xy.y > 0 && xy.x + xy.y <= 1)) /* without a call; NaN fails too */
        return mtmi_check_xy("the colour", xy, error);

    return white_from_place(xy, mtmi_locus_nearest(xy), white, error);
}

static mtm_xy xy_from_uv1960(double u, double v)
{
    double scale = 1 / ((2 * u) - (8 * v) + 4);

    return (mtm_xy){3 * u * scale, 2 * v * scale};
}

static mtm_result check_cct(double cct_k, double least_k, mtm_error *error)
{
    if (cct_k >= least_k && cct_k <= MTM_CCT_MAX_K)
        return MTM_OK;
    return mtmi_fail(error, MTM_INVALID,
                     "a colour temperature of %g K was given; %.0f to %.0f K is "
                     "allowed",
                     cct_k, least_k, MTM_CCT_MAX_K);
}

mtm_result mtm_white_to_xy(mtm_white white, mtm_xy *xy, mtm_error *error)
{
    if (xy == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the chromaticity was given");
    mtm_result result = check_cct(white.cct_k, MTM_CCT_MIN_K, error);
    if (result != MTM_OK)
        return result;
    if (!(fabs(white.duv) <= MTM_DUV_MAX))
        return mtmi_fail(error, MTM_INVALID, "a Duv of %g was given; -%.2f to %.2f is allowed",
                         white.duv, MTM_DUV_MAX, MTM_DUV_MAX);

    mtmi_locus_point p = mtmi_locus_at(MTM_OBSERVER_2, 1e6 / white.cct_k);
    double scale = white.duv / sqrt((p.du * p.du) + (p.dv * p.dv));
    *xy = xy_from_uv1960(p.u - (scale * p.dv), p.v + (scale * p.du));
    return MTM_OK;
}

static mtm_result check_locus_call(mtm_observer observer, const mtm_xy *xy, mtm_error *error)
{
    if (xy == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the chromaticity was given");
    return mtmi_check_observer(observer, error);
}

mtm_result mtm_planck_xy(double cct_k, mtm_observer observer, mtm_xy *xy, mtm_error *error)
{
    mtm_result result = check_locus_call(observer, xy, error);
    if (result == MTM_OK)
        result = check_cct(cct_k, MTM_CCT_MIN_K, error);
    if (result != MTM_OK)
        return result;

    mtmi_locus_point p = mtmi_locus_at(observer, 1e6 / cct_k);
    *xy = xy_from_uv1960(p.u, p.v);
    return MTM_OK;
}

/* The 10 degree point of the same spectrum, S0 + M1 S1 + M2 S2. */
static mtm_xy daylight_xy_10(mtm_xy d)
{
    double m1 = 0;
    double m2 = 0;

    mtmi_daylight_weights(d, &m1, &m2);
    const double(*s)[3] = mtmi_daylight_xyz[MTM_OBSERVER_10];

    return mtm_xy_from_xyz((mtm_xyz){s[0][0] + (m1 * s[1][0]) + (m2 * s[2][0]),
                                     s[0][1] + (m1 * s[1][1]) + (m2 * s[2][1]),
                                     s[0][2] + (m1 * s[1][2]) + (m2 * s[2][2])});
}

mtm_result mtm_daylight_xy(double cct_k, mtm_observer observer, mtm_xy *xy, mtm_error *error)
{
    mtm_result result = check_locus_call(observer, xy, error);
    if (result == MTM_OK)
        result = check_cct(cct_k, MTM_DAYLIGHT_MIN_K, error);
    if (result != MTM_OK)
        return result;

    mtm_xy d = mtmi_daylight_point(cct_k);
    *xy = observer == MTM_OBSERVER_2 ? d : daylight_xy_10(d);
    return MTM_OK;
}

double mtm_mired_from_cct(double cct_k)
{
    return cct_k > 0 && isfinite(cct_k) ? 1e6 / cct_k : NAN;
}

double mtm_cct_from_mired(double mired)
{
    return mired > 0 && isfinite(mired) ? 1e6 / mired : NAN;
}
