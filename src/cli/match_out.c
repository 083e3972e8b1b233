/* SPDX-License-Identifier: MIT */
/* Match output: a computed match as a table, as JSON or as CSV. */
#include "cli/match_out.h"

#include "cli/match_load.h"
#include "cli/match_quality.h"
#include "cli/text_out.h"

#include "base/error.h"

#include <metamer/white.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* One step of a u', v' circle, as white tolerances count them (CIE TN 001:2014). */
#define STEP_UV 0.0011

const mtm_unit *match_unit_of(const struct match_report *report, const mtm_match *match)
{
    return mtm_rig_unit(report->rig, match->unit);
}

static const char *observer_name(mtm_observer observer)
{
    return observer == MTM_OBSERVER_10 ? "10°" : "2°";
}

/* Light was asked for, but the codes give none. */
bool match_fell_dark(const mtm_match *match)
{
    return match->ideal.xyz.y > 0 && match->xyz.y <= 0;
}

static bool was_held(const struct match_report *report, const mtm_match *match)
{
    return report->held != NULL && report->held[match - report->match];
}

bool match_reached(const struct match_report *report, const mtm_match *match)
{
    if (match->ideal.xyz.y <= 0)
        return true; /* dark, as asked */
    return (match->shortfall & (MTM_SHORT_GAMUT | MTM_SHORT_OUTPUT)) == 0 &&
           !match_fell_dark(match) && !was_held(report, match);
}

double match_worst(const struct match_report *report, size_t *index)
{
    double worst = -1;

    *index = 0;
    for (size_t i = 0; i < report->count; i++) {
        if (report->match[i].delta_uv > worst) {
            worst = report->match[i].delta_uv;
            *index = i;
        }
    }
    return worst;
}

/* "target outside its gamut; at most 40 lm (power limit)": what kept it from what was asked. */
static void shortfall_reason(const struct match_report *report, const mtm_match *match, char *text,
                             size_t room)
{
    bool common = report->together && report->common.exists;
    double most = common ? report->common.output : match->ideal.most;
    const char *gamut = common ? "at the common colour" : "target outside its gamut";
    bool off = (match->shortfall & MTM_SHORT_GAMUT) != 0;

    if ((match->shortfall & MTM_SHORT_OUTPUT) != 0)
        (void)snprintf(text, room, "%s%sat most %.*f lm%s", off ? gamut : "", off ? "; " : "",
                       text_decimals(most, 0), most,
                       (match->shortfall & MTM_SHORT_POWER) != 0 ? " (power limit)" : "");
    else
        (void)snprintf(text, room, "%s", gamut);
}

void match_reason(const struct match_report *report, const mtm_match *match, char *text,
                  size_t room)
{
    text[0] = '\0';
    if (match_fell_dark(match))
        (void)snprintf(text, room, "too little output for its codes: dark");
    else if (match->ideal.xyz.y <= 0)
        return; /* dark, as asked */
    else if ((match->shortfall & (MTM_SHORT_GAMUT | MTM_SHORT_OUTPUT)) != 0)
        shortfall_reason(report, match, text, room);
    else if (was_held(report, match))
        (void)snprintf(text, room, "lowered for a port or supply rating");
    else if (match->delta_uv > MATCH_ON_TARGET_UV)
        (void)snprintf(text, room, "steps of its codes");
}

/* The largest distance between any two lit units; equal colours are looked at once. */
double match_spread(const struct match_report *report)
{
    mtm_uv *seen = calloc(report->count + 1, sizeof *seen);
    size_t count = 0;
    double most = 0;

    for (size_t i = 0; seen != NULL && i < report->count; i++) {
        if (report->match[i].xyz.y <= 0)
            continue;
        mtm_uv uv = mtm_uv_from_xyz(report->match[i].xyz);
        size_t k = 0;
        while (k < count && (seen[k].u != uv.u || seen[k].v != uv.v)) {
            most = fmax(most, mtm_uv_distance(seen[k], uv));
            k++;
        }
        if (k == count)
            seen[count++] = uv;
    }
    free(seen);
    return most;
}

static bool any_held(const struct match_report *report)
{
    for (size_t i = 0; i < report->count; i++) {
        if (was_held(report, &report->match[i]))
            return true;
    }
    return false;
}

