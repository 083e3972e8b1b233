/* SPDX-License-Identifier: MIT */
/* Quality: lights, their references, and the indices of a spectrum. */
#include <metamer/quality.h>

#include "base/error.h"
#include "colour/check.h"
#include "colour/integrate.h"
#include "colour/radiator.h"
#include "quality/cri.h"
#include "quality/fidelity.h"
#include "quality/kernel.h"

#include <math.h>
#include <string.h>

#define CRI_DAYLIGHT_K 5000.0 /* CIE 13.3-1995, 5.2 */
#define CES_PLANCK_K 4000.0   /* CIE 224:2017: Planckian up to here, */
#define CES_DAYLIGHT_K 5000.0 /* daylight from here, a mixture between */
#define SSI_DAYLIGHT_K 4000.0 /* SMPTE ST 2122, default reference, as R's colorSpec has it */
/* Nearer than this to one of these, a colour temperature is it: only rounding parts them. */
#define SAME_K 1e-6

void mtmi_quality_light_from_spectrum(const mtmi_quality_kernel *kernel,
                                      const mtm_spectrum *spectrum, mtmi_quality_light *light)
{
    mtm_xyz xyz = mtmi_integrate_best()(spectrum->value, mtmi_weights[MTM_OBSERVER_2]);

    kernel->sums(spectrum->value, light);
    light->xyz[0] = xyz.x;
    light->xyz[1] = xyz.y;
    light->xyz[2] = xyz.z;
}

static void add(double *sum, const double *part, double level, size_t count)
{
    for (size_t i = 0; i < count; i++)
        sum[i] += level * part[i];
}

void mtmi_quality_light_mix(const mtmi_quality_light *const *lights, const double *level,
                            size_t count, mtmi_quality_light *out)
{
    *out = (mtmi_quality_light){.xyz = {0}};
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < 3; k++) {
            add(out->ces.at[k], lights[i]->ces.at[k], level[i], MTMI_CES_PADDED);
            add(out->tcs.at[k], lights[i]->tcs.at[k], level[i], MTMI_TCS_PADDED);
        }
        add(out->ssi, lights[i]->ssi, level[i], MTMI_SSI_BINS);
        add(out->xyz, lights[i]->xyz, level[i], 3);
    }
}

static void daylight_at(double cct_k, mtmi_quality_light *light)
{
    const mtmi_quality_light *parts[3] = {&mtmi_quality_daylight[0], &mtmi_quality_daylight[1],
                                          &mtmi_quality_daylight[2]};
    double level[3] = {1, 0, 0};

    mtmi_daylight_weights(mtmi_daylight_point(cct_k), &level[1], &level[2]);
    mtmi_quality_light_mix(parts, level, 3, light);
}

static void planck_at(const mtmi_quality_kernel *kernel, double cct_k, mtmi_quality_light *light)
{
    mtm_spectrum spectrum;

    kernel->planck(cct_k, spectrum.value);
    kernel->sums(spectrum.value, light);
}

/* Both scaled to equal Y, mixed by temperature. CIE 224:2017. */
static void mix_of_ces(const mtmi_quality_light *planck, const mtmi_quality_light *daylight,
                       double cct_k, mtmi_ces *ces)
{
    double part = (CES_DAYLIGHT_K - cct_k) / (CES_DAYLIGHT_K - CES_PLANCK_K);
    double of_planck = part / planck->ces.at[1][MTMI_CES_WHITE];
    double of_daylight = (1 - part) / daylight->ces.at[1][MTMI_CES_WHITE];

    for (size_t k = 0; k < 3; k++)
        for (size_t i = 0; i < MTMI_CES_PADDED; i++)
            ces->at[k][i] =
                (of_planck * planck->ces.at[k][i]) + (of_daylight * daylight->ces.at[k][i]);
}

