/* SPDX-License-Identifier: MIT */
/* Lanes: moving 16-bit channels one frame on, four at a time where the processor can. The same
 * numbers are added in the same order as in plain C, so the codes are the same. */
#include "fade/lanes.h"

#include "base/cpu.h"

#if defined(__x86_64__) && defined(__GNUC__)
#include <immintrin.h>

/* Intel's intrinsics take pointers to vectors for memory that need not be aligned. */
#define LOAD4(from) _mm_loadu_si128((const __m128i *)(const void *)(from))
#define STORE4(to, value) _mm_storeu_si128((__m128i *)(void *)(to), value)

/* The codes of four levels, each by its own table, 16 bits behind the point. */
__attribute__((target("avx2"))) static __m128i codes_of(const struct mtmi_code_step *const *table,
                                                        __m256d level)
{
    const __m256i pick = _mm256_setr_epi32(0, 2, 4, 6, 0, 2, 4, 6);
    const int shift = 52 - MTMI_STEP_BITS;
    const __m256d one = _mm256_set1_pd(1);
    const __m256i first = _mm256_set1_epi64x((int64_t)(1022 - MTMI_OCTAVES) << MTMI_STEP_BITS);

    level = _mm256_min_pd(level, one);
    __m256d is_upper = _mm256_cmp_pd(level, _mm256_set1_pd(0.5), _CMP_GT_OQ);
    __m256d from_end = _mm256_blendv_pd(level, _mm256_sub_pd(one, level), is_upper);
    from_end = _mm256_max_pd(from_end, _mm256_set1_pd(0x1p-40));
    __m256i upper = _mm256_castpd_si256(is_upper);
    __m256i bits = _mm256_castpd_si256(from_end);
    __m256i step = _mm256_sub_epi64(_mm256_srli_epi64(bits, shift), first);
    step = _mm256_add_epi64(step, _mm256_and_si256(upper, _mm256_set1_epi64x(MTMI_HALF_TABLE)));
    __m256i part =
        _mm256_and_si256(_mm256_srli_epi64(bits, shift - 24), _mm256_set1_epi64x(0xffffff));
    /* addresses: each lane has its own table, and a step is 8 bytes */
    __m256i base = _mm256_loadu_si256((const __m256i *)(const void *)table);
    __m256i at = _mm256_add_epi64(base, _mm256_slli_epi64(step, 3));
    __m256i found = _mm256_i64gather_epi64((const void *)0, at, 1);
    __m256i rise = _mm256_srli_epi64(_mm256_mul_epu32(_mm256_srli_epi64(found, 32), part), 24);
    rise = _mm256_sub_epi32(_mm256_xor_si256(rise, upper), upper); /* the upper half goes down */
    __m256i code = _mm256_add_epi32(found, rise);
    return _mm256_castsi256_si128(_mm256_permutevar8x32_epi32(code, pick));
}

__attribute__((target("avx2"))) static void advance_avx2(mtmi_lanes *lanes, size_t first,
                                                         size_t last)
{
    size_t i = first;

    for (; i + 4 <= last; i += 4) {
        __m256d d1 = _mm256_loadu_pd(lanes->d1 + i);
        __m256d d2 = _mm256_loadu_pd(lanes->d2 + i);
        __m256d p = _mm256_add_pd(_mm256_loadu_pd(lanes->p + i), d1);

        _mm256_storeu_pd(lanes->p + i, p);
        _mm256_storeu_pd(lanes->d1 + i, _mm256_add_pd(d1, d2));
        _mm256_storeu_pd(lanes->d2 + i, _mm256_add_pd(d2, _mm256_loadu_pd(lanes->d3 + i)));
        __m128i sum = _mm_add_epi32(codes_of(lanes->table + i, p), LOAD4(lanes->carry + i));
        __m128i keep = LOAD4(lanes->keep + i);
        __m128i half = _mm_set1_epi32((int)MTMI_HALF_CODE);
        STORE4(lanes->carry + i,
               _mm_or_si128(_mm_and_si128(sum, keep), _mm_andnot_si128(keep, half)));
        __m128i code = _mm_srli_epi32(sum, 16);
        STORE4(lanes->code + i, code);
        /* out of the register: reading back what was just stored takes longer */
        const uint32_t each[4] = {
            (uint32_t)_mm_extract_epi32(code, 0), (uint32_t)_mm_extract_epi32(code, 1),
            (uint32_t)_mm_extract_epi32(code, 2), (uint32_t)_mm_extract_epi32(code, 3)};
        for (size_t k = 0; k < 4; k++) {
            lanes->slots[lanes->coarse[i + k]] = (uint8_t)(each[k] >> 8);
            lanes->slots[lanes->fine[i + k]] = (uint8_t)each[k];
        }
    }
    mtmi_advance_portable(lanes, i, last);
}

mtmi_advance mtmi_advance_best(void)
{
    return mtmi_cpu_has_avx2() ? advance_avx2 : mtmi_advance_portable;
}
#else
mtmi_advance mtmi_advance_best(void)
{
    return mtmi_advance_portable;
}
#endif
