/* SPDX-License-Identifier: MIT */
/* Objective: what a mixture lacks to the reference, as residuals. */
#include "solve/objective.h"

#include "base/error.h"
#include "quality/cri.h"
#include "quality/fidelity.h"

#include <math.h>
#include <string.h>

#define RA_SAMPLES 8
/* Blocks of samples between two looks at what a mixture has reached already. */
#define BLOCKS_AT_ONCE 3
#define RA_PER_DIFFERENCE 4.6 /* CIE 13.3-1995, 5.7 */
#define SSI_PER_LENGTH 32     /* SMPTE ST 2122 */

static const mtm_index_info indices[] = {
    {MTM_INDEX_RF, "rf", "fidelity Rf of CIE 224 and TM-30"},
    {MTM_INDEX_RA, "ra", "general rendering index Ra of CIE 13.3"},
    {MTM_INDEX_SSI, "ssi", "spectral similarity index of SMPTE ST 2122"},
};

size_t mtm_index_count(void)
{
    return sizeof indices / sizeof indices[0];
}

const mtm_index_info *mtm_index_at(size_t index)
{
    return index < mtm_index_count() ? &indices[index] : NULL;
}

mtm_result mtmi_objective_prepare(const struct mtmi_feasible_set *feasible, mtm_index index,
                                  const mtm_spectrum *reference, struct mtmi_objective *objective,
                                  mtm_error *error)
{
    static const size_t groups[] = {MTM_CES_COUNT, RA_SAMPLES, 1};
    static const size_t width[] = {3, 3, MTMI_SSI_BINS + 2};

    if ((unsigned)index > MTM_INDEX_SSI)
        return mtmi_fail(error, MTM_INVALID, "the measure is none of those known");
    objective->kernel = feasible->spectral->kernel;
    objective->index = index;
    objective->groups = groups[index];
    objective->width = width[index];
    mtm_white white;
    mtm_result result = mtmi_feasible_set_white(feasible, &white, error);
    if (result == MTM_OK)
        result =
            mtmi_quality_reference_at(objective->kernel, white.cct_k, &objective->reference, error);
    if (result != MTM_OK || reference == NULL || index != MTM_INDEX_SSI)
        return result;
    mtmi_quality_light light;
    double sum = 0;
    mtmi_quality_light_from_spectrum(objective->kernel, reference, &light);
    for (size_t i = 0; i < MTMI_SSI_BINS; i++)
        sum += light.ssi[i];
    if (!(sum > 0))
        return mtmi_fail(error, MTM_INVALID, "the reference spectrum gives no light");
    memcpy(objective->reference.ssi, light.ssi, sizeof light.ssi);
    return MTM_OK;
}

/* Sum of the lengths of residuals, group by group from first on, to what came before. */
static double add_lengths(const struct mtmi_objective *objective, const double *residual,
                          size_t first, size_t last, double sum)
{
    for (size_t g = first; g < last; g++) {
        double square = 0;
        for (size_t i = 0; i < objective->width; i++)
            square += residual[g * objective->width + i] * residual[g * objective->width + i];
        sum += sqrt(square);
    }
    return sum;
}

/* A mixture: what is lit, and how far. */
struct mixture {
    const mtmi_quality_light *lights[MTM_EMITTERS_MAX];
    double level[MTM_EMITTERS_MAX];
    size_t count;
};

static void mix(const struct mtmi_feasible_set *feasible, const double *x, struct mixture *mixture)
{
    mixture->count = feasible->spectral->emitters.count;
    for (size_t k = 0; k < mixture->count; k++) {
        mixture->lights[k] = &feasible->spectral->light[k];
        mixture->level[k] = x[k] / feasible->unit[k];
    }
}

/* The samples of CIE 224 under a mixture. */
struct samples {
    const struct mixture *mixture;
    mtmi_ces ces;
    mtm_viewer viewer;
    double scale;
};

/* Finds out what their white is; false where nobody can adapt to it. */
static bool adapt(const struct mtmi_objective *objective, struct samples *samples)
{
    const struct mixture *m = samples->mixture;

    objective->kernel->mix(m->lights, m->level, m->count, MTMI_BLOCK_OF_WHITE, &samples->ces);
    return mtmi_fidelity_viewer(&samples->ces, &samples->viewer, &samples->scale, NULL) == MTM_OK;
}