/* What keeps the common output from being more, or from what was asked: the end of a sentence. */
static void put_common_limit(const struct match_report *report, FILE *out)
{
    const mtm_common *common = &report->common;
    const char *name = mtm_rig_unit(report->rig, common->limits_output)->name;
    bool in_lm = report->asked.kind == MTM_OUTPUT_LM;

    if (in_lm && common->output >= report->asked.value * (1 - 1e-9))
        (void)fprintf(out, ".\n");
    else if (any_held(report))
        (void)fprintf(out, "; a port or supply rating limits the output.\n");
    else if (in_lm)
        (void)fprintf(out, " of %.*f lm asked for; %s limits the output.\n",
                      text_decimals(report->asked.value, 0), report->asked.value, name);
    else
        (void)fprintf(out, "; %s limits the output.\n", name);
}

static void sentence_together(const struct match_report *report, FILE *out)
{
    const mtm_common *common = &report->common;
    const char *first = mtm_rig_unit(report->rig, common->apart[0])->name;
    const char *second = mtm_rig_unit(report->rig, common->apart[1])->name;

    if (!common->exists) {
        if (common->apart[0] == common->apart[1])
            (void)fprintf(out,
                          "No chromaticity is common to all: %s excludes the others taken "
                          "together.",
                          first);
        else
            (void)fprintf(out, "No chromaticity is common to all: %s and %s exclude each other.",
                          first, second);
        (void)fprintf(out, "\nEach unit was matched on its own.\n");
        return;
    }
    (void)fprintf(out, "All aim at x %.4f, y %.4f and %.*f lm", common->xy.x, common->xy.y,
                  text_decimals(common->output, 0), common->output);
    put_common_limit(report, out);
    if (common->delta_uv > MATCH_ON_TARGET_UV)
        (void)fprintf(out, "%s holds the colour Δu'v' %.4f away from the target.\n",
                      mtm_rig_unit(report->rig, common->limits_colour)->name, common->delta_uv);
}

static size_t count_dark(const struct match_report *report)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++)
        count += match_fell_dark(&report->match[i]);
    return count;
}

static size_t count_lit(const struct match_report *report)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++)
        count += report->match[i].xyz.y > 0;
    return count;
}

/* Lit units whose emitters all have spectra: the others cannot be looked at twice. */
static size_t count_judged(const struct match_report *report)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++)
        count += report->match[i].xyz.y > 0 && report->judgement[i].has_spectrum;
    return count;
}

/* Who agrees here and not there: to eyes that see a larger field, and to cameras. */
static mtm_result sentence_pairs(const struct match_report *report, FILE *out, mtm_error *error)
{
    struct metameric_pair pair[5];
    size_t count = 0;
    mtm_observer here = report->target->observer;
    mtm_observer there = here == MTM_OBSERVER_10 ? MTM_OBSERVER_2 : MTM_OBSERVER_10;
    mtm_result result = match_find_pairs(report, pair, 5, &count, error);

    size_t judged = count_judged(report);
    size_t lit = count_lit(report);

    if (result != MTM_OK)
        return result;
    if (judged < lit)
        (void)fprintf(out,
                      "%zu of %zu lit units cannot be judged: emitters known by x, y only have no "
                      "spectrum.\n",
                      lit - judged, lit);
    if (judged < 2)
        return MTM_OK;
    if (count == 0) {
        (void)fprintf(out,
                      "No two that agree within Δu'v' %.4f part by more than %.4f for the %s "
                      "observer or have an SSI below %.0f.\n",
                      report->agree_uv, report->apart_uv, observer_name(there), report->least_ssi);
        return MTM_OK;
    }
    (void)fprintf(
        out,
        "These agree within Δu'v' %.4f, but part by more than %.4f for the %s observer or "
        "have an SSI below %.0f:\n",
        report->agree_uv, report->apart_uv, observer_name(there), report->least_ssi);
    for (size_t i = 0; i < count; i++)
        (void)fprintf(out, "  %s and %s: Δu'v' %.4f here, %.4f there, SSI %.0f\n",
                      match_unit_of(report, &report->match[pair[i].first])->name,
                      match_unit_of(report, &report->match[pair[i].second])->name,
                      pair[i].metamerism.delta_uv[here], pair[i].metamerism.delta_uv[there],
                      pair[i].metamerism.ssi);
    return MTM_OK;
}

