/* SPDX-License-Identifier: MIT */
/* Misses: how far a match is from what was asked, and why it comes no closer. */
#include <metamer/match.h>

#include "base/number.h"

#include <math.h>

void mtm_match_compare(mtm_match *match, mtm_xy asked)
{
    if (match == NULL || !isfinite(asked.x) || !isfinite(asked.y))
        return;
    mtm_uv wanted = mtm_uv_from_xy(asked);

    match->delta_uv = match->gamut_uv = match->codes_uv = 0;
    if (!(match->xyz.y > 0))
        return;
    mtm_uv made = mtm_uv_from_xyz(match->xyz);
    match->delta_uv = mtm_uv_distance(made, wanted);
    if (!(match->ideal.xyz.y > 0))
        return;
    mtm_uv ideal = mtm_uv_from_xyz(match->ideal.xyz);
    match->gamut_uv = mtm_uv_distance(ideal, wanted);
    match->codes_uv = mtm_uv_distance(made, ideal);
}

unsigned mtm_colour_misses(double delta_uv, double gamut_uv, double codes_uv)
{
    unsigned misses = 0;

    if (!mtmi_exceeds(delta_uv, MTM_ON_TARGET_UV))
        return 0;
    if (mtmi_exceeds(gamut_uv, MTM_ON_TARGET_UV))
        misses |= MTM_MISS_GAMUT;
    if (mtmi_exceeds(codes_uv, MTM_ON_TARGET_UV))
        misses |= MTM_MISS_CODES;
    return misses;
}

unsigned mtm_match_misses(const mtm_match *match, bool held)
{
    if (match == NULL)
        return 0;
    const unsigned limits =
        ((match->shortfall & MTM_SHORT_LOWEST) != 0 ? (unsigned)MTM_MISS_LOWEST : 0U) |
        ((match->shortfall & MTM_SHORT_PURITY) != 0 ? (unsigned)MTM_MISS_PURITY : 0U);
    if (!(match->ideal.xyz.y > 0))
        return limits != 0 ? MTM_MISS_DARK | limits : 0; /* dark, as asked */
    if (!(match->xyz.y > 0))
        return MTM_MISS_DARK | limits;
    unsigned misses = limits | mtm_colour_misses(match->delta_uv, match->gamut_uv, match->codes_uv);
    if ((match->shortfall & MTM_SHORT_OUTPUT) != 0)
        misses |= MTM_MISS_OUTPUT;
    else if (held)
        misses |= MTM_MISS_RATING;
    return misses;
}

bool mtm_match_reached(const mtm_match *match, bool held)
{
    if (match == NULL || (match->shortfall & (MTM_SHORT_LOWEST | MTM_SHORT_PURITY)) != 0)
        return false;
    if (!(match->ideal.xyz.y > 0))
        return match->left_dark_uv == 0; /* dark, as asked */
    return match->xyz.y > 0 && !mtmi_exceeds(match->gamut_uv, MTM_ON_TARGET_UV) &&
           (match->shortfall & MTM_SHORT_OUTPUT) == 0 && !held;
}
