/* SPDX-License-Identifier: MIT */
/* Random numbers that are the same on every machine (splitmix64, S. Vigna, public domain). */
#ifndef METAMER_TESTS_RANDOM_H
#define METAMER_TESTS_RANDOM_H

#include <stddef.h>
#include <stdint.h>

struct random {
    uint64_t state;
};

static inline uint64_t random_bits(struct random *random)
{
    uint64_t z = random->state += 0x9e3779b97f4a7c15u;

    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
    z = (z ^ z >> 27) * 0x94d049bb133111ebu;
    return z ^ z >> 31;
}

/** In [low, high). */
static inline double random_between(struct random *random, double low, double high)
{
    return low + (high - low) * (double)(random_bits(random) >> 11) * 0x1p-53;
}

/** In 0..count - 1; 0 if there is none. */
static inline size_t random_index(struct random *random, size_t count)
{
    return count > 0 ? (size_t)(random_bits(random) % count) : 0;
}

#endif
