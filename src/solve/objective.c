/* SPDX-License-Identifier: MIT */
/* Objective: what a mixture lacks to the reference, as residuals. */
#include "solve/objective.h"

#include "base/error.h"
#include "quality/cri.h"
#include "quality/fidelity.h"

#include <math.h>
#include <string.h>

#define RA_SAMPLES 8
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

static bool fidelity_residuals(const struct mtmi_objective *objective, const mtmi_ces *ces,
                               double *residual)
{
    mtmi_ces jab;

    if (mtmi_fidelity_coordinates(objective->kernel, ces, &jab, NULL) != MTM_OK)
        return false;
    for (size_t i = 0; i < MTM_CES_COUNT; i++) {
        for (size_t c = 0; c < 3; c++)
            residual[3 * i + c] = jab.at[c][i] - objective->reference.jab.at[c][i];
    }
    return true;
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
    const mtm_spectral *spectral = feasible->spectral;
    const mtmi_quality_light *lights[MTM_EMITTERS_MAX];
    double level[MTM_EMITTERS_MAX];
    mtmi_quality_light light;
    mtmi_ces ces;

    for (size_t k = 0; k < spectral->emitters.count; k++) {
        lights[k] = &spectral->light[k];
        level[k] = x[k] / feasible->unit[k];
    }
    if (objective->index == MTM_INDEX_RF) {
        objective->kernel->mix(lights, level, spectral->emitters.count, &ces);
        return fidelity_residuals(objective, &ces, residual);
    }
    mtmi_quality_light_mix(lights, level, spectral->emitters.count, &light);
    if (objective->index == MTM_INDEX_RA)
        rendering_residuals(objective, &light, residual);
    else
        mtmi_ssi_smooth(light.ssi, objective->reference.ssi, residual);
    return true;
}

double mtmi_objective_at(const struct mtmi_objective *objective,
                         const struct mtmi_feasible_set *feasible, const double *x,
                         double *residual)
{
    double sum = 0;

    if (!mtmi_objective_residuals(objective, feasible, x, residual))
        return INFINITY;
    for (size_t g = 0; g < objective->groups; g++) {
        double square = 0;
        for (size_t i = 0; i < objective->width; i++)
            square += residual[g * objective->width + i] * residual[g * objective->width + i];
        sum += sqrt(square);
    }
    sum /= (double)objective->groups;
    return isfinite(sum) ? sum : INFINITY;
}

double mtmi_objective_index(const struct mtmi_objective *objective, double mean_residual)
{
    if (objective->index == MTM_INDEX_RA)
        return 100 - RA_PER_DIFFERENCE * mean_residual;
    if (objective->index == MTM_INDEX_SSI)
        return 100 - SSI_PER_LENGTH * mean_residual;
    return mtmi_fidelity_of(mean_residual);
}
