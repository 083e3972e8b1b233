/* SPDX-License-Identifier: MIT */
/* Integration: a portable kernel, its twins for wide registers, and the choice between them. */
#include "colour/integrate.h"

#include "base/cpu.h"

#if defined(__x86_64__) && defined(__GNUC__)
#define HAVE_X86_TWINS 1
#include <immintrin.h>
#else
#define HAVE_X86_TWINS 0
#endif

#define LUMENS_PER_WATT 683.0 /* CIE 015:2018, 7.1 */

const double (*mtmi_observer_table(mtm_observer observer))[MTM_SPECTRUM_COUNT]
{
    return observer == MTM_OBSERVER_10 ? mtmi_table_observer_10 : mtmi_table_observer_2;
}

/* Every kernel adds the same products in the same order, so that all give the same sum to the last
 * bit: sixteen partial sums, since a single one would wait for each addition in turn; then halves
 * onto halves. No product is fused with its addition: not every processor can. */
#define LANES 16

static double dot(const double *restrict value, const double *restrict weight)
{
    double lane[LANES] = {0};
    size_t i = 0;

    for (; i + LANES <= MTM_SPECTRUM_COUNT; i += LANES) {
        for (size_t k = 0; k < LANES; k++)
            lane[k] += value[i + k] * weight[i + k];
    }
    for (size_t k = 0; i < MTM_SPECTRUM_COUNT; i++, k++)
        lane[k] += value[i] * weight[i];
    for (size_t half = LANES / 2; half > 0; half /= 2) {
        for (size_t k = 0; k < half; k++)
            lane[k] += lane[k + half];
    }
    return lane[0];
}

static mtm_xyz integrate_portable(const double value[MTM_SPECTRUM_COUNT],
                                  const double (*weights)[MTMI_WEIGHTS_COUNT])
{
    return (mtm_xyz){dot(value, weights[0]), dot(value, weights[1]), dot(value, weights[2])};
}

static bool runs_anywhere(void)
{
    return true;
}

#if HAVE_X86_TWINS
/* Never out of line: a call would clear the upper halves of the caller's registers. */
__attribute__((target("avx2"), always_inline)) static inline double
add_up_avx2(const __m256d sum[4])
{
    __m256d four = _mm256_add_pd(_mm256_add_pd(sum[0], sum[2]), _mm256_add_pd(sum[1], sum[3]));
    __m128d two = _mm_add_pd(_mm256_castpd256_pd128(four), _mm256_extractf128_pd(four, 1));

    return _mm_cvtsd_f64(_mm_add_sd(two, _mm_unpackhi_pd(two, two)));
}

/* Adds four products of each function, from value i on, to its sum k. */
__attribute__((target("avx2"), always_inline)) static inline void
add_four(__m256d sum[3][4], size_t k, __m256d four, const double (*weights)[MTMI_WEIGHTS_COUNT],
         size_t i)
{
    for (size_t f = 0; f < 3; f++)
        sum[f][k] = _mm256_add_pd(sum[f][k], _mm256_mul_pd(four, _mm256_load_pd(weights[f] + i)));
}

__attribute__((target("avx2"))) static mtm_xyz
integrate_avx2(const double value[MTM_SPECTRUM_COUNT], const double (*weights)[MTMI_WEIGHTS_COUNT])
{
    const __m256i first_three = _mm256_setr_epi64x(-1, -1, -1, 0);
    __m256d sum[3][4];
    size_t i = 0;

    for (size_t f = 0; f < 3; f++)
        sum[f][0] = sum[f][1] = sum[f][2] = sum[f][3] = _mm256_setzero_pd();
    for (; i + LANES <= MTM_SPECTRUM_COUNT; i += LANES) {
        for (size_t k = 0; k < 4; k++)
            add_four(sum, k, _mm256_loadu_pd(value + i + 4 * k), weights, i + 4 * k);
    }
    add_four(sum, 0, _mm256_loadu_pd(value + i), weights, i);
    add_four(sum, 1, _mm256_maskload_pd(value + i + 4, first_three), weights, i + 4);
    return (mtm_xyz){add_up_avx2(sum[0]), add_up_avx2(sum[1]), add_up_avx2(sum[2])};
}

static bool runs_avx2(void)
{
    return mtmi_cpu_has_avx2();
}

__attribute__((target("avx512f"))) static mtm_xyz
integrate_avx512(const double value[MTM_SPECTRUM_COUNT],
                 const double (*weights)[MTMI_WEIGHTS_COUNT])
{
    __m512d sum[3][2];
    size_t i = 0;

    for (size_t f = 0; f < 3; f++)
        sum[f][0] = sum[f][1] = _mm512_setzero_pd();
    for (; i + LANES <= MTM_SPECTRUM_COUNT; i += LANES) {
        for (size_t k = 0; k < 2; k++) {
            __m512d eight = _mm512_loadu_pd(value + i + 8 * k);

            for (size_t f = 0; f < 3; f++)
                sum[f][k] = _mm512_add_pd(
                    sum[f][k], _mm512_mul_pd(eight, _mm512_load_pd(weights[f] + i + 8 * k)));
        }
    }
    __m512d rest = _mm512_maskz_loadu_pd(0x7f, value + i);
    for (size_t f = 0; f < 3; f++) {
        sum[f][0] = _mm512_add_pd(sum[f][0], _mm512_mul_pd(rest, _mm512_load_pd(weights[f] + i)));
        sum[f][0] = _mm512_add_pd(sum[f][0], sum[f][1]);
    }
    return (mtm_xyz){_mm512_reduce_add_pd(sum[0][0]), _mm512_reduce_add_pd(sum[1][0]),
                     _mm512_reduce_add_pd(sum[2][0])};
}

static bool runs_avx512(void)
{
    return mtmi_cpu_has_avx512();
}

/* The tails above take what is left after whole turns. */
_Static_assert(MTM_SPECTRUM_COUNT % LANES == 7, "tails of the kernels");
#endif

const mtmi_integrate_kernel mtmi_integrate_kernels[] = {
#if HAVE_X86_TWINS
    {"AVX-512", integrate_avx512, runs_avx512},
    {"AVX2", integrate_avx2, runs_avx2},
#endif
    {"portable", integrate_portable, runs_anywhere},
};
const size_t mtmi_integrate_kernel_count =
    sizeof mtmi_integrate_kernels / sizeof mtmi_integrate_kernels[0];

mtmi_integrate mtmi_integrate_best(void)
{
    size_t i = 0;

    while (!mtmi_integrate_kernels[i].runs())
        i++;
    return mtmi_integrate_kernels[i].integrate;
}

mtm_xyz mtm_xyz_from_spectrum(const mtm_spectrum *spectrum, mtm_observer observer)
{
    if (spectrum == NULL || (unsigned)observer >= MTM_OBSERVER_COUNT)
        return (mtm_xyz){0, 0, 0};
    mtm_xyz sum =
        mtmi_integrate_best()(spectrum->value, mtmi_weights[observer == MTM_OBSERVER_10 ? 1 : 0]);

    return (mtm_xyz){LUMENS_PER_WATT * sum.x, LUMENS_PER_WATT * sum.y, LUMENS_PER_WATT * sum.z};
}
