/* SPDX-License-Identifier: MIT */
/* Where to aim when the emitters cannot reach what is asked. */
#include "solve/matcher.h"
#include "solve/solver.h"

#include <metamer/dominant.h>
#include <metamer/white.h>

#include <math.h>

/* Purities that differ by less are the same. */
#define SAME_PURITY 1e-9

static mtm_xy along(mtm_xy from, mtm_xy to, double t)
{
    return (mtm_xy){from.x + t * (to.x - from.x), from.y + t * (to.y - from.y)};
}

static mtm_xy toward_white(const struct mtmi_hull *hull, const mtm_request *request)
{
    mtm_xy white = request->white;
    double t[2];

    if (white.x == 0 && white.y == 0)
        white = (mtm_xy){1.0 / 3, 1.0 / 3};
    if (!mtmi_hull_clip(hull, request->xy, white, t) || t[0] > 1 || t[1] < 0)
        return mtmi_hull_nearest(hull, request->xy);
    return along(request->xy, white, t[0] > 0 ? t[0] : 0);
}

/* Lights of one CCT lie on a straight line across the locus, so two points of it are enough. The
 * line is clipped to the hull and to the |duv| in which a CCT has a meaning. */
static mtm_xy at_temperature(const struct mtmi_hull *hull, const mtm_request *request)
{
    const double step = 0.02, most = MTM_DUV_MAX / step;
    mtm_white white = {request->cct_k, 0};
    mtm_xy on, under;
    double t[2];

    if (request->cct_k == 0 && mtm_white_from_xy(request->xy, &white, NULL) != MTM_OK)
        return mtmi_hull_nearest(hull, request->xy);
    if (mtm_white_to_xy((mtm_white){white.cct_k, 0}, &on, NULL) != MTM_OK ||
        mtm_white_to_xy((mtm_white){white.cct_k, -step}, &under, NULL) != MTM_OK ||
        !mtmi_hull_clip(hull, on, under, t) || t[0] > most || t[1] < -most)
        return mtmi_hull_nearest(hull, request->xy);
    return mtmi_segment_nearest(along(on, under, fmax(t[0], -most)),
                                along(on, under, fmin(t[1], most)), request->xy);
}

mtm_xy mtmi_aim(const struct mtmi_hull *hull, const mtm_request *request)
{
    switch (request->beyond) {
    case MTM_BEYOND_HUE:
        return toward_white(hull, request);
    case MTM_BEYOND_CCT:
        return at_temperature(hull, request);
    case MTM_BEYOND_NEAREST:
        break;
    }
    return mtmi_hull_nearest(hull, request->xy);
}

bool mtmi_bring_in(const mtm_limits *limits, mtm_observer observer, mtm_xy *xy)
{
    mtm_xy white = limits->purity_white;
    mtm_dominant dominant;

    if (!(limits->most_purity > 0))
        return false;
    if (white.x == 0 && white.y == 0)
        white = (mtm_xy){1.0 / 3, 1.0 / 3};
    if (mtm_dominant_from_xy(*xy, white, observer, &dominant, NULL) != MTM_OK ||
        !(dominant.purity > limits->most_purity + SAME_PURITY))
        return false;
    *xy = along(white, *xy, limits->most_purity / dominant.purity);
    return true;
}