/* How near the lit units are to each other and to the target. */
static void sentence_agreement(const struct match_report *report, FILE *out)
{
    size_t worst_index = 0;
    double worst = match_worst(report, &worst_index);
    double apart = match_spread(report);
    const char *name = match_unit_of(report, &report->match[worst_index])->name;
    char why[96];

    if (count_lit(report) > 1)
        (void)fprintf(out,
                      "The units agree with each other within Δu'v' %.4f (%.1f steps of %.4f).\n",
                      apart, apart / STEP_UV, STEP_UV);
    match_reason(report, &report->match[worst_index], why, sizeof why);
    if (worst > MATCH_ON_TARGET_UV && report->count == 1)
        (void)fprintf(out, "%s is Δu'v' %.4f from the target%s%s.\n", name, worst,
                      why[0] != '\0' ? ": " : "", why);
    else if (worst > MATCH_ON_TARGET_UV)
        (void)fprintf(out, "%s is farthest from the target, by Δu'v' %.4f%s%s.\n", name, worst,
                      why[0] != '\0' ? ": " : "", why);
    else if (report->count == 1)
        (void)fprintf(out, "%s is on the target.\n", name);
    else
        (void)fprintf(out, "All that are lit are on the target.\n");
}

static void sentence(const struct match_report *report, FILE *out)
{
    size_t worst_index = 0;
    double worst = match_worst(report, &worst_index);
    size_t dark = count_dark(report);

    if (report->together)
        sentence_together(report, out);
    if (report->target->observer == MTM_OBSERVER_10 &&
        (report->together || report->asked.kind == MTM_OUTPUT_LM))
        (void)fprintf(out, "The output aimed at counts light as the 10° observer sees it; the "
                           "column holds lumens, as meters count.\n");
    if (count_lit(report) > 0)
        sentence_agreement(report, out);
    else if (dark == 0)
        (void)fprintf(out, "No light was asked for.\n");
    if (dark > 0)
        (void)fprintf(out, "%zu unit%s dark: the output asked for is below the first code.\n", dark,
                      dark == 1 ? " is" : "s are");
    match_put_overloads(report->rig, report->load, out);
    if (report->has_tolerance)
        (void)fprintf(out, "Tolerance Δu'v' %.4f: %s.\n", report->tolerance,
                      worst > report->tolerance || dark > 0 ? "missed" : "met");
}

static void write_heading(const struct match_report *report, FILE *out)
{
    (void)fprintf(out, "%s, %zu unit%s, target %s", mtm_rig_name(report->rig), report->count,
                  report->count == 1 ? "" : "s", report->target->description);
    if (strstr(report->target->description, "x 0.") == NULL)
        (void)fprintf(out, " (x %.4f, y %.4f)", report->target->xy.x, report->target->xy.y);
    (void)fprintf(out, ", %s observer\n\n", observer_name(report->target->observer));
}

static int name_width(const struct match_report *report)
{
    int width = 4;

    for (size_t i = 0; i < report->count; i++) {
        int letters = text_width(match_unit_of(report, &report->match[i])->name);
        width = letters > width ? letters : width;
    }
    return width < 32 ? width : 32;
}

static void write_white(const struct match_report *report, const mtm_match *match, FILE *out)
{
    mtm_white white;

    /* temperature belongs to the 2 degree observer (CIE 015:2018, 9.4) */
    if (report->target->observer == MTM_OBSERVER_2 && match->xyz.y > 0 &&
        mtm_white_from_xy(match->xy, &white, NULL) == MTM_OK)
        (void)fprintf(out, "  %5.0f  %+.4f", white.cct_k, text_clean(white.duv, 4));
    else
        (void)fprintf(out, "  %5s  %7s", "-", "-");
}

static void write_rendering(const mtm_judgement *judgement, FILE *out)
{
    if (judgement->has_quality)
        (void)fprintf(out, "  %3.0f  %3.0f", judgement->ra, judgement->rf);
    else
        (void)fprintf(out, "  %3s  %3s", "-", "-");
}

