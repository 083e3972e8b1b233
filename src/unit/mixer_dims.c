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

/* The way goes from the least output to the most, by its logarithm. */
struct way {
    const struct mtmi_mixer *mixer;
    double least, most;
    mtm_uv uv; /* the colour to come near to */
};

static double share_at(const struct way *way, double part)
{
    return part < 1 ? way->most * pow(way->least / way->most, 1 - part) : way->most;
}

static double apart(const struct way *way, double part)
{
    return mtm_uv_distance(mtmi_mixer_dims_uv(way->mixer, share_at(way, part)), way->uv);
}

double mtmi_mixer_dims_nearest(const struct mtmi_mixer *mixer, mtm_xy xy, double most)
{
    const struct way way = {mixer, fmin(most, mtmi_dims_least(&mixer->mixing)), most,
                            mtm_uv_from_xy(xy)};
    double least = INFINITY, best = 0;

    for (int i = WAY_POINTS; i >= 0; i--) { /* of equals the one with more light */
        double part = (double)i / WAY_POINTS, distance = apart(&way, part);
        if (mtmi_exceeds(least, distance)) {
            least = distance;
            best = part;
        }
    }
    double low = fmax(0, best - 1.0 / WAY_POINTS), high = fmin(1, best + 1.0 / WAY_POINTS);
    for (int i = 0; i < CUTS; i++) {
        double third = (high - low) / 3;
        if (apart(&way, low + third) < apart(&way, high - third))
            high -= third;
        else
            low += third;
    }
    double found = (low + high) / 2;
    return share_at(&way, apart(&way, found) < least ? found : best);
}
