/* SPDX-License-Identifier: MIT */
/* Integration: portable kernel, its AVX2 twin, and the choice between them. */
#include "colour/integrate.h"

#include "data/tables.h"

#if defined(__x86_64__) && defined(__GNUC__)
#define HAVE_AVX2_TWIN 1
#include <immintrin.h>
#else
#define HAVE_AVX2_TWIN 0
#endif

/* Independent partial sums: the compiler may not reorder additions, so a single sum a column
 * would wait for each addition in turn. */
#define LANES 8

#define LUMENS_PER_WATT 683.0 /* CIE 015:2018, 7.1 */

const double (*mtmi_observer_table(mtm_observer observer))[MTM_SPECTRUM_COUNT]
{
    return observer == MTM_OBSERVER_10 ? mtmi_table_observer_10 : mtmi_table_observer_2;
}

static double add_up(const double lane[LANES])
{
    return ((lane[0] + lane[4]) + (lane[2] + lane[6])) +
           ((lane[1] + lane[5]) + (lane[3] + lane[7]));
}

mtm_xyz mtmi_integrate_portable(const double value[MTM_SPECTRUM_COUNT],
                                const double (*column)[MTM_SPECTRUM_COUNT])
{
    double x[LANES] = {0};
    double y[LANES] = {0};
    double z[LANES] = {0};
    size_t i = 0;

    for (; i + LANES <= MTM_SPECTRUM_COUNT; i += LANES) {
        for (size_t lane = 0; lane < LANES; lane++)
            x[lane] += value[i + lane] * column[0][i + lane];
        for (size_t lane = 0; lane < LANES; lane++)
            y[lane] += value[i + lane] * column[1][i + lane];
        for (size_t lane = 0; lane < LANES; lane++)
            z[lane] += value[i + lane] * column[2][i + lane];
    }
    for (size_t lane = 0; i < MTM_SPECTRUM_COUNT; i++, lane++) {
        x[lane] += value[i] * column[0][i];
        y[lane] += value[i] * column[1][i];
        z[lane] += value[i] * column[2][i];
    }
    return (mtm_xyz){add_up(x), add_up(y), add_up(z)};
}

#if HAVE_AVX2_TWIN
__attribute__((target("avx2,fma"))) static double add_up_avx2(__m256d low, __m256d high)
{
    __m256d four = _mm256_add_pd(low, high);
    __m128d two = _mm_add_pd(_mm256_castpd256_pd128(four), _mm256_extractf128_pd(four, 1));

    return _mm_cvtsd_f64(_mm_add_sd(two, _mm_unpackhi_pd(two, two)));
}

__attribute__((target("avx2,fma"))) static mtm_xyz
integrate_avx2(const double value[MTM_SPECTRUM_COUNT], const double (*column)[MTM_SPECTRUM_COUNT])
{
    __m256d sum[3][2];
    size_t i = 0;

    for (size_t c = 0; c < 3; c++)
        sum[c][0] = sum[c][1] = _mm256_setzero_pd();
    for (; i + LANES <= MTM_SPECTRUM_COUNT; i += LANES) {
        __m256d low = _mm256_loadu_pd(value + i);
        __m256d high = _mm256_loadu_pd(value + i + 4);

        for (size_t c = 0; c < 3; c++) {
            sum[c][0] = _mm256_fmadd_pd(low, _mm256_loadu_pd(column[c] + i), sum[c][0]);
            sum[c][1] = _mm256_fmadd_pd(high, _mm256_loadu_pd(column[c] + i + 4), sum[c][1]);
        }
    }
    mtm_xyz total = {add_up_avx2(sum[0][0], sum[0][1]), add_up_avx2(sum[1][0], sum[1][1]),
                     add_up_avx2(sum[2][0], sum[2][1])};
    for (; i < MTM_SPECTRUM_COUNT; i++) {
        total.x += value[i] * column[0][i];
        total.y += value[i] * column[1][i];
        total.z += value[i] * column[2][i];
    }
    return total;
}
#endif

mtmi_integrate mtmi_integrate_best(void)
{
#if HAVE_AVX2_TWIN
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma"))
        return integrate_avx2;
#endif
    return mtmi_integrate_portable;
}

mtm_xyz mtm_xyz_from_spectrum(const mtm_spectrum *spectrum, mtm_observer observer)
{
    mtm_xyz sum = mtmi_integrate_best()(spectrum->value, mtmi_observer_table(observer));

    return (mtm_xyz){LUMENS_PER_WATT * sum.x, LUMENS_PER_WATT * sum.y, LUMENS_PER_WATT * sum.z};
}
