/* SPDX-License-Identifier: MIT */
/* What benchmarks share: a clock, and ratios of interleaved runs with their spread. */
#ifndef METAMER_TESTS_TIMING_H
#define METAMER_TESTS_TIMING_H

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static inline double timing_now_s(void)
{
    struct timespec t;

    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (1e-9 * (double)t.tv_nsec);
}

/** Processor time of this thread: other work on the machine does not count. */
static inline double timing_cpu_s(void)
{
    struct timespec t;

    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + (1e-9 * (double)t.tv_nsec);
}

static inline int timing_by_value(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;

    return (x > y) - (x < y);
}

/** Work to be timed: does it count times and returns something that depends on all of it. */
typedef double (*timing_work)(const void *input, size_t count);

#define TIMING_ROUNDS 21

/** Runs both in turn, after one warm-up each, and prints how many times the rate of theirs ours
 * has: in the middle, least and most of the rounds; and that of the fastest runs of each. */
static inline void timing_compare(const char *what, const char *peer, timing_work ours,
                                  timing_work theirs, const void *input, size_t count)
{
    double ratio[TIMING_ROUNDS];
    double best_ours = 1e9;
    double best_theirs = 1e9;
    volatile double sink = ours(input, count) + theirs(input, count);

    for (int round = 0; round < TIMING_ROUNDS; round++) {
        double start = timing_now_s();
        sink = sink + ours(input, count);
        double middle = timing_now_s();
        sink = sink + theirs(input, count);
        double end = timing_now_s();

        ratio[round] = (end - middle) / (middle - start);
        best_ours = middle - start < best_ours ? middle - start : best_ours;
        best_theirs = end - middle < best_theirs ? end - middle : best_theirs;
    }
    qsort(ratio, TIMING_ROUNDS, sizeof *ratio, timing_by_value);
    printf("%s: %.2f times the rate of %s (%.2f..%.2f; fastest runs %.2f)\n", what,
           ratio[TIMING_ROUNDS / 2], peer, ratio[0], ratio[TIMING_ROUNDS - 1],
           best_theirs / best_ours);
}

#endif
