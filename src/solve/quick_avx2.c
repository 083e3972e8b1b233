/* SPDX-License-Identifier: MIT */
/* The quick way on processors with AVX2: the same sums, four at a time. */
#include "solve/quick.h"

#if defined(__x86_64__) && defined(__GNUC__)
#include <immintrin.h>

#include <math.h>

#define QUICK __attribute__((target("avx2"), always_inline)) static inline

QUICK __m256d marked(const struct mtmi_rows *rows, size_t i, const __m256d q[3], bool with_h,
                     __m256d scale, __m256d mask, __m256i row)
{
    __m256d value = _mm256_mul_pd(_mm256_loadu_pd(rows->a[0] + i), q[0]);

    value = _mm256_add_pd(value, _mm256_mul_pd(_mm256_loadu_pd(rows->a[1] + i), q[1]));
    value = _mm256_add_pd(value, _mm256_mul_pd(_mm256_loadu_pd(rows->a[2] + i), q[2]));
    if (with_h)
        value = _mm256_sub_pd(_mm256_mul_pd(scale, value), _mm256_loadu_pd(rows->h + i));
    return _mm256_or_pd(_mm256_andnot_pd(mask, value), _mm256_castsi256_pd(row));
}

QUICK double search(const struct mtmi_rows *rows, const double q[3], bool with_h, double scale)
{
    const __m256d at[3] = {_mm256_set1_pd(q[0]), _mm256_set1_pd(q[1]), _mm256_set1_pd(q[2])};
    const __m256d size = _mm256_set1_pd(scale);
    const __m256d mask = _mm256_castsi256_pd(_mm256_set1_epi64x((long long)rows->mask));
    const __m256i step = _mm256_set1_epi64x(8);
    __m256i row = _mm256_setr_epi64x(0, 1, 2, 3), next = _mm256_setr_epi64x(4, 5, 6, 7);
    __m256d best = _mm256_set1_pd(-INFINITY), other = best;

    for (size_t i = 0; i < rows->count; i += 8) {
        best = _mm256_max_pd(best, marked(rows, i, at, with_h, size, mask, row));
        other = _mm256_max_pd(other, marked(rows, i + 4, at, with_h, size, mask, next));
        row = _mm256_add_epi64(row, step);
        next = _mm256_add_epi64(next, step);
    }
    best = _mm256_max_pd(best, other);
    __m128d two = _mm_max_pd(_mm256_castpd256_pd128(best), _mm256_extractf128_pd(best, 1));
    two = _mm_max_sd(two, _mm_unpackhi_pd(two, two));
    return _mm_cvtsd_f64(two);
}

#define FARTHEST(rows, q) search(rows, q, false, 1)
#define GREATEST(rows, q, scale) search(rows, q, true, scale)
#include "solve/quick_body.h"

__attribute__((target("avx2"))) static bool
answer_avx2(const mtm_solver *solver, const mtm_request *request, mtm_answer *answer)
{
    return answer_quickly(solver, request, answer);
}

static bool runs_avx2(void)
{
    return __builtin_cpu_supports("avx2");
}

const struct mtmi_quick mtmi_quick_avx2 = {"AVX2", answer_avx2, runs_avx2};
#else
const struct mtmi_quick mtmi_quick_avx2 = {"AVX2", NULL, NULL};
#endif
