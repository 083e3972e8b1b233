/* SPDX-License-Identifier: MIT */
/* Peak, width and luminous efficacy of a spectrum. */
#include <metamer/dominant.h>

#include "base/error.h"
#include "colour/check.h"

#include <math.h>

/* Top of the parabola through the sample and its neighbours, in samples from it; 0 at an end. */
static double top_offset(const double *value, int at)
{
    if (at == 0 || at == MTM_SPECTRUM_COUNT - 1)
        return 0;
    double bend = value[at - 1] - (2 * value[at]) + value[at + 1];
    return bend < 0 ? 0.5 * (value[at - 1] - value[at + 1]) / bend : 0;
}

/* Walks from the peak in one direction to where the value is half; false at the end. */
static bool half_place(const double *value, int at, int step, double half, double *place)
{
    for (int i = at; i + step >= 0 && i + step < MTM_SPECTRUM_COUNT; i += step)
        if (value[i + step] <= half) {
            *place = i + (step * (value[i] - half) / (value[i] - value[i + step]));
            return true;
        }
    return false;
}

mtm_result mtm_peak_from_spectrum(const mtm_spectrum *spectrum, mtm_peak *peak, mtm_error *error)
{
    int at = 0;
    double low = 0;
    double high = 0;

    if (peak == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the peak was given");
    mtm_result result = mtmi_check_spectrum(spectrum, error);
    if (result != MTM_OK)
        return result;
    const double *value = spectrum->value;
    for (int i = 1; i < MTM_SPECTRUM_COUNT; i++)
        if (value[i] > value[at])
            at = i;
    if (!(value[at] > 0))
        return mtmi_fail(error, MTM_RANGE, "the spectrum has no power, hence no peak");

    double offset = top_offset(value, at);
    double top = value[at];
    if (offset != 0)
        top -= 0.25 * (value[at - 1] - value[at + 1]) * offset;
    bool both =
        half_place(value, at, -1, top / 2, &low) && half_place(value, at, 1, top / 2, &high);
    *peak = (mtm_peak){.wavelength_nm = MTM_SPECTRUM_FIRST_NM + at + offset,
                       .value = top,
                       .fwhm_nm = both ? high - low : 0,
                       .has_fwhm = both};
    return MTM_OK;
}

mtm_result mtm_ler_from_spectrum(const mtm_spectrum *spectrum, double *lm_per_w, mtm_error *error)
{
    double power = 0;

    if (lm_per_w == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the efficacy was given");
    mtm_result result = mtmi_check_spectrum(spectrum, error);
    if (result != MTM_OK)
        return result;
    for (int i = 0; i < MTM_SPECTRUM_COUNT; i++)
        power += spectrum->value[i];
    if (!(power > 0))
        return mtmi_fail(error, MTM_RANGE, "the spectrum has no power, hence no efficacy");
    *lm_per_w = mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2).y / power;
    return MTM_OK;
}
