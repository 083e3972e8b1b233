/* SPDX-License-Identifier: MIT */
/* Bounds: how many bins a set of sizes needs at the very least. */
#include "plan/layout_bound.h"

#include <math.h>

/* Sums of up to a hundred thousand terms: anything nearer to a whole number is that number. */
static const double WHOLE = 1e-6;
static const double NEAR = 1e-9;
enum { LIMITS_MAX = 600 };

static size_t bins_of(double sum)
{
    double whole = ceil(sum - WHOLE);

    return whole > 0 ? (size_t)whole : 0;
}

/* Fekete and Schepers' u(k) of a size that is a part of the bin: where (k+1)*part is a whole number
 * the part itself, else that number rounded down, over k. No bin holds more than 1 of it. */
static double weight(double part, int k)
{
    double scaled = (k + 1) * part;

    if (fabs(scaled - round(scaled)) <= NEAR * (k + 1))
        return part;
    return floor(scaled) / k;
}

static double plain_sum(const mtmi_size_run *runs, size_t run_count, double capacity)
{
    double sum = 0;

    for (size_t i = 0; i < run_count; i++)
        sum += runs[i].size / capacity * (double)runs[i].count;
    return sum;
}

static double weighted_sum(const mtmi_size_run *runs, size_t run_count, double capacity, int k)
{
    double sum = 0;

    for (size_t i = 0; i < run_count; i++)
        sum += weight(runs[i].size / capacity, k) * (double)runs[i].count;
    return sum;
}

/* Martello and Toth's bound (Discrete Applied Mathematics 28, 1990) for one limit: sizes over
 * capacity - limit fill a bin alone, those under the limit are left out. */
static double limited_sum(const mtmi_size_run *runs, size_t run_count, double capacity,
                          double limit)
{
    double alone = 0;
    double rest = 0;

    for (size_t i = 0; i < run_count; i++) {
        double count = (double)runs[i].count;
        if (runs[i].size > (capacity - limit) * (1 + NEAR))
            alone += count;
        else if (runs[i].size >= limit)
            rest += runs[i].size / capacity * count;
    }
    return alone + rest;
}

size_t mtmi_bins_at_least(const mtmi_size_run *runs, size_t run_count, double capacity, int steps)
{
    size_t stride = 1 + run_count / LIMITS_MAX; /* any choice of limits gives a bound */
    double most = plain_sum(runs, run_count, capacity);

    for (int k = 1; k <= steps; k++)
        most = fmax(most, weighted_sum(runs, run_count, capacity, k));
    for (size_t i = 0; i < run_count; i += stride) {
        if (runs[i].size <= capacity / 2)
            most = fmax(most, limited_sum(runs, run_count, capacity, runs[i].size));
    }
    return bins_of(most);
}