/* References jump where daylight begins; which one is taken must not hang on rounding. */
static double settled(double cct_k)
{
    static const double bounds_k[] = {CRI_DAYLIGHT_K, SSI_DAYLIGHT_K};

    for (size_t i = 0; i < sizeof bounds_k / sizeof bounds_k[0]; i++) {
        if (fabs(cct_k - bounds_k[i]) < SAME_K)
            return bounds_k[i];
    }
    return cct_k;
}

mtm_result mtmi_quality_reference_at(const mtmi_quality_kernel *kernel, double cct_k,
                                     mtmi_quality_reference *reference, mtm_error *error)
{
    mtm_result result = MTM_OK;
    mtmi_quality_light planck = {.xyz = {0}};
    mtmi_quality_light daylight = {.xyz = {0}};
    mtmi_ces mixed;
    const mtmi_ces *ces = &mixed;

    cct_k = settled(cct_k);
    if (cct_k < CRI_DAYLIGHT_K)
        planck_at(kernel, cct_k, &planck);
    if (cct_k >= CES_PLANCK_K)
        daylight_at(cct_k, &daylight);
    if (cct_k <= CES_PLANCK_K)
        ces = &planck.ces;
    else if (cct_k >= CES_DAYLIGHT_K)
        ces = &daylight.ces;
    else
        mix_of_ces(&planck, &daylight, cct_k, &mixed);

    reference->cct_k = cct_k;
    reference->white_1960 =
        mtmi_cri_reference(cct_k < CRI_DAYLIGHT_K ? &planck.tcs : &daylight.tcs, reference->tcs);
    memcpy(reference->ssi, cct_k < SSI_DAYLIGHT_K ? planck.ssi : daylight.ssi,
           sizeof reference->ssi);
    result = mtmi_fidelity_coordinates(kernel, ces, &reference->jab, error);
    if (result == MTM_OK)
        mtmi_fidelity_reference(reference);
    return result;
}

/* Noise below zero is let pass while the sums are those of a light. */
static mtm_result white_of(const mtmi_quality_light *light, mtm_white *white, mtm_error *error)
{
    if (!(light->xyz[1] > 0 && light->ces.at[1][MTMI_CES_WHITE] > 0 &&
          light->tcs.at[1][MTMI_TCS_WHITE] > 0))
        return mtmi_fail(error, MTM_RANGE, "the spectrum gives no light between 380 and 780 nm");
    return mtm_white_from_xy(
        mtm_xy_from_xyz((mtm_xyz){light->xyz[0], light->xyz[1], light->xyz[2]}), white, error);
}

static double sum_of(const double bin[MTMI_SSI_BINS])
{
    double sum = 0;

    for (size_t i = 0; i < MTMI_SSI_BINS; i++)
        sum += bin[i];
    return sum;
}

mtm_result mtmi_quality_from_light(const mtmi_quality_kernel *kernel,
                                   const mtmi_quality_light *light, mtm_quality *quality,
                                   mtm_error *error)
{
    mtmi_quality_reference reference;
    mtm_quality found = {.ssi = 0};

    mtm_result result = white_of(light, &found.white, error);
    if (result != MTM_OK)
        return result;
    if (!(sum_of(light->ssi) > 0))
        return mtmi_fail(error, MTM_RANGE, "the spectrum gives no light between 375 and 675 nm");
    result = mtmi_quality_reference_at(kernel, found.white.cct_k, &reference, error);
    if (result != MTM_OK)
        return result;
    result = mtmi_fidelity_from_light(kernel, light, &reference, &found.fidelity, error);
    if (result != MTM_OK)
        return result;
    mtmi_cri_from_light(light, &reference, &found.cri);
    found.ssi = mtmi_ssi_from_bins(light->ssi, reference.ssi);
    *quality = found;
    return MTM_OK;
}

