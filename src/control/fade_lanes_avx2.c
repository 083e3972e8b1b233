/* SPDX-License-Identifier: MIT */
/* Lanes: moving 16-bit channels one frame on, four at a time where the processor can. The same
 * integers are added in the same order as in plain C, so the codes are the same. */
#include "control/fade_lanes.h"

#if defined(__x86_64__) && defined(__GNUC__)
#include <immintrin.h>

/* Intel's intrinsics take pointers to vectors for memory that need not be aligned. */
#define LOAD(from) _mm256_loadu_si256((const __m256i *)(const void *)(from))
#define STORE(to, value) _mm256_storeu_si256((__m256i *)(void *)(to), value)

__attribute__((target("avx2"))) static void advance_avx2(mtmi_lanes *lanes, size_t first,
                                                         size_t last)
{
    const __m256i pick = _mm256_setr_epi32(0, 2, 4, 6, 0, 2, 4, 6);
    const __m128i low16 = _mm_set1_epi32(0xffff);
    size_t i = first;

    for (; i + 4 <= last; i += 4) {
        __m256i d = LOAD(lanes->d + i);
        __m256i p = _mm256_add_epi64(LOAD(lanes->p + i), d);

        STORE(lanes->p + i, p);
        STORE(lanes->d + i, _mm256_add_epi64(d, LOAD(lanes->dd + i)));
        __m256i at = _mm256_permutevar8x32_epi32(_mm256_srli_epi64(p, 16), pick);
        __m128i *carry = (__m128i *)(void *)(lanes->carry + i);
        __m128i sum = _mm_add_epi32(_mm256_castsi256_si128(at), _mm_loadu_si128(carry));
        _mm_storeu_si128(carry, _mm_and_si128(sum, low16));
        __m128i code = _mm_srli_epi32(sum, 16);
        _mm_storel_epi64((__m128i *)(void *)(lanes->code + i), _mm_packus_epi32(code, code));
        for (size_t k = i; k < i + 4; k++) {
            lanes->slots[lanes->coarse[k]] = (uint8_t)(lanes->code[k] >> 8);
            lanes->slots[lanes->fine[k]] = (uint8_t)lanes->code[k];
        }
    }
    mtmi_advance_portable(lanes, i, last);
}

mtmi_advance mtmi_advance_best(void)
{
    return __builtin_cpu_supports("avx2") ? advance_avx2 : mtmi_advance_portable;
}
#else
mtmi_advance mtmi_advance_best(void)
{
    return mtmi_advance_portable;
}
#endif
