/* SPDX-License-Identifier: MIT */
/* Bounds: how many bins a set of sizes needs at the very least. */
#ifndef METAMER_PLAN_LAYOUT_BOUND_H
#define METAMER_PLAN_LAYOUT_BOUND_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** One size and how often it stands in the set. */
typedef struct mtmi_size_run {
    double size;
    size_t count;
} mtmi_size_run;

/**
 * A number of bins of one capacity below which no packing exists: the largest of the plain sum and
 * of the dual feasible functions u(k), k = 1..steps, of Fekete and Schepers (Mathematical
 * Programming 91, 2001), alone and with the small sizes left out. Sizes up to a billionth over
 * the capacity count as fitting.
 */
size_t mtmi_bins_at_least(const mtmi_size_run *runs, size_t run_count, double capacity, int steps);

#endif
