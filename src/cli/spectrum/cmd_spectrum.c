/* SPDX-License-Identifier: MIT */
/* metamer spectrum: what the spectra of files look like and how well they render. */
#include "cli/args/args.h"
#include "cli/args/picture.h"
#include "cli/args/target.h"
#include "cli/spectrum/spectrum_out.h"

#include "base/error.h"

#include <metamer/rendering_picture.h>

#include <stdlib.h>

#define FILES_MAX 256
/* Spectra of all files together. */
#define SPECTRA_MAX 4096
/* Everything one run holds. */
struct run {
    mtm_observer observer;
    struct reference_white white; /* for the dominant wavelength */
    mtm_spectrum_set *set[FILES_MAX];
    size_t set_count;
    mtm_spectrum_set *reference; /* NULL for the default */
    mtm_spectrum_facts *facts;
    const char **file; /* of each of the facts */
    size_t count;
};

static void run_free(struct run *run)
{
    for (size_t i = 0; i < run->set_count; i++)
        mtm_spectrum_set_free(run->set[i]);
    mtm_spectrum_set_free(run->reference);
    free(run->facts);
    free(run->file);
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
    run->file = calloc(run->count, sizeof *run->file);
    return run->facts != NULL && run->file != NULL ? MTM_OK : mtmi_fail_memory(error);
}

static mtm_result find_all(struct run *run, const struct args *args, mtm_error *error)
{
    size_t at = 0;

    for (size_t i = 0; i < run->set_count; i++) {
        for (size_t k = 0; k < mtm_spectrum_set_count(run->set[i]); k++, at++) {
            run->file[at] = args->words[i];
            mtm_result result = mtm_spectrum_set_facts(run->set[i], k, run->observer, run->white.xy,
                                                       run->reference, &run->facts[at], error);
            if (result != MTM_OK) {
                mtmi_error_prefix(error, mtm_spectrum_set_name(run->set[i], k));
                mtmi_error_prefix(error, args->words[i]);
                return result;
            }
        }
    }
    return MTM_OK;
}

/* The picture first: where it cannot be drawn, nothing else is written either. */
static mtm_result put_picture(const struct args *args, const struct picture_request *request,
                              const struct run *run, struct outlet *to, mtm_error *error)
{
    mtm_light_view *light = calloc(run->count, sizeof *light);
    mtm_picture *picture = NULL;
    size_t at = 0;

    if (light == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < run->set_count; i++) {
        for (size_t k = 0; k < mtm_spectrum_set_count(run->set[i]); k++, at++) {
            const mtm_spectrum_facts *facts = &run->facts[at];
            light[at] = (mtm_light_view){.name = facts->name,
                                         .spectrum = mtm_spectrum_set_at(run->set[i], k),
                                         .quality = facts->has_quality ? &facts->quality : NULL,
                                         .missing = facts->missing};
        }
    }
    mtm_result result =
        mtm_picture_of_rendering(light, run->count, &request->options, &picture, error);
    free(light);
    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}

static mtm_result run_command(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct run run = {.observer = observer_from_args(args)};
    struct picture_request picture;
    mtm_result result = white_from_args(args, run.observer, &run.white, error);

    if (result == MTM_OK)
        result = picture_from_args(args, &picture, error);
    if (result == MTM_OK)
        result = load_reference(&run, args_text(args, "reference", NULL), error);
    if (result == MTM_OK)
        result = load_all(&run, args, error);
    if (result == MTM_OK)
        result = find_all(&run, args, error);
    if (result == MTM_OK && picture.wanted)
        result = put_picture(args, &picture, &run, to, error);
    if (result == MTM_OK && !picture.alone) {
        struct spectrum_report report = {run.facts, run.file, run.count, run.observer,
                                         run.white.name};
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
                                             GROUP_PICTURE,
                                             {0}};

static const char *const examples[] = {
    "metamer spectrum profiles/warm-white.csv",
    "metamer spectrum profiles/warm-white.csv profiles/cool-white.csv --format csv",
    "metamer spectrum profiles/warm-white.csv --picture warm-white.svg",
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
        "a minus sign. What cannot be computed is null in JSON and empty in CSV.\n\n"
        "--picture draws each spectrum over the reference of Rf, the shifts of chroma and hue by "
        "hue bin, Rf by bin, and R1 to R14.",
    .examples = examples,
    .words_least = 1,
    .words_most = FILES_MAX,
    .groups = groups,
    .run = run_command,
};
