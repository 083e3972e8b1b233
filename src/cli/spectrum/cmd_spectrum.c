/* SPDX-License-Identifier: MIT */
/* metamer spectrum: what the spectra of files look like and how well they render. */
#include "cli/args/args.h"
#include "cli/args/target.h"
#include "cli/spectrum/spectrum_out.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FILES_MAX 256
/* Spectra of all files together. */
#define SPECTRA_MAX 4096
/* CIE 13.3 and CIE 224 take samples of at most 5 nm; the open library colour-science 0.4 takes
 * 1, 5, 10 and 20 nm for ASTM E308. Beyond that, what lies between samples is a guess. */
#define INDEX_SPACING_MAX_NM 20.0
/* From here on the default reference of SSI is daylight: SMPTE ST 2122 as the open library
 * colorSpec for R has it, which also names references so. */
#define SSI_DAYLIGHT_K 4000.0

/* Everything one run holds. */
struct run {
    mtm_observer observer;
    struct reference_white white; /* for the dominant wavelength */
    mtm_spectrum_set *set[FILES_MAX];
    size_t set_count;
    mtm_spectrum_set *reference; /* NULL for the default */
    const char *reference_name;
    struct spectrum_facts *facts;
    size_t count;
};

static void run_free(struct run *run)
{
    for (size_t i = 0; i < run->set_count; i++)
        mtm_spectrum_set_free(run->set[i]);
    mtm_spectrum_set_free(run->reference);
    free(run->facts);
}

static mtm_result load_reference(struct run *run, const char *path, mtm_error *error)
{
    if (path == NULL)
        return MTM_OK;
    mtm_result result = mtm_spectrum_set_load(path, MTM_ENDS_ZERO, &run->reference, error);
    if (result != MTM_OK)
        return result;
    if (mtm_spectrum_set_count(run->reference) != 1)
        return mtmi_fail(error, MTM_INVALID,
                         "--reference: %s holds %zu spectra; a file of one is needed", path,
                         mtm_spectrum_set_count(run->reference));
    run->reference_name = mtm_spectrum_set_name(run->reference, 0);
    return MTM_OK;
}

static mtm_result load_all(struct run *run, const struct args *args, mtm_error *error)
{
    for (size_t i = 0; i < args->word_count; i++) {
        mtm_result result =
            mtm_spectrum_set_load(args->words[i], MTM_ENDS_ZERO, &run->set[i], error);
        if (result != MTM_OK)
            return result;
        run->set_count++;
        run->count += mtm_spectrum_set_count(run->set[i]);
        if (run->count > SPECTRA_MAX)
            return mtmi_fail(error, MTM_LIMIT, "the files hold more than %d spectra together",
                             SPECTRA_MAX);
    }
    if (run->count == 0)
        return mtmi_fail(error, MTM_INVALID, "no spectrum was given");
    run->facts = calloc(run->count, sizeof *run->facts);
    return run->facts != NULL ? MTM_OK : mtmi_fail_memory(error);
}

/* Indices, and the white behind them, which is that of the 2 degree observer in every standard. */
static void find_quality(struct spectrum_facts *f, const mtm_spectrum *spectrum)
{
    mtm_xy xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(spectrum, MTM_OBSERVER_2));
    mtm_error error = {""};

    f->white = (mtm_white){NAN, NAN};
    if (mtm_white_from_xy(xy, &f->white, &error) != MTM_OK) {
        (void)snprintf(f->missing, sizeof f->missing, "%s", error.text);
        return;
    }
    f->has_tolerance = mtm_tolerance_from_xy(xy, &f->tolerance, NULL) == MTM_OK;
    if (f->spacing_nm > INDEX_SPACING_MAX_NM) {
        (void)snprintf(f->missing, sizeof f->missing,
                       "samples lie up to %.4g nm apart; indices want 5 nm or less, and none are "
                       "given beyond %.0f nm",
                       f->spacing_nm, INDEX_SPACING_MAX_NM);
        return;
    }
    f->has_quality = mtm_quality_from_spectrum(spectrum, &f->quality, &error) == MTM_OK;
    if (!f->has_quality)
        (void)snprintf(f->missing, sizeof f->missing, "%s", error.text);
}

/* From straight lines between the samples, as SMPTE ST 2122 has it. */
static void find_ssi(struct spectrum_facts *f, const mtm_spectrum *straight, const struct run *run)
{
    const mtm_spectrum *reference =
        run->reference != NULL ? mtm_spectrum_set_straight(run->reference, 0) : NULL;

    f->ssi = NAN;
    if (f->spacing_nm > INDEX_SPACING_MAX_NM || (reference == NULL && !f->has_quality) ||
        mtm_ssi_from_spectrum(straight, reference, &f->ssi, NULL) != MTM_OK) {
        f->ssi = NAN;
        return;
    }
    if (reference != NULL) {
        (void)snprintf(f->ssi_reference, sizeof f->ssi_reference, "%.60s", run->reference_name);
        return;
    }
    (void)snprintf(f->ssi_reference, sizeof f->ssi_reference, "%c%.0f",
                   f->white.cct_k < SSI_DAYLIGHT_K ? 'P' : 'D', f->white.cct_k);
}

