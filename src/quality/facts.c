/* SPDX-License-Identifier: MIT */
/* Spectrum facts: what the spectra of files look like and how well they render. */
#include <metamer/spectrum_facts.h>

#include "base/error.h"
#include "base/number.h"
#include "colour/check.h"

#include <math.h>
#include <stdio.h>

/* Indices, and the white behind them, which is that of the 2 degree observer in every standard. */
static void find_quality(mtm_spectrum_facts *f, const mtm_spectrum *spectrum)
{
    mtm_xy xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2));
    mtm_error error = {""};

    f->white = (mtm_white){NAN, NAN};
    if (mtm_white_from_xy(xy, &f->white, &error) != MTM_OK) {
        (void)snprintf(f->missing, sizeof f->missing, "%s", error.text);
        return;
    }
    f->has_tolerance = mtm_tolerance_from_xy(xy, &f->tolerance, NULL) == MTM_OK;
    if (mtmi_exceeds(f->spacing_nm, MTM_INDEX_SPACING_MAX_NM)) {
        (void)snprintf(f->missing, sizeof f->missing,
                       "samples lie up to %.4g nm apart; indices want 5 nm or less, and none are "
                       "given beyond %.0f nm",
                       f->spacing_nm, MTM_INDEX_SPACING_MAX_NM);
        return;
    }
    f->has_quality = mtm_quality_from_spectrum(spectrum, &f->quality, &error) == MTM_OK;
    if (!f->has_quality)
        (void)snprintf(f->missing, sizeof f->missing, "%s", error.text);
}

/* From straight lines between the samples, as SMPTE ST 2122 has it. */
static void find_ssi(mtm_spectrum_facts *f, const mtm_spectrum *straight,
                     const mtm_spectrum_set *reference)
{
    const mtm_spectrum *other = mtm_spectrum_set_straight(reference, 0);

    f->ssi = NAN;
    if (mtmi_exceeds(f->spacing_nm, MTM_INDEX_SPACING_MAX_NM) ||
        (other == NULL && !f->has_quality) ||
        mtm_ssi_from_spectrum(straight, other, &f->ssi, NULL) != MTM_OK)
        return;
    if (other != NULL)
        (void)snprintf(f->ssi_reference, sizeof f->ssi_reference, "%.60s",
                       mtm_spectrum_set_name(reference, 0));
    else
        (void)snprintf(f->ssi_reference, sizeof f->ssi_reference, "%c%.0f",
                       mtm_ssi_reference(f->white.cct_k) == MTM_REFERENCE_PLANCK ? 'P' : 'D',
                       f->white.cct_k);
}

static mtm_result check(const mtm_spectrum_set *set, size_t index, mtm_observer observer,
                        const mtm_spectrum_set *reference, const mtm_spectrum_facts *facts,
                        mtm_error *error)
{
    if (facts == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the facts was given");
    if (index >= mtm_spectrum_set_count(set))
        return mtmi_fail(error, MTM_INVALID, "spectrum %zu: the set has %zu", index,
                         mtm_spectrum_set_count(set));
    if (reference != NULL && mtm_spectrum_set_count(reference) != 1)
        return mtmi_fail(error, MTM_INVALID, "the reference is a set of %zu spectra, not of one",
                         mtm_spectrum_set_count(reference));
    return mtmi_check_observer(observer, error);
}

mtm_result mtm_spectrum_set_facts(const mtm_spectrum_set *set, size_t index, mtm_observer observer,
                                  mtm_xy beside, const mtm_spectrum_set *reference,
                                  mtm_spectrum_facts *facts, mtm_error *error)
{
    const mtm_spectrum *spectrum = mtm_spectrum_set_at(set, index);
    mtm_spectrum_facts made = {.name = mtm_spectrum_set_name(set, index)};
    mtm_result result = check(set, index, observer, reference, facts, error);

    if (result == MTM_OK)
        result = mtm_ler_from_spectrum(spectrum, &made.ler_lm_per_w, error);
    if (result == MTM_OK)
        result = mtm_peak_from_spectrum(spectrum, &made.peak, error);
    if (result != MTM_OK)
        return result;
    made.quantity = mtm_spectrum_set_quantity(set, index);
    mtm_spectrum_set_range(set, index, &made.first_nm, &made.last_nm);
    made.spacing_nm = mtm_spectrum_set_spacing_nm(set, index);
    made.xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(spectrum, observer));
    made.uv = mtm_uv_from_xy(made.xy);
    result = mtm_dominant_from_xy(made.xy, beside, observer, &made.dominant, error);
    if (result == MTM_RANGE)
        made.dominant = (mtm_dominant){NAN, 0}; /* the white itself */
    else if (result != MTM_OK)
        return result;
    find_quality(&made, spectrum);
    find_ssi(&made, mtm_spectrum_set_straight(set, index), reference);
    *facts = made;
    return MTM_OK;
}
