/* SPDX-License-Identifier: MIT */
/* Correction filters: two smooth absorptions, solved for the shifts they are to give. */
#include <metamer/filter.h>

#include "base/error.h"
#include "colour/check.h"
#include "colour/radiator.h"

#include <math.h>
#include <stdio.h>

#define MIRED_MAX 300.0
#define DUV_MAX 0.04
#define PEAK_USUAL 0.9
/* Dyes level off where the eye ends; beyond it the black bodies' ratio would be a waste of light.
 * Here V has fallen to a hundredth (ISO/CIE 11664-1). With it a full, half and quarter CTB let
 * through about a third, a half and two thirds of the light (common practice, no source). */
#define FIRST_NM 430.0
#define LAST_NM 687.0
#define GREEN_NM 545.0
#define GREEN_WIDTH_NM 60.0
#define STEPS_MAX 40
#define SOLVED_MIRED 1e-6
#define SOLVED_DUV 1e-9

/* Amounts of the two absorptions. */
typedef struct amounts {
    double warm;  /* mired, as Wien's approximation has it */
    double green; /* absorbance (base e) at its height; negative: of all but green */
} amounts;

/* What is between the wanted shifts and those of some amounts. */
typedef struct miss {
    double mired, duv;
} miss;

struct problem {
    const mtm_spectrum *reference;
    mtm_white before;
    mtm_correction wanted;
};

/* Absorbance of the warm part, base e: the ratio of two black bodies in Wien's approximation is
 * exp(-c2 / lambda * (1/T2 - 1/T1)). */
static double absorbance(amounts a, double nm)
{
    double held = fmin(fmax(nm, FIRST_NM), LAST_NM);
    double from_green = (nm - GREEN_NM) / GREEN_WIDTH_NM;

    return a.warm * 1e-6 * MTMI_C2_NM_K / held + a.green * exp(-from_green * from_green);
}

static void transmit(amounts a, double peak, mtm_spectrum *transmittance)
{
    double least = (double)INFINITY;

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        transmittance->value[i] = absorbance(a, MTM_SPECTRUM_FIRST_NM + (double)i);
        least = fmin(least, transmittance->value[i]);
    }
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        transmittance->value[i] = peak * exp(least - transmittance->value[i]);
}

/* False if the filtered light is no white. */
static bool find_miss(const struct problem *problem, amounts a, miss *found)
{
    mtm_filter filter;
    mtm_white after;

    transmit(a, 1, &filter.transmittance);
    mtm_spectrum behind = mtm_filter_apply(&filter, problem->reference);
    mtm_xyz xyz = mtm_xyz_from_spectrum(&behind, MTM_OBSERVER_2);
    if (mtm_white_from_xy(mtm_xy_from_xyz(xyz), &after, NULL) != MTM_OK)
        return false;
    found->mired = mtm_mired_from_cct(after.cct_k) - mtm_mired_from_cct(problem->before.cct_k) -
                   problem->wanted.mired_shift;
    found->duv = after.duv - problem->before.duv - problem->wanted.duv_shift;
    return true;
}

/* One step of Newton's method with differences for slopes; false if it leaves the whites. */
static bool step(const struct problem *problem, miss at, amounts *a)
{
    const double warm_step = 0.01;
    const double green_step = 1e-4;
    miss warm;
    miss green;

    if (!find_miss(problem, (amounts){a->warm + warm_step, a->green}, &warm) ||
        !find_miss(problem, (amounts){a->warm, a->green + green_step}, &green))
        return false;
    double mired_by_warm = (warm.mired - at.mired) / warm_step;
    double duv_by_warm = (warm.duv - at.duv) / warm_step;
    double mired_by_green = (green.mired - at.mired) / green_step;
    double duv_by_green = (green.duv - at.duv) / green_step;
    double determinant = mired_by_warm * duv_by_green - mired_by_green * duv_by_warm;
    if (!(fabs(determinant) > 0))
        return false;
    a->warm -= (at.mired * duv_by_green - at.duv * mired_by_green) / determinant;
    a->green -= (at.duv * mired_by_warm - at.mired * duv_by_warm) / determinant;
    return isfinite(a->warm) && isfinite(a->green);
}

static bool solve(const struct problem *problem, amounts *a)
{
    miss at;

    *a = (amounts){0, 0};
    for (int i = 0; i < STEPS_MAX && find_miss(problem, *a, &at); i++) {
        if (fabs(at.mired) < SOLVED_MIRED && fabs(at.duv) < SOLVED_DUV)
            return true;
        if (!step(problem, at, a))
            return false;
    }
    return false;
}

static mtm_result check(mtm_correction wanted, mtm_error *error)
{
    if (!(fabs(wanted.mired_shift) <= MIRED_MAX))
        return mtmi_fail(error, MTM_INVALID,
                         "found a shift of %.10g mired, allowed is %.10g to %.10g",
                         wanted.mired_shift, -MIRED_MAX, MIRED_MAX);
    if (!(fabs(wanted.duv_shift) <= DUV_MAX))
        return mtmi_fail(error, MTM_INVALID,
                         "found a shift of %.10g in Duv, allowed is %.10g to %.10g",
                         wanted.duv_shift, -DUV_MAX, DUV_MAX);
    if (!(wanted.peak == 0 || (wanted.peak >= 0.01 && wanted.peak <= 1)))
        return mtmi_fail(error, MTM_INVALID,
                         "found a highest transmittance of %.10g, allowed is 0.01 to 1",
                         wanted.peak);
    return MTM_OK;
}

mtm_result mtm_filter_correction(const char *name, mtm_correction correction,
                                 const mtm_spectrum *reference, mtm_filter *filter,
                                 mtm_error *error)
{
    struct problem problem = {.reference = reference, .wanted = correction};
    amounts a;

    if (name == NULL || reference == NULL || filter == NULL)
        return mtmi_fail(error, MTM_INVALID, "a name, a reference light and a place are needed");
    mtm_result result = check(correction, error);
    if (result != MTM_OK)
        return result;
    result = mtmi_check_spectrum(reference, error);
    if (result != MTM_OK)
        return result;
    mtm_xyz xyz = mtm_xyz_from_spectrum(reference, MTM_OBSERVER_2);
    if (mtm_white_from_xy(mtm_xy_from_xyz(xyz), &problem.before, NULL) != MTM_OK)
        return mtmi_fail(error, MTM_RANGE,
                         "the reference light is no white, so nothing can be shifted from it");
    if (!solve(&problem, &a))
        return mtmi_fail(error, MTM_RANGE,
                         "no smooth filter shifts the reference light of %.0f K by %g mired and %g "
                         "in Duv",
                         problem.before.cct_k, correction.mired_shift, correction.duv_shift);
    (void)snprintf(filter->name, sizeof filter->name, "%s", name);
    filter->computed = true;
    transmit(a, correction.peak > 0 ? correction.peak : PEAK_USUAL, &filter->transmittance);
    return MTM_OK;
}
