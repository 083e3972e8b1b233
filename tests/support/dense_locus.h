/* SPDX-License-Identifier: MIT */
/* Dense locus: the nearest point of the Planckian locus by plain search on plain sums, shared by a
 * test and a benchmark. Shares the observer table with the library and nothing else. */
#ifndef METAMER_TESTS_DENSE_LOCUS_H
#define METAMER_TESTS_DENSE_LOCUS_H

#include <math.h>

#include "data/tables.h"

#define DENSE_COUNT 2000

/** Points from 25 to 1100 mired, evenly, filled by dense_fill. */
struct dense {
    double u[DENSE_COUNT], v[DENSE_COUNT];
};

static inline double dense_mired(double index)
{
    return 25 + (1075 * index / (DENSE_COUNT - 1));
}

/** CIE 1960 u, v of the Planckian radiator and their slope by the mired; c2 = 1.4388e-2 m K,
 *  360..830 nm by 1 nm. */
static inline void dense_point(const double observer[3][471], double mired, double uv[2],
                               double slope[2])
{
    double sum[3] = {0};
    double rise[3] = {0};

    for (int i = 0; i < 471; i++) {
        double l = (360 + i) * 1e-9;
        double a = 1.4388e-2 * 1e-6 / l;
        double rest = expm1(a * mired);
        double s = 1e-35 / (l * l * l * l * l * rest);

        for (int k = 0; k < 3; k++) {
            sum[k] += s * observer[k][i];
            rise[k] -= s * a * (rest + 1) / rest * observer[k][i];
        }
    }
    double d = sum[0] + (15 * sum[1]) + (3 * sum[2]);
    double dd = rise[0] + (15 * rise[1]) + (3 * rise[2]);
    uv[0] = 4 * sum[0] / d;
    uv[1] = 6 * sum[1] / d;
    slope[0] = ((4 * rise[0]) - (uv[0] * dd)) / d;
    slope[1] = ((6 * rise[1]) - (uv[1] * dd)) / d;
}

static inline void dense_fill(struct dense *dense)
{
    for (int i = 0; i < DENSE_COUNT; i++) {
        double uv[2];
        double slope[2];

        dense_point(mtmi_table_observer_2, dense_mired(i), uv, slope);
        dense->u[i] = uv[0];
        dense->v[i] = uv[1];
    }
}

/** Mired of the nearest point and its distance: the nearest of the points, then bisection of the
 *  slope of the distance between its neighbours. */
static inline double dense_nearest(const struct dense *dense, double u, double v, double *distance)
{
    int best = 0;

    for (int i = 1; i < DENSE_COUNT; i++)
        if (hypot(dense->u[i] - u, dense->v[i] - v) < hypot(dense->u[best] - u, dense->v[best] - v))
            best = i;

    double low = dense_mired(best > 0 ? best - 1 : 0);
    double high = dense_mired(best < DENSE_COUNT - 1 ? best + 1 : best);
    double uv[2] = {0};
    for (int i = 0; i < 34; i++) {
        double middle = 0.5 * (low + high);
        double slope[2];

        dense_point(mtmi_table_observer_2, middle, uv, slope);
        if (((uv[0] - u) * slope[0]) + ((uv[1] - v) * slope[1]) > 0)
            high = middle;
        else
            low = middle;
    }
    *distance = hypot(uv[0] - u, uv[1] - v);
    return 0.5 * (low + high);
}

#endif
