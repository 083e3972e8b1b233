/* SPDX-License-Identifier: MIT */
/* Random numbers that are the same on every machine. */
#ifndef METAMER_NUMERIC_RANDOM_H
#define METAMER_NUMERIC_RANDOM_H

#include <stdint.h>

/** The state: a seed in 1..2147483646. */
typedef struct mtmi_random {
    uint32_t state;
} mtmi_random;

/** The next of S. Park and K. Miller's minimal standard generator with the multiplier 48271
 *  (Communications of the ACM 36(7), 1993), as a share of its modulus: above 0, below 1. */
static inline double mtmi_random_next(mtmi_random *random)
{
    random->state = (uint32_t)((uint64_t)random->state * 48271 % 2147483647);
    return random->state / 2147483647.0;
}

#endif