/* Residuals of the samples of some blocks; returns how many samples there are up to their end. */
static size_t fidelity_residuals(const struct mtmi_objective *objective, struct samples *samples,
                                 struct mtmi_blocks blocks, double *residual)
{
    const struct mixture *m = samples->mixture;
    const size_t last = blocks.last < MTMI_CES_BLOCKS ? blocks.last * MTMI_BLOCK : MTM_CES_COUNT;
    mtmi_ces jab;

    objective->kernel->mix(m->lights, m->level, m->count, blocks, &samples->ces);
    objective->kernel->appearance(&samples->viewer, samples->scale, &samples->ces, blocks, &jab);
    for (size_t i = blocks.first * MTMI_BLOCK; i < last; i++) {
        for (size_t c = 0; c < 3; c++)
            residual[3 * i + c] = jab.at[c][i] - objective->reference.jab.at[c][i];
    }
    return last;
}

/* Some samples after the other, up to where what there is of the sum already makes a mean that is
 * not below limit. Lengths are not negative, and a rounded sum of such, or its quotient, never
 * falls as it goes on: the whole would not be below limit either. */
static double fidelity_at(const struct mtmi_objective *objective, const struct mixture *mixture,
                          double limit, double *residual)
{
    const size_t stride = isfinite(limit) ? BLOCKS_AT_ONCE : MTMI_CES_BLOCKS;
    struct samples samples;
    double mean = 0, sum = 0;

    samples.mixture = mixture;
    if (!adapt(objective, &samples))
        return INFINITY;
    for (size_t first = 0; first < MTMI_CES_BLOCKS; first += stride) {
        const size_t left = MTMI_CES_BLOCKS - first;
        const struct mtmi_blocks blocks = {first, first + (stride < left ? stride : left)};
        size_t last = fidelity_residuals(objective, &samples, blocks, residual);
        sum = add_lengths(objective, residual, first * MTMI_BLOCK, last, sum);
        mean = sum / (double)objective->groups;
        if (!(mean < limit))
            return INFINITY;
    }
    return mean;
}

static void rendering_residuals(const struct mtmi_objective *objective,
                                const mtmi_quality_light *light, double *residual)
{
    mtmi_uvw shift[MTM_TCS_COUNT];

    mtmi_cri_shifts(light, &objective->reference, shift);
    for (size_t i = 0; i < RA_SAMPLES; i++) {
        residual[3 * i] = shift[i].u;
        residual[3 * i + 1] = shift[i].v;
        residual[3 * i + 2] = shift[i].w;
    }
}

bool mtmi_objective_residuals(const struct mtmi_objective *objective,
                              const struct mtmi_feasible_set *feasible, const double *x,
                              double *residual)
{
    struct mixture mixture;
    mtmi_quality_light light;

    mix(feasible, x, &mixture);
    if (objective->index == MTM_INDEX_RF) {
        struct samples samples;
        samples.mixture = &mixture;
        return adapt(objective, &samples) &&
               fidelity_residuals(objective, &samples, MTMI_BLOCKS_ALL, residual) > 0;
    }
    mtmi_quality_light_mix(mixture.lights, mixture.level, mixture.count, &light);
    if (objective->index == MTM_INDEX_RA)
        rendering_residuals(objective, &light, residual);
    else
        mtmi_ssi_smooth(light.ssi, objective->reference.ssi, residual);
    return true;
}

double mtmi_objective_at(const struct mtmi_objective *objective,
                         const struct mtmi_feasible_set *feasible, const double *x, double limit,
                         double *residual)
{
    if (objective->index == MTM_INDEX_RF) {
        struct mixture mixture;
        mix(feasible, x, &mixture);
        return fidelity_at(objective, &mixture, limit, residual);
    }
    if (!mtmi_objective_residuals(objective, feasible, x, residual))
        return INFINITY;
    double mean = add_lengths(objective, residual, 0, objective->groups, 0);
    mean /= (double)objective->groups;
    return mean < limit ? mean : INFINITY;
}

double mtmi_objective_index(const struct mtmi_objective *objective, double mean_residual)
{
    if (objective->index == MTM_INDEX_RA)
        return 100 - RA_PER_DIFFERENCE * mean_residual;
    if (objective->index == MTM_INDEX_SSI)
        return 100 - SSI_PER_LENGTH * mean_residual;
    return mtmi_fidelity_of(mean_residual);
}
