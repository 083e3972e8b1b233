/* SPDX-License-Identifier: MIT */
/* Dense search for the highest Rf of a five-emitter fixture at one colour and output: two levels on
 * a grid, the other three by Cramer's rule. Shares no code with the solver; judges by the public
 * index. */
#ifndef METAMER_TESTS_DENSE_TRUTH_H
#define METAMER_TESTS_DENSE_TRUTH_H

#include "quality/kernel.h"

#include <metamer/fixture.h>
#include <metamer/white.h>

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

struct dense_truth {
    mtmi_quality_light light[5];
    mtm_xyz xyz[5];
    double watts[5], limit_w;
    double most[5]; /* levels: 1, unless limits are to be kept */
    mtmi_quality_reference reference;
};

static inline double dense_det(mtm_xyz a, mtm_xyz b, mtm_xyz c)
{
    return a.x * (b.y * c.z - b.z * c.y) - a.y * (b.x * c.z - b.z * c.x) +
           a.z * (b.x * c.y - b.y * c.x);
}

static inline int dense_truth_prepare(struct dense_truth *dense, const mtm_fixture *fixture,
                                      double cct_k)
{
    dense->limit_w = mtm_fixture_power_limit_w(fixture);
    for (size_t k = 0; k < 5; k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
        dense->xyz[k] = emitter->xyz[MTM_OBSERVER_2];
        dense->watts[k] = emitter->watts;
        dense->most[k] = 1;
        mtmi_quality_light_from_spectrum(mtmi_quality_best(), emitter->spectrum, &dense->light[k]);
    }
    return mtmi_quality_reference_at(mtmi_quality_best(), cct_k, &dense->reference, NULL) == MTM_OK;
}

/* The levels of the light p where the first two are a and b; false where one is not allowed. */
static inline bool dense_truth_levels(const struct dense_truth *dense, mtm_xyz p, double a,
                                      double b, double level[5])
{
    const mtm_xyz *e = dense->xyz;
    mtm_xyz rest = {p.x - a * e[0].x - b * e[1].x, p.y - a * e[0].y - b * e[1].y,
                    p.z - a * e[0].z - b * e[1].z};
    double det = dense_det(e[2], e[3], e[4]), watts = 0;

    level[0] = a;
    level[1] = b;
    level[2] = dense_det(rest, e[3], e[4]) / det;
    level[3] = dense_det(e[2], rest, e[4]) / det;
    level[4] = dense_det(e[2], e[3], rest) / det;
    for (size_t k = 0; k < 5; k++) {
        watts += level[k] * dense->watts[k];
        if (!(level[k] >= -1e-12 && level[k] <= dense->most[k] + 1e-12))
            return false;
    }
    return watts <= dense->limit_w * (1 + 1e-12);
}

/* Rf where the first two levels are a and b; -1 where that is not allowed. */
static inline double dense_truth_at(const struct dense_truth *dense, mtm_xyz p, double a, double b)
{
    const mtmi_quality_light *parts[5];
    mtmi_quality_light mix;
    double level[5];

    if (!dense_truth_levels(dense, p, a, b, level))
        return -1;
    for (size_t k = 0; k < 5; k++)
        parts[k] = &dense->light[k];
    mtmi_quality_light_mix(parts, level, 5, &mix);
    return mtmi_rf_from_light(mtmi_quality_best(), &mix, &dense->reference);
}

/* The best of a grid over the square, then of finer grids about the best. */
static inline double dense_truth_search(const struct dense_truth *dense, mtm_xyz p, int steps,
                                        int zooms)
{
    double low[2] = {0, 0}, high[2] = {dense->most[0], dense->most[1]}, best = -1;

    for (int zoom = 0; zoom <= zooms; zoom++) {
        double at[2] = {0, 0}, size[2];
        for (int i = 0; i <= steps; i++) {
            for (int j = 0; j <= steps; j++) {
                double a = low[0] + (high[0] - low[0]) * i / steps;
                double b = low[1] + (high[1] - low[1]) * j / steps;
                double rf = dense_truth_at(dense, p, a, b);
                if (rf > best) {
                    best = rf;
                    at[0] = a;
                    at[1] = b;
                }
            }
        }
        for (int i = 0; i < 2; i++) {
            size[i] = 3 * (high[i] - low[i]) / steps;
            low[i] = fmax(at[i] - size[i], 0);
            high[i] = fmin(at[i] + size[i], dense->most[i]);
        }
    }
    return best;
}

#endif
