/* SPDX-License-Identifier: MIT */
/* Locus: evaluation of its pieces and the nearest point, mostly in one step of high order. */
#include "colour/locus.h"

#include "data/locus.h"

#include <math.h>

/* Beyond this the answer is no colour temperature anyway, and the search need not be exact. */
#define FAR 0.06
/* How far from the middle of a piece its polynomial is used, in mired; its half is 1.25. */
#define REACH 1.75
#define STEPS_MAX 8

static inline double middle_of(int index)
{
    return MTMI_LOCUS_FIRST_MIRED + (MTMI_LOCUS_STEP_MIRED * (index + 0.5));
}

static inline int piece_at(double mired)
{
    int index = (int)((mired - MTMI_LOCUS_FIRST_MIRED) * (1 / MTMI_LOCUS_STEP_MIRED));

    return index < MTMI_LOCUS_PIECES ? index : MTMI_LOCUS_PIECES - 1;
}

/* Value and slope, s mired from the middle. */
static inline mtmi_locus_point point_on(const mtmi_locus_piece *piece, double s)
{
    const double(*c)[2] = piece->at;
    double p[2];
    double d[2];

    double s2 = s * s;

    for (int k = 0; k < 2; k++) { /* in pairs, which a processor works on at once */
        p[k] = (c[0][k] + (c[1][k] * s)) +
               (s2 * ((c[2][k] + (c[3][k] * s)) + (s2 * (c[4][k] + (c[5][k] * s)))));
        d[k] = (c[1][k] + (2 * c[2][k] * s)) +
               (s2 * ((3 * c[3][k]) + (4 * c[4][k] * s) + (5 * c[5][k] * s2)));
    }
    return (mtmi_locus_point){p[0], p[1], d[0], d[1]};
}

mtmi_locus_point mtmi_locus_at(mtm_observer observer, double mired)
{
    int index = piece_at(mired);

    return point_on(&mtmi_locus[observer][index], mired - middle_of(index));
}

/* Mired to start from, bilinear between the nodes; false outside the grid. */
static inline bool start_at(mtm_xy xy, double *mired)
{
    double column = (xy.x - MTMI_LOCUS_GRID_X) * (1 / MTMI_LOCUS_GRID_STEP);
    double row = (xy.y - MTMI_LOCUS_GRID_Y) * (1 / MTMI_LOCUS_GRID_STEP);

    if (!(column >= 0 && column < MTMI_LOCUS_GRID_COLUMNS - 1 && row >= 0 &&
          row < MTMI_LOCUS_GRID_ROWS - 1))
        return false;
    int i = (int)row;
    int j = (int)column;
    float a = (float)(column - j);
    float b = (float)(row - i);
    const float *low = &mtmi_locus_start[i][j];
    const float *high = &mtmi_locus_start[i + 1][j];
    float left = low[0] + (b * (high[0] - low[0]));
    float right = low[1] + (b * (high[1] - low[1]));

    *mired = left + (a * (right - left));
    return true;
}

/*
 * From the middle of a piece to the foot of the perpendicular from (u, v): the root of
 * f(s) = (P(s) - Q) . P'(s) by its series of second order, f0 + f1 s + a s^2, reversed around
 * -f0 / f1. Within FAR of the locus f1 > 0, for its radius of curvature is above 0.09 throughout.
 * 1 / f'(s) goes to *inverse for the last correction.
 */
static inline double step_to_foot(const double c[6][2], double qu, double qv, double *inverse)
{
    double f0 = (qu * c[1][0]) + (qv * c[1][1]);
    double f1 = (c[1][0] * c[1][0]) + (c[1][1] * c[1][1]) + (2 * ((qu * c[2][0]) + (qv * c[2][1])));
    double a = 3 * ((c[1][0] * c[2][0]) + (c[1][1] * c[2][1]) + (qu * c[3][0]) + (qv * c[3][1]));
    double one = 1 / f1;
    double r = -f0 * one;
    double bend = a * one * r;
    double step = r * (1 - bend + (2 * bend * bend));

    *inverse = one * (1 - (2 * bend));
    return step;
}

/* The foot, from the step: one correction with the whole polynomial, and which side Q is on. */
static inline mtmi_locus_position place_near(const mtmi_locus_piece *piece, double step,
                                             double inverse, double u, double v)
{
    mtmi_locus_point p = point_on(piece, step);
    double qu = u - p.u;
    double qv = v - p.v;
    double side = (qv * p.du) - (qu * p.dv);

    return (mtmi_locus_position){.mired = step + (((qu * p.du) + (qv * p.dv)) * inverse),
                                 .duv = copysign(sqrt((qu * qu) + (qv * qv)), side),
                                 .inside = true};
}

/* By walking the middles: slow, and only for colours that have no colour temperature. */
static mtmi_locus_position place_far(double u, double v)
{
    mtmi_locus_position place = {.duv = INFINITY};

    for (int i = 0; i < MTMI_LOCUS_PIECES; i++) {
        const mtmi_locus_piece *piece = &mtmi_locus[MTM_OBSERVER_2][i];
        double end = i == MTMI_LOCUS_PIECES - 1 ? MTMI_LOCUS_STEP_MIRED / 2
                     : i == 0                   ? -MTMI_LOCUS_STEP_MIRED / 2
                                                : 0;
        mtmi_locus_position there = place_near(piece, end, 0, u, v);

        if (fabs(there.duv) < fabs(place.duv))
            place = (mtmi_locus_position){.mired = middle_of(i) + end, .duv = there.duv};
    }
    return place;
}

mtmi_locus_position mtmi_locus_nearest(mtm_xy xy)
{
    double scale = 1 / ((-2 * xy.x) + (12 * xy.y) + 3);
    double u = 4 * xy.x * scale;
    double v = 6 * xy.y * scale;
    double mired = 0;

    if (!start_at(xy, &mired))
        return place_far(u, v);
    for (int i = 0; i < STEPS_MAX; i++) {
        int index = piece_at(mired);
        const mtmi_locus_piece *piece = &mtmi_locus[MTM_OBSERVER_2][index];
        double qu = piece->at[0][0] - u;
        double qv = piece->at[0][1] - v;
        double inverse = 0;

        if ((qu * qu) + (qv * qv) > FAR * FAR)
            break;
        double step = step_to_foot(piece->at, qu, qv, &inverse);
        if (fabs(step) <= REACH) {
            mtmi_locus_position place = place_near(piece, step, inverse, u, v);

            place.mired += middle_of(index);
            return place;
        }
        mired = middle_of(index) + step;
        if (!(mired >= MTMI_LOCUS_FIRST_MIRED && mired <= MTMI_LOCUS_LAST_MIRED))
            break;
    }
    return place_far(u, v);
}