/* A column of figures that are all printed with the same decimals. */
struct column {
    int width, decimals;
};

/* Wide enough for the largest of figures, fine enough for the smallest that is above 0. */
static struct column fit_column(double least, double most, int fewest)
{
    struct column column = {.decimals = text_decimals(least, fewest)};
    int width = snprintf(NULL, 0, "%.*f", column.decimals, most);

    column.width = width > 6 ? width : 6;
    return column;
}

static void fit_columns(const struct match_report *report, struct column *lm, struct column *watts)
{
    double least_lm = INFINITY, most_lm = 0, least_w = INFINITY, most_w = 0;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_match *match = &report->match[i];
        most_lm = fmax(most_lm, match->flux_lm);
        most_w = fmax(most_w, match->watts);
        least_lm = match->flux_lm > 0 ? fmin(least_lm, match->flux_lm) : least_lm;
        least_w = match->watts > 0 ? fmin(least_w, match->watts) : least_w;
    }
    *lm = fit_column(least_lm, most_lm, 0);
    *watts = fit_column(least_w, most_w, 1);
}

static void write_row(const struct match_report *report, const mtm_match *match, int width,
                      struct column lm, struct column watts, FILE *out)
{
    char why[96];

    match_reason(report, match, why, sizeof why);
    text_put(match_unit_of(report, match)->name, width, out);
    (void)fprintf(out, "  %*.*f  %*.*f", lm.width, lm.decimals, match->flux_lm, watts.width,
                  watts.decimals, match->watts);
    if (match->xyz.y > 0)
        (void)fprintf(out, "  %.4f  %.4f", match->xy.x, match->xy.y);
    else
        (void)fprintf(out, "  %6s  %6s", "-", "-");
    write_white(report, match, out);
    if (match->xyz.y > 0)
        (void)fprintf(out, "  %.4f", match->delta_uv);
    else
        (void)fprintf(out, "  %6s", "-");
    if (report->judgement != NULL)
        write_rendering(&report->judgement[match - report->match], out);
    (void)fprintf(out, "%s%s\n", why[0] != '\0' ? "  " : "", why);
}

static void write_colours(const struct match_report *report, int width, FILE *out)
{
    struct column lm, watts;

    fit_columns(report, &lm, &watts);
    (void)fprintf(out, "%-*s  %*s  %*s       x       y    CCT      Duv   Δu'v'%s  %s\n", width,
                  "Unit", lm.width, "Output", watts.width, "Power",
                  report->judgement != NULL ? "   Ra   Rf" : "", "Why no closer");
    (void)fprintf(out, "%-*s  %*s  %*s                      K\n", width, "", lm.width, "lm",
                  watts.width, "W");
    for (size_t i = 0; i < report->count; i++)
        write_row(report, &report->match[i], width, lm, watts, out);
}

static void write_slots(const struct match_report *report, int width, FILE *out)
{
    (void)fprintf(out, "\n%-*s  Universe  Address  Slot values, in order\n", width, "Unit");
    for (size_t i = 0; i < report->count; i++) {
        const mtm_unit *unit = match_unit_of(report, &report->match[i]);
        uint8_t slot[MTM_ADDRESS_MAX];
        text_put(unit->name, width, out);
        if (unit->address > 0)
            (void)fprintf(out, "  %8d  %7d ", unit->universe, unit->address);
        else
            (void)fprintf(out, "  %8s  %7s ", "open", "open");
        mtm_codes_to_slots(unit->mode, &report->match[i].codes, slot);
        for (size_t k = 0; k < unit->mode->slot_count; k++)
            (void)fprintf(out, " %3d", slot[k]);
        (void)fputc('\n', out);
    }
    (void)fputc('\n', out);
}

mtm_result match_write_table(const struct match_report *report, FILE *out, mtm_error *error)
{
    int width = name_width(report);

    write_heading(report, out);
    write_colours(report, width, out);
    write_slots(report, width, out);
    sentence(report, out);
    return report->judgement != NULL ? sentence_pairs(report, out, error) : MTM_OK;
}

const struct match_writer match_writers[] = {
    {"table", match_write_table},
    {"json", match_write_json},
    {"csv", match_write_csv},
    {0},
};