mtm_result mtm_quality_from_spectrum(const mtm_spectrum *spectrum, mtm_quality *quality,
                                     mtm_error *error)
{
    const mtmi_quality_kernel *kernel = mtmi_quality_best();
    mtmi_quality_light light;

    if (quality == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the quality was given");
    mtm_result result = mtmi_check_spectrum(spectrum, error);
    if (result != MTM_OK)
        return result;
    mtmi_quality_light_from_spectrum(kernel, spectrum, &light);
    return mtmi_quality_from_light(kernel, &light, quality, error);
}

mtm_result mtm_cri_from_spectrum(const mtm_spectrum *spectrum, mtm_cri *cri, mtm_error *error)
{
    mtm_quality quality = {.ssi = 0};

    if (cri == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the indices was given");
    mtm_result result = mtm_quality_from_spectrum(spectrum, &quality, error);
    if (result == MTM_OK)
        *cri = quality.cri;
    return result;
}

mtm_result mtm_fidelity_from_spectrum(const mtm_spectrum *spectrum, mtm_fidelity *fidelity,
                                      mtm_error *error)
{
    mtm_quality quality = {.ssi = 0};

    if (fidelity == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the indices was given");
    mtm_result result = mtm_quality_from_spectrum(spectrum, &quality, error);
    if (result == MTM_OK)
        *fidelity = quality.fidelity;
    return result;
}

/* The bins of a spectrum that must have light in them. */
static mtm_result ssi_bins(const mtm_spectrum *spectrum, const char *which,
                           mtmi_quality_light *light, mtm_error *error)
{
    mtm_result result = mtmi_check_spectrum(spectrum, error);

    if (result != MTM_OK)
        return result;
    mtmi_quality_light_from_spectrum(mtmi_quality_best(), spectrum, light);
    if (!(sum_of(light->ssi) > 0))
        return mtmi_fail(error, MTM_RANGE, "the %s spectrum gives no light between 375 and 675 nm",
                         which);
    return MTM_OK;
}

mtm_result mtm_ssi_from_spectrum(const mtm_spectrum *spectrum, const mtm_spectrum *reference,
                                 double *ssi, mtm_error *error)
{
    mtmi_quality_light test;
    mtmi_quality_light other;
    mtm_quality quality = {.ssi = 0};

    if (ssi == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the index was given");
    mtm_result result = ssi_bins(spectrum, "test", &test, error);
    if (result != MTM_OK)
        return result;
    if (reference == NULL) {
        result = mtmi_quality_from_light(mtmi_quality_best(), &test, &quality, error);
        if (result == MTM_OK)
            *ssi = quality.ssi;
        return result;
    }
    result = ssi_bins(reference, "reference", &other, error);
    if (result == MTM_OK)
        *ssi = mtmi_ssi_from_bins(test.ssi, other.ssi);
    return result;
}

static mtm_reference reference_of(double cct_k, double planck_to_k, double daylight_from_k)
{
    if (!isfinite(cct_k) || !(cct_k > 0))
        return MTM_REFERENCE_NONE;
    if (settled(cct_k) >= daylight_from_k)
        return MTM_REFERENCE_DAYLIGHT;
    return settled(cct_k) <= planck_to_k ? MTM_REFERENCE_PLANCK : MTM_REFERENCE_MIXTURE;
}

mtm_reference mtm_ra_reference(double cct_k)
{
    return reference_of(cct_k, CRI_DAYLIGHT_K, CRI_DAYLIGHT_K);
}

mtm_reference mtm_rf_reference(double cct_k)
{
    return reference_of(cct_k, CES_PLANCK_K, CES_DAYLIGHT_K);
}

mtm_reference mtm_ssi_reference(double cct_k)
{
    return reference_of(cct_k, SSI_DAYLIGHT_K, SSI_DAYLIGHT_K);
}

bool mtm_ra_jumps(double least_cct_k, double most_cct_k)
{
    return least_cct_k <= CRI_DAYLIGHT_K + MTM_RA_JUMP_NEAR_K &&
           most_cct_k >= CRI_DAYLIGHT_K - MTM_RA_JUMP_NEAR_K;
}
