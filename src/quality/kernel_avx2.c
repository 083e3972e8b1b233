/* SPDX-License-Identifier: MIT */
/* Quality kernel for AVX2: the same loops, four samples at once; and the choice between the two. */
#include "quality/kernel.h"

#include "base/cpu.h"

#if defined(__x86_64__) && defined(__GNUC__)
#include <immintrin.h>

#define KERNEL __attribute__((target("avx2")))

/* Node sums of a light for X, Y and Z. */
struct nodes {
    double at[3][MTMI_NODES_PADDED];
};

/* X, Y, Z of one block of samples: node sums times reflectance, in six running vectors. */
KERNEL static inline void block_sums(const struct nodes *node,
                                     const double sample[MTMI_NODES][MTMI_BLOCK],
                                     double x[MTMI_BLOCK], double y[MTMI_BLOCK],
                                     double z[MTMI_BLOCK])
{
    double *const out[3] = {x, y, z};
    __m256d low[3];
    __m256d high[3];

    for (size_t k = 0; k < 3; k++)
        low[k] = high[k] = _mm256_setzero_pd();
    for (size_t i = 0; i < MTMI_NODES; i++) {
        __m256d first = _mm256_loadu_pd(&sample[i][0]);
        __m256d second = _mm256_loadu_pd(&sample[i][4]);

        for (size_t k = 0; k < 3; k++) {
            __m256d weight = _mm256_broadcast_sd(&node->at[k][i]);

            low[k] = _mm256_add_pd(low[k], _mm256_mul_pd(weight, first));
            high[k] = _mm256_add_pd(high[k], _mm256_mul_pd(weight, second));
        }
    }
    for (size_t k = 0; k < 3; k++) {
        _mm256_storeu_pd(&out[k][0], low[k]);
        _mm256_storeu_pd(&out[k][4], high[k]);
    }
}

#include "quality/kernel_tmpl.h"

static const mtmi_quality_kernel quality_avx2 = {
    .name = "AVX2",
    .sums = kernel_sums,
    .planck = kernel_planck,
    .mix = kernel_mix,
    .appearance = kernel_appearance,
};

const mtmi_quality_kernel *mtmi_quality_best(void)
{
    return mtmi_cpu_has_avx2() ? &quality_avx2 : &mtmi_quality_portable;
}
#else
const mtmi_quality_kernel *mtmi_quality_best(void)
{
    return &mtmi_quality_portable;
}
#endif
