/* SPDX-License-Identifier: MIT */
/* Pair: two numbers on which one instruction works, where there is one: on every x86 of 64 bits. */
#ifndef METAMER_SOLVE_PAIR_H
#define METAMER_SOLVE_PAIR_H

#if defined(__SSE2__)
#include <emmintrin.h>

typedef __m128d mtmi_pair;

static inline mtmi_pair mtmi_pair_of(double first, double second)
{
    return _mm_setr_pd(first, second);
}

static inline void mtmi_pair_store(double to[2], mtmi_pair a)
{
    _mm_storeu_pd(to, a);
}

static inline mtmi_pair mtmi_pair_plus(mtmi_pair a, mtmi_pair b)
{
    return _mm_add_pd(a, b);
}

static inline mtmi_pair mtmi_pair_minus(mtmi_pair a, mtmi_pair b)
{
    return _mm_sub_pd(a, b);
}

static inline mtmi_pair mtmi_pair_times(mtmi_pair a, mtmi_pair b)
{
    return _mm_mul_pd(a, b);
}

static inline mtmi_pair mtmi_pair_over(mtmi_pair a, mtmi_pair b)
{
    return _mm_div_pd(a, b);
}

/** value if low < value < high, else the nearer of these; low if it is NaN. */
static inline double mtmi_within(double value, double low, double high)
{
    return _mm_cvtsd_f64(
        _mm_min_sd(_mm_max_sd(_mm_set_sd(value), _mm_set_sd(low)), _mm_set_sd(high)));
}

/** Of each: yes where a > b, else no. */
static inline mtmi_pair mtmi_pair_where_more(mtmi_pair a, mtmi_pair b, mtmi_pair yes, mtmi_pair no)
{
    mtmi_pair more = _mm_cmpgt_pd(a, b);

    return _mm_or_pd(_mm_and_pd(more, yes), _mm_andnot_pd(more, no));
}
#else

typedef struct mtmi_pair {
    double of[2];
} mtmi_pair;

static inline mtmi_pair mtmi_pair_of(double first, double second)
{
    return (mtmi_pair){{first, second}};
}

static inline void mtmi_pair_store(double to[2], mtmi_pair a)
{
    to[0] = a.of[0];
    to[1] = a.of[1];
}

static inline mtmi_pair mtmi_pair_plus(mtmi_pair a, mtmi_pair b)
{
    return (mtmi_pair){{a.of[0] + b.of[0], a.of[1] + b.of[1]}};
}

static inline mtmi_pair mtmi_pair_minus(mtmi_pair a, mtmi_pair b)
{
    return (mtmi_pair){{a.of[0] - b.of[0], a.of[1] - b.of[1]}};
}

static inline mtmi_pair mtmi_pair_times(mtmi_pair a, mtmi_pair b)
{
    return (mtmi_pair){{a.of[0] * b.of[0], a.of[1] * b.of[1]}};
}

static inline mtmi_pair mtmi_pair_over(mtmi_pair a, mtmi_pair b)
{
    return (mtmi_pair){{a.of[0] / b.of[0], a.of[1] / b.of[1]}};
}

/** value if low < value < high, else the nearer of these; low if it is NaN. */
static inline double mtmi_within(double value, double low, double high)
{
    double raised = value > low ? value : low;

    return raised < high ? raised : high;
}

/** Of each: yes where a > b, else no. */
static inline mtmi_pair mtmi_pair_where_more(mtmi_pair a, mtmi_pair b, mtmi_pair yes, mtmi_pair no)
{
    return (mtmi_pair){
        {a.of[0] > b.of[0] ? yes.of[0] : no.of[0], a.of[1] > b.of[1] ? yes.of[1] : no.of[1]}};
}
#endif

static inline mtmi_pair mtmi_pair_alike(double value)
{
    return mtmi_pair_of(value, value);
}

#endif
