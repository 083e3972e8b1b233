/* SPDX-License-Identifier: MIT */
/* A match as a table for a person. */
#include "cli/match/match_out.h"

#include "cli/out/slots.h"
#include "cli/out/text.h"

#include <math.h>
#include <string.h>

/* Slot values go on in a new line behind this column. */
#define LINE_WIDTH 100

static void write_heading(const struct match_report *report, FILE *out)
{
    const char *index = match_index_name(report);

    (void)fprintf(out, "%s, %zu unit%s, target %s", mtm_rig_name(report->rig), report->count,
                  report->count == 1 ? "" : "s", report->target->description);
    if (strstr(report->target->description, "x 0.") == NULL)
        (void)fprintf(out, " (x %.4f, y %.4f)", report->target->xy.x, report->target->xy.y);
    (void)fprintf(out, ", %s observer, goal %s%s%s\n\n",
                  match_observer_name(report->target->observer), match_goal_name(report->goal),
                  index != NULL ? " by " : "", index != NULL ? index : "");
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
    bool lit = match->xyz.y > 0;
    mtm_white white = match_white(match, report->target->observer);
    char why[MATCH_REASON_ROOM];

    match_reason(report, match, why, sizeof why);
    text_put(match_unit_of(report, match)->name, width, out);
    (void)fprintf(out, "  %*.*f  %*.*f", lm.width, lm.decimals, match->flux_lm, watts.width,
                  watts.decimals, match->watts);
    text_put_cell(lit ? match->xy.x : NAN, 8, 4, out);
    text_put_cell(lit ? match->xy.y : NAN, 8, 4, out);
    text_put_cell(white.cct_k, 7, 0, out);
    text_put_signed_cell(white.duv, 9, 4, out);
    text_put_cell(lit ? match->delta_uv : NAN, 8, 4, out);
    if (report->judgement != NULL) {
        const mtm_judgement *judgement = &report->judgement[match - report->match];
        text_put_cell(judgement->has_quality ? judgement->ra : NAN, 5, 0, out);
        text_put_cell(judgement->has_quality ? judgement->rf : NAN, 5, 0, out);
    }
    (void)fprintf(out, "%s%s", why[0] != '\0' ? "  " : "", why);
    if (match->fallback != MTM_FALLBACK_NONE)
        (void)fprintf(out, "%sgoal light: %s", why[0] != '\0' ? "; " : "  ",
                      mtm_fallback_text(match->fallback));
    (void)fputc('\n', out);
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

void match_write_table(const void *data, FILE *out)
{
    const struct match_report *report = data;
    int width = name_width(report);

    write_heading(report, out);
    write_colours(report, width, out);
    put_slots_heading(width, out);
    for (size_t i = 0; i < report->count; i++)
        put_slots_row(match_unit_of(report, &report->match[i]), &report->match[i].codes, width,
                      LINE_WIDTH, out);
    (void)fputc('\n', out);
    match_put_sentences(report, out);
    if (report->judgement != NULL)
        match_put_pairs(report, out);
    match_put_basis(report, out);
}
