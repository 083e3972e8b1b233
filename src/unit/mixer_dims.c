/* SPDX-License-Identifier: MIT */
/* Mixer: units whose colour goes with their output: the output whose colour is nearest. */
#include "base/number.h"
#include "fixture/dims.h"
#include "unit/mixer.h"

#include <math.h>

/* Points of the way that are looked at first, and thirds of what is left that are cut after. */
#define WAY_POINTS 96
#define CUTS 60

mtm_uv mtmi_mixer_dims_uv(const struct mtmi_mixer *mixer, double share)
{
    mtm_xy xy = {0, 0};

    /* in range: checked when it was made */
    return mtm_white_to_xy(mtmi_dims_white(&mixer->mixing, share), &xy, NULL) == MTM_OK
               ? mtm_uv_from_xy(xy)
               : (mtm_uv){0, 0};
}

/* The way goes from the least output to full, by its logarithm. */
static double share_at(const struct mtmi_mixer *mixer, double part)
{
    return part < 1 ? pow(mtmi_dims_least(&mixer->mixing), 1 - part) : 1;
}

static double apart(const struct mtmi_mixer *mixer, double part, mtm_uv uv)
{
    return mtm_uv_distance(mtmi_mixer_dims_uv(mixer, share_at(mixer, part)), uv);
}

double mtmi_mixer_dims_nearest(const struct mtmi_mixer *mixer, mtm_xy xy)
{
    const mtm_uv uv = mtm_uv_from_xy(xy);
    double least = INFINITY, best = 0;

    for (int i = WAY_POINTS; i >= 0; i--) { /* of equals the one with more light */
        double part = (double)i / WAY_POINTS, distance = apart(mixer, part, uv);
        if (mtmi_exceeds(least, distance)) {
            least = distance;
            best = part;
        }
    }
    double low = fmax(0, best - 1.0 / WAY_POINTS), high = fmin(1, best + 1.0 / WAY_POINTS);
    for (int i = 0; i < CUTS; i++) {
        double third = (high - low) / 3;
        if (apart(mixer, low + third, uv) < apart(mixer, high - third, uv))
            high -= third;
        else
            low += third;
    }
    double found = (low + high) / 2;
    return share_at(mixer, apart(mixer, found, uv) < least ? found : best);
}
