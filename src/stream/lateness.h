/* SPDX-License-Identifier: MIT */
/* Lateness: how late events were, kept in constant memory. */
#ifndef METAMER_STREAM_LATENESS_H
#define METAMER_STREAM_LATENESS_H

#include <stdint.h>

/* Bins: 32 exact ones, then 32 to each doubling. */
#define MTMI_LATENESS_BINS (32 * 60)

/** Zeroed is empty. */
typedef struct mtmi_lateness {
    uint64_t bin[MTMI_LATENESS_BINS];
    uint64_t count;
    uint64_t most_ns;
} mtmi_lateness;

void mtmi_lateness_add(mtmi_lateness *late, uint64_t ns);
/** The value that share (0..1) of the events did not exceed, at most 1/32 more than it was. */
uint64_t mtmi_lateness_at(const mtmi_lateness *late, double share);

#endif