static mtm_result find_facts(struct spectrum_facts *f, const mtm_spectrum *spectrum,
                             const mtm_spectrum *straight, const struct run *run, mtm_error *error)
{
    mtm_result result = mtm_ler_from_spectrum(spectrum, &f->ler_lm_per_w, error);
    if (result == MTM_OK)
        result = mtm_peak_from_spectrum(spectrum, &f->peak, error);
    if (result != MTM_OK)
        return result;
    f->fwhm_nm = f->peak.has_fwhm ? f->peak.fwhm_nm : NAN;
    f->xy = mtm_xy_from_xyz(mtm_xyz_from_spectrum(spectrum, run->observer));
    f->uv = mtm_uv_from_xy(f->xy);
    result = mtm_dominant_from_xy(f->xy, run->white.xy, run->observer, &f->dominant, error);
    if (result == MTM_RANGE)
        f->dominant = (mtm_dominant){NAN, 0};
    else if (result != MTM_OK)
        return result;
    find_quality(f, spectrum);
    find_ssi(f, straight, run);
    return MTM_OK;
}

static mtm_result find_all(struct run *run, const struct args *args, mtm_error *error)
{
    struct spectrum_facts *f = run->facts;

    for (size_t i = 0; i < run->set_count; i++) {
        for (size_t k = 0; k < mtm_spectrum_set_count(run->set[i]); k++, f++) {
            f->file = args->words[i];
            f->name = mtm_spectrum_set_name(run->set[i], k);
            f->quantity = mtm_spectrum_set_quantity(run->set[i], k);
            mtm_spectrum_set_range(run->set[i], k, &f->first_nm, &f->last_nm);
            f->spacing_nm = mtm_spectrum_set_spacing_nm(run->set[i], k);
            mtm_result result = find_facts(f, mtm_spectrum_set_at(run->set[i], k),
                                           mtm_spectrum_set_straight(run->set[i], k), run, error);
            if (result != MTM_OK) {
                mtmi_error_prefix(error, f->name);
                mtmi_error_prefix(error, f->file);
                return result;
            }
        }
    }
    return MTM_OK;
}

static mtm_result run_command(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct run run = {.observer = observer_from_args(args)};
    mtm_result result = white_from_args(args, run.observer, &run.white, error);

    if (result == MTM_OK)
        result = load_reference(&run, args_text(args, "reference", NULL), error);
    if (result == MTM_OK)
        result = load_all(&run, args, error);
    if (result == MTM_OK)
        result = find_all(&run, args, error);
    if (result == MTM_OK) {
        struct spectrum_report report = {run.facts, run.count, run.observer, run.white.name};
        result = write_report(args, &report, to->out, error);
    }
    run_free(&run);
    return result;
}

static const struct option_spec options[] = {
    OPTION_TEXT("reference", "FILE",
                "the spectrum that SSI compares with; a Planckian or daylight if not said"),
    OPTION_FORMAT(spectrum_writers, FORMAT_HELP),
    {0},
};

static const struct option_group groups[] = {{.title = "Options", .options = observer_options},
                                             {.title = "", .options = white_options},
                                             {.title = "", .options = options},
                                             {0}};

static const char *const examples[] = {
    "metamer spectrum profiles/warm-white.csv",
    "metamer spectrum profiles/warm-white.csv profiles/cool-white.csv --format csv",
    NULL,
};

const struct command cmd_spectrum = {
    .name = "spectrum",
    .summary = "show colour and quality of measured spectra",
    .usage = "FILE...",
    .details =
        "Reads spectra of light from CSV, CGATS.17 or IES TM-27 files and shows for each its "
        "chromaticity, colour temperature with Duv and nominal class (ANSI C78.377), colour "
        "rendering (CIE 13.3), fidelity and gamut (CIE 224, TM-30), spectral similarity (SMPTE "
        "ST 2122), peak and width, dominant wavelength and excitation purity, and luminous "
        "efficacy of radiation.\n\n"
        "Colour temperature is that of the 2 degree observer, and each index has the observer of "
        "its "
        "standard, whatever --observer says. R15 is not computed: the samples of CIE "
        "13.3 end at 14. A purple has a complementary wavelength, which JSON and CSV give with "
        "a minus sign. What cannot be computed is null in JSON and empty in CSV.",
    .examples = examples,
    .words_least = 1,
    .words_most = FILES_MAX,
    .groups = groups,
    .run = run_command,
};
