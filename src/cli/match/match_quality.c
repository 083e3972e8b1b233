/* SPDX-License-Identifier: MIT */
/* Match quality: the second look at a matched rig, and what its figures stand beside. */
#include "cli/match/match_out.h"

#include <metamer/quality.h>
#include <metamer/white.h>

#include <math.h>
#include <string.h>

const char *match_rests_on(const mtm_judgement *judgement)
{
    if (!judgement->has_spectrum)
        return NULL;
    if (judgement->planckian)
        return "Planckian radiator";
    return judgement->ideal_lines ? "ideal lines" : "spectra";
}

void put_ra_reference(double least_cct_k, double most_cct_k, FILE *out)
{
    if (mtm_ra_jumps(least_cct_k, most_cct_k))
        (void)fprintf(out,
                      "Ra jumps at 5000 K, where its reference changes from a Planckian "
                      "radiator to daylight (CIE 13.3);\nwhites within 50 K of it may stand on "
                      "either side.\n");
    else if (mtm_ra_reference(least_cct_k) == MTM_REFERENCE_PLANCK)
        (void)fprintf(out, "Ra is beside a Planckian radiator (CIE 13.3, below 5000 K).\n");
    else if (mtm_ra_reference(least_cct_k) == MTM_REFERENCE_DAYLIGHT)
        (void)fprintf(out, "Ra is beside daylight (CIE 13.3, from 5000 K).\n");
}

static void put_reference(const struct match_report *report, FILE *out)
{
    double least_k = (double)INFINITY;
    double most_k = 0;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_judgement *judgement = &report->judgement[i];
        mtm_white white;
        if (!judgement->has_quality ||
            mtm_white_from_xy(mtm_xy_from_xyz(judgement->xyz[0]), &white, NULL) != MTM_OK)
            continue;
        least_k = fmin(least_k, white.cct_k);
        most_k = fmax(most_k, white.cct_k);
    }
    if (most_k > 0)
        put_ra_reference(least_k, most_k, out);
}

static bool lit_by_ideal_line(const struct match_report *report, size_t index)
{
    const mtm_fixture *fixture = match_unit_of(report, &report->match[index])->fixture;

    for (size_t i = 0; i < mtm_fixture_emitter_count(fixture); i++) {
        if (report->match[index].level[i] > 0 && mtm_fixture_emitter(fixture, i)->ideal_line)
            return true;
    }
    return false;
}

static const char *kind_name(const struct match_report *report, size_t index)
{
    return mtm_fixture_name(match_unit_of(report, &report->match[index])->fixture);
}

/* True for the first match of a kind that has such lines. */
static bool is_new_kind(const struct match_report *report, size_t index)
{
    for (size_t i = 0; i < index; i++) {
        if (strcmp(kind_name(report, i), kind_name(report, index)) == 0 &&
            lit_by_ideal_line(report, i))
            return false;
    }
    return lit_by_ideal_line(report, index);
}

static void put_ideal_lines(const struct match_report *report, FILE *out)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++) {
        if (!is_new_kind(report, i))
            continue;
        (void)fprintf(out, "%s%s", count > 0 ? ", " : "Ideal lines, drawn from peak and width: ",
                      kind_name(report, i));
        count++;
    }
    if (count > 0)
        (void)fprintf(out, ".\nWhat needs their spectra (%s) is as good as these lines.\n",
                      report->quality ? "rendering, SSI, the other observer" : "the 10° observer");
}

/* What the column Rf rests on. */
static void put_rf_basis(const struct match_report *report, FILE *out)
{
    size_t spectra = 0;
    size_t lines = 0;

    for (size_t i = 0; i < report->count; i++) {
        lines += report->judgement[i].has_quality && report->judgement[i].ideal_lines;
        spectra += report->judgement[i].has_quality && !report->judgement[i].ideal_lines &&
                   !report->judgement[i].planckian; /* a sentence says so of lamps */
    }
    if (lines > 0 && spectra > 0)
        (void)fprintf(out, "Rf (CIE 224, TM-30) rests on the spectra of the files; ~ on ideal "
                           "lines, drawn from peak and width.\n");
    else if (lines > 0)
        (void)fprintf(out, "~ Rf (CIE 224, TM-30) rests on ideal lines, drawn from peak and "
                           "width.\n");
    else if (spectra > 0)
        (void)fprintf(out, "Rf (CIE 224, TM-30) rests on the spectra of the files.\n");
}

void match_put_basis(const struct match_report *report, FILE *out)
{
    put_rf_basis(report, out);
    if (report->quality)
        put_reference(report, out);
    if (report->quality || report->target->observer == MTM_OBSERVER_10)
        put_ideal_lines(report, out);
}
