/* SPDX-License-Identifier: MIT */
/* Pair: two numbers on which one instruction works, where there is one. GCC and clang have such
 * types and + - * / > for them on every processor. */
#ifndef METAMER_SOLVE_PAIR_H
#define METAMER_SOLVE_PAIR_H

#include <stdint.h>
#include <string.h>

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

typedef double mtmi_pair __attribute__((vector_size(16)));
typedef int64_t mtmi_pair_mask __attribute__((vector_size(16)));

static inline mtmi_pair mtmi_pair_alike(double value)
{
    return (mtmi_pair){value, value};
}

static inline void mtmi_pair_store(double to[2], mtmi_pair a)
{
    memcpy(to, &a, sizeof a);
}

/** Of each: yes where a > b, else no. */
static inline mtmi_pair mtmi_pair_where_more(mtmi_pair a, mtmi_pair b, mtmi_pair yes, mtmi_pair no)
{
    mtmi_pair_mask more = a > b;

    return (mtmi_pair)((more & (mtmi_pair_mask)yes) | (~more & (mtmi_pair_mask)no));
}

/** value if low < value < high, else the nearer of these; low if it is NaN. */
static inline double mtmi_within(double value, double low, double high)
{
#if defined(__SSE2__) /* plain C becomes a branch here, 4 % of a rounding */
    return _mm_cvtsd_f64(
        _mm_min_sd(_mm_max_sd(_mm_set_sd(value), _mm_set_sd(low)), _mm_set_sd(high)));
#else
    double raised = value > low ? value : low;

    return raised < high ? raised : high;
#endif
}

#endif
