/* SPDX-License-Identifier: MIT */
/* The quick way on processors with AVX2: the same sums, four at a time. */
#include "base/cpu.h"
#include "solve/quick.h"

#if defined(__x86_64__) && defined(__GNUC__)
#include <immintrin.h>

#define QUICK __attribute__((target("avx2"), always_inline)) static inline

typedef __m256d all;

QUICK all all_of(double value)
{
    return _mm256_set1_pd(value);
}

QUICK double one_of(all value)
{
    return _mm256_cvtsd_f64(value);
}

QUICK __m256d marked(const struct mtmi_planes *rows, size_t i, const __m256d q[3], bool with_h,
                     __m256d scale, __m256d mask, __m256i row)
{
    __m256d value = _mm256_mul_pd(_mm256_loadu_pd(rows->a[0] + i), q[0]);

    value = _mm256_add_pd(value, _mm256_mul_pd(_mm256_loadu_pd(rows->a[1] + i), q[1]));
    value = _mm256_add_pd(value, _mm256_mul_pd(_mm256_loadu_pd(rows->a[2] + i), q[2]));
    if (with_h)
        value = _mm256_sub_pd(_mm256_mul_pd(scale, value), _mm256_loadu_pd(rows->h + i));
    return _mm256_or_pd(_mm256_andnot_pd(mask, value), _mm256_castsi256_pd(row));
}

QUICK all search(const struct mtmi_planes *rows, const all q[3], bool with_h, all scale)
{
    const __m128i one_mask = _mm_loadl_epi64((const void *)&rows->mask);
    const __m256d mask = _mm256_castsi256_pd(_mm256_broadcastq_epi64(one_mask));
    const __m256i step = _mm256_set1_epi64x(8);
    __m256i row = _mm256_setr_epi64x(0, 1, 2, 3), next = _mm256_setr_epi64x(4, 5, 6, 7);
    __m256d best = marked(rows, 0, q, with_h, scale, mask, row);
    __m256d other = marked(rows, 4, q, with_h, scale, mask, next);

    for (size_t i = 8; i < rows->count; i += 8) {
        row = _mm256_add_epi64(row, step);
        next = _mm256_add_epi64(next, step);
        best = _mm256_max_pd(best, marked(rows, i, q, with_h, scale, mask, row));
        other = _mm256_max_pd(other, marked(rows, i + 4, q, with_h, scale, mask, next));
    }
    best = _mm256_max_pd(best, other);
    best = _mm256_max_pd(best, _mm256_permute2f128_pd(best, best, 1));
    return _mm256_max_pd(best, _mm256_permute_pd(best, 5));
}

QUICK all farthest(const struct mtmi_planes *rows, const all q[3])
{
    return search(rows, q, false, q[0]);
}

QUICK all greatest(const struct mtmi_planes *rows, const all q[3], all scale)
{
    return search(rows, q, true, scale);
}

typedef __m256d quad;

QUICK quad quad_form(const double form[4][4], const all p[3])
{
    quad value = _mm256_mul_pd(_mm256_loadu_pd(form[0]), p[0]);

    value = _mm256_add_pd(value, _mm256_mul_pd(_mm256_loadu_pd(form[1]), p[1]));
    value = _mm256_add_pd(value, _mm256_mul_pd(_mm256_loadu_pd(form[2]), p[2]));
    return _mm256_sub_pd(value, _mm256_loadu_pd(form[3]));
}

QUICK bool quad_within(quad value, double slack)
{
    quad below = _mm256_cmp_pd(value, _mm256_set1_pd(-slack), _CMP_NGE_UQ);
    quad above = _mm256_cmp_pd(value, _mm256_set1_pd(1 + slack), _CMP_NLE_UQ);

    return (_mm256_movemask_pd(_mm256_or_pd(below, above)) & 7) == 0;
}

QUICK quad quad_clamped(quad value)
{
    quad at_least_0 = _mm256_max_pd(value, _mm256_setzero_pd());

    return _mm256_blend_pd(_mm256_min_pd(at_least_0, _mm256_set1_pd(1)), value, 8);
}

/* The levels of all emitters at rest: scale where the bit of full, moved to the sign, is set. */
QUICK void write_rests(uint32_t full, __m256d scale, double out[MTM_EMITTERS_MAX])
{
    const __m256i bits = _mm256_set1_epi64x((long long)full);

    for (int i = 0; i < MTM_EMITTERS_MAX; i += 4) {
        __m256i places = _mm256_setr_epi64x(63 - i, 62 - i, 61 - i, 60 - i);
        __m256d rests = _mm256_castsi256_pd(_mm256_sllv_epi64(bits, places));
        _mm256_storeu_pd(out + i, _mm256_blendv_pd(_mm256_setzero_pd(), scale, rests));
    }
}

QUICK void quad_write(quad value, double scale, const struct mtmi_cell *cell, mtm_answer *answer)
{
    const __m256d size = _mm256_set1_pd(scale);
    __m256d scaled = _mm256_mul_pd(size, value);
    __m128d low = _mm256_castpd256_pd128(scaled), high = _mm256_extractf128_pd(scaled, 1);

    write_rests(cell->full, size, answer->level);
    _mm_storel_pd(answer->level + cell->slot[0], low);
    _mm_storeh_pd(answer->level + cell->slot[1], low);
    _mm_storel_pd(answer->level + cell->slot[2], high);
    _mm_storeh_pd(&answer->watts, high);
}

#include "solve/quick_tmpl.h"

#define AVX2 __attribute__((target("avx2"))) static

/* The most output, which is asked most often, has its own copy without what others need. */
QUICK bool most_avx2(const mtm_solver *solver, const mtm_request *request, mtm_answer *answer)
{
    return answer_output(solver, request, (mtm_output){MTM_OUTPUT_MAX, 0}, answer);
}

AVX2 bool answer_avx2(const mtm_solver *solver, const mtm_request *request, mtm_answer *answer)
{
    return request->output.type == MTM_OUTPUT_MAX
               ? most_avx2(solver, request, answer)
               : answer_output(solver, request, request->output, answer);
}

AVX2 __attribute__((noinline)) mtm_result stated_avx2(const mtm_solver *solver,
                                                      const mtm_request *request,
                                                      mtm_answer *answer, mtm_error *error)
{
    if (answer_avx2(solver, request, answer))
        return MTM_OK;
    return mtmi_solve_carefully(solver, request, answer, error);
}

AVX2 mtm_result solve_avx2(const mtm_solver *solver, const mtm_request *request, mtm_answer *answer,
                           mtm_error *error)
{
    if (request->output.type != MTM_OUTPUT_MAX)
        return stated_avx2(solver, request, answer, error);
    if (most_avx2(solver, request, answer))
        return MTM_OK;
    return mtmi_solve_carefully(solver, request, answer, error);
}

static bool runs_avx2(void)
{
    return mtmi_cpu_has_avx2();
}

const struct mtmi_quick mtmi_quick_avx2 = {"AVX2", answer_avx2, solve_avx2, runs_avx2};
#else
const struct mtmi_quick mtmi_quick_avx2 = {"AVX2", NULL, NULL, NULL};
#endif
