/* SPDX-License-Identifier: MIT */
/* Normal random numbers from a fixed seed, for Monte Carlo. */
#ifndef METAMER_TESTS_NORMAL_H
#define METAMER_TESTS_NORMAL_H

#include <stddef.h>

#include "support/random.h"

#include <math.h>

/** Even in (0, 1]. */
static inline double random_even(uint64_t *seed)
{
    struct random random = {.state = *seed};
    double value = 1 - random_between(&random, 0, 1);

    *seed = random.state;
    return value;
}

/** Mean 0, standard deviation 1 (Box and Muller 1958). */
static inline double random_normal(uint64_t *seed)
{
    double radius = sqrt(-2 * log(random_even(seed)));

    return radius * cos(2 * 3.14159265358979323846 * random_even(seed));
}

#endif
