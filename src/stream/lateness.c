/* SPDX-License-Identifier: MIT */
/* Lateness: how late events were, kept in constant memory. */
#include "stream/lateness.h"

#include <math.h>
#include <stddef.h>

/* The bin of a value: its highest bit and the five below. */
static size_t bin_of(uint64_t ns)
{
    unsigned shift = 0;

    while (ns >> shift >= 64)
        shift++;
    return shift == 0 ? (size_t)ns : 32 * (size_t)shift + (size_t)(ns >> shift);
}

/* The largest value of a bin. */
static uint64_t top_of(size_t bin)
{
    if (bin < 64)
        return bin;
    unsigned shift = (unsigned)(bin / 32 - 1);

    return ((uint64_t)(bin % 32 + 33) << shift) - 1;
}

void mtmi_lateness_add(mtmi_lateness *late, uint64_t ns)
{
    late->bin[bin_of(ns)]++;
    late->count++;
    late->most_ns = ns > late->most_ns ? ns : late->most_ns;
}

uint64_t mtmi_lateness_at(const mtmi_lateness *late, double share)
{
    uint64_t wanted = (uint64_t)ceil(share * (double)late->count);
    uint64_t so_far = 0;

    for (size_t i = 0; i < MTMI_LATENESS_BINS; i++) {
        so_far += late->bin[i];
        if (so_far >= wanted && so_far > 0)
            return top_of(i) < late->most_ns ? top_of(i) : late->most_ns;
    }
    return late->most_ns;
}
