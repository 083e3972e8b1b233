/* SPDX-License-Identifier: MIT */
/* Sets of emitters at random, plain and degenerate. */
#ifndef METAMER_TESTS_RANDOM_EMITTERS_H
#define METAMER_TESTS_RANDOM_EMITTERS_H

#include "support/random.h"

#include "lp_peer.h"

#include <math.h>

static inline double fraction(struct random *random)
{
    return random_between(random, 0, 1);
}

/* Anywhere in the triangle of three saturated lights. */
static inline mtm_xyz random_light(struct random *random, double flux_lm)
{
    double a = fraction(random), b = fraction(random);

    if (a + b > 1) {
        a = 1 - a;
        b = 1 - b;
    }
    mtm_xy xy = {0.15 + a * (0.70 - 0.15) + b * (0.17 - 0.15),
                 0.03 + a * (0.30 - 0.03) + b * (0.75 - 0.03)};
    return mtm_xyz_from_xy(xy, flux_lm);
}

/* Half of the sets have a power limit. */
static inline void random_emitters(struct random *random, size_t count, struct emitters *set)
{
    double total = 0;

    *set = (struct emitters){.count = count, .limit_w = INFINITY};
    for (size_t k = 0; k < count; k++) {
        set->xyz[k] = random_light(random, exp(random_between(random, 3, 7)));
        set->watts[k] = random_between(random, 1, 15);
        total += set->watts[k];
    }
    if (random_index(random, 2) == 0)
        set->limit_w = total * random_between(random, 0.05, 1);
}

/* A chromaticity the emitters can make; sometimes on an edge or corner of the gamut. */
static inline mtm_xy random_target(struct random *random, const struct emitters *set)
{
    size_t most = random_index(random, 4) == 0 ? 1 + random_index(random, 2) : set->count;
    mtm_xyz sum = {0, 0, 0};

    do {
        for (size_t i = 0; i < most; i++) {
            const mtm_xyz *light = &set->xyz[random_index(random, set->count)];
            double level = fraction(random);
            sum.x += level * light->x;
            sum.y += level * light->y;
            sum.z += level * light->z;
        }
    } while (!(sum.y > 0));
    return mtm_xy_from_xyz(sum);
}

#endif
