/* SPDX-License-Identifier: MIT */
/* Mixer: which whites a table of temperatures, and perhaps of tints, can make. */
#include "base/number.h"
#include "unit/mixer.h"

#include <metamer/white.h>

#include <math.h>

/* Points of a side that are looked at first, and thirds of what is left that are cut after. */
#define SIDE_POINTS 48
#define CUTS 60
/* A part of the range that is rounding. */
#define SLACK 1e-9

/* The whites: a rectangle in mired and Duv, or a line. */
struct whites {
    double warm_k, cool_k, below, above;
};

static struct whites whites_of(const struct mtmi_mixer *mixer)
{
    const mtm_mixing *m = &mixer->mixing;
    const double a = m->temperature[0].value, b = m->temperature[m->temperature_count - 1].value;
    struct whites whites = {fmin(a, b), fmax(a, b), 0, 0};

    if (m->tint_count > 0) {
        whites.below = fmin(m->tint[0].value, m->tint[m->tint_count - 1].value);
        whites.above = fmax(m->tint[0].value, m->tint[m->tint_count - 1].value);
    }
    return whites;
}

/* A side: from one white to another, by parts of mired and of Duv. */
struct side {
    mtm_white from, to;
};

static mtm_xy on_side(const struct side *side, double part)
{
    const double from = 1 / side->from.cct_k, to = 1 / side->to.cct_k;
    const mtm_white white = {1 / (from + part * (to - from)),
                             side->from.duv + part * (side->to.duv - side->from.duv)};
    mtm_xy xy = {0, 0};

    return mtm_white_to_xy(white, &xy, NULL) == MTM_OK ? xy : (mtm_xy){0, 0};
}

static double apart(const struct side *side, double part, mtm_uv uv)
{
    return mtm_uv_distance(mtm_uv_from_xy(on_side(side, part)), uv);
}

/* The part of a side that is nearest. */
static double nearest_part(const struct side *side, mtm_uv uv)
{
    double least = INFINITY, best = 0;

    for (int i = 0; i <= SIDE_POINTS; i++) {
        double part = (double)i / SIDE_POINTS, distance = apart(side, part, uv);
        if (mtmi_exceeds(least, distance)) {
            least = distance;
            best = part;
        }
    }
    double low = fmax(0, best - 1.0 / SIDE_POINTS), high = fmin(1, best + 1.0 / SIDE_POINTS);
    for (int i = 0; i < CUTS; i++) {
        double third = (high - low) / 3;
        if (apart(side, low + third, uv) <= apart(side, high - third, uv))
            high -= third;
        else
            low += third;
    }
    return (low + high) / 2;
}

static double clamp(double value, double least, double most)
{
    return fmin(fmax(value, least), most);
}

static bool holds(const struct whites *whites, mtm_white white)
{
    const double slack = SLACK * whites->cool_k;

    return white.cct_k >= whites->warm_k - slack && white.cct_k <= whites->cool_k + slack &&
           white.duv >= whites->below - SLACK && white.duv <= whites->above + SLACK;
}

mtm_xy mtmi_mixer_nearest(const struct mtmi_mixer *mixer, mtm_xy xy)
{
    if (mixer->mixing.type != MTM_MIXING_WHITE)
        return xy;
    const struct whites w = whites_of(mixer);
    const mtm_uv uv = mtm_uv_from_xy(xy);
    const mtm_white corner[] = {
        {w.warm_k, w.below}, {w.cool_k, w.below}, {w.cool_k, w.above}, {w.warm_k, w.above}};
    const int sides = w.below == w.above ? 1 : 4;
    double least = INFINITY;
    mtm_xy found = xy;
    mtm_white white;

    if (mtm_white_from_xy(xy, &white, NULL) == MTM_OK && holds(&w, white))
        return xy;
    for (int i = 0; i < sides; i++) {
        const struct side side = {corner[i], corner[(i + 1) % 4]};
        mtm_xy near = on_side(&side, nearest_part(&side, uv));
        double distance = mtm_uv_distance(mtm_uv_from_xy(near), uv);
        if (mtmi_exceeds(least, distance)) {
            least = distance;
            found = near;
        }
    }
    return found;
}

bool mtmi_mixer_at_temperature(const struct mtmi_mixer *mixer, mtm_xy xy, double cct_k,
                               mtm_xy *found)
{
    mtm_white white = {cct_k, 0};

    if (mixer->mixing.type != MTM_MIXING_WHITE)
        return false;
    const struct whites w = whites_of(mixer);
    bool is_white = mtm_white_from_xy(xy, &white, NULL) == MTM_OK;
    if (cct_k > 0)
        white.cct_k = cct_k;
    else if (!is_white)
        return false;
    white.duv = clamp(is_white ? white.duv : 0, w.below, w.above);
    return holds(&w, white) && mtm_white_to_xy(white, found, NULL) == MTM_OK;
}
