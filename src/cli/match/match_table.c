/* SPDX-License-Identifier: MIT */
/* A match as a table for a person. */
#include "cli/match/match_out.h"

#include "cli/out/text.h"

#include <math.h>
#include <string.h>

/* Columns that reasons have at least. */
#define REASON_LEAST 13

static void say_heading(const void *of, FILE *out)
{
    const struct match_report *report = of;
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
        char text[RUN_NAME_ROOM];
        match_name_run(report, &report->match[i], text, sizeof text);
        width = text_widest(width, text);
        i = (size_t)(match_run_end(report, &report->match[i]) - report->match);
    }
    return width;
}

/* A column of figures that are all printed with the same decimals. */
struct column {
    int width, decimals;
};

/* Wide enough for the largest of figures, fine enough for the smallest that is above 0. */
static struct column fit_column(double least, double most, int fewest, int head)
{
    struct column column = {.decimals = text_decimals(least, fewest)};
    int width = snprintf(NULL, 0, "%.*f", column.decimals, most);

    column.width = width > head ? width : head;
    return column;
}

/* Columns before the reason why a unit came no closer. */
static int before_reason(const struct match_report *report, int width, struct column lm,
                         struct column watts)
{
    return swatch_columns(&report->swatches) + width + 2 + lm.width + 2 + watts.width + 8 + 8 + 6 +
           9 + 8 + (report->quality ? 5 : 0) + 5 + 2;
}

static void fit_columns(const struct match_report *report, struct column *lm, struct column *watts)
{
    double least_lm = INFINITY, most_lm = 0, least_w = INFINITY, most_w = 0;

    for (size_t i = 0; i < report->count; i++) {
        const mtm_match *match = &report->match[i];
        double light = match->flux_lm * match_arriving(report, match);
        most_lm = fmax(most_lm, light);
        most_w = fmax(most_w, match->watts);
        least_lm = light > 0 ? fmin(least_lm, light) : least_lm;
        least_w = match->watts > 0 ? fmin(least_w, match->watts) : least_w;
    }
    *lm = fit_column(least_lm, most_lm, 0, match_light_at(report) == MTM_LIGHT_GAINED ? 7 : 6);
    *watts = fit_column(least_w, most_w, 1, 5);
}

/* " 90", "~90" where it rests on ideal lines, "-" where there is none. */
static void put_rf(const mtm_judgement *judgement, FILE *out)
{
    if (judgement->has_quality)
        (void)fprintf(out, "%*s%.0f", judgement->rf < 99.5 ? 3 : 2,
                      judgement->ideal_lines ? "~" : "", text_clean(judgement->rf, 0));
    else
        (void)fprintf(out, "%5s", "-");
}

static void write_row(const struct match_report *report, const mtm_match *match, int width,
                      struct column lm, struct column watts, FILE *out)
{
    bool lit = match->xyz.y > 0;
    mtm_white white = match_white(match, report->target->observer);
    const mtm_judgement *judgement = &report->judgement[match - report->match];
    char text[RUN_NAME_ROOM];

    match_name_run(report, match, text, sizeof text);
    swatch_put(&report->swatches, match->xy, out);
    text_put_name(text, swatch_columns(&report->swatches), width, out);
    (void)fprintf(out, "  %*.*f", lm.width, lm.decimals,
                  match->flux_lm * match_arriving(report, match));
    text_put_cell(match->watts, watts.width + 2, watts.decimals, out);
    text_put_cell(lit ? match->xy.x : NAN, 8, 4, out);
    text_put_cell(lit ? match->xy.y : NAN, 8, 4, out);
    text_put_cell(white.cct_k, 6, 0, out);
    text_put_signed_cell(white.duv, 9, 4, out);
    text_put_cell(lit ? match->delta_uv : NAN, 8, 4, out);
    if (report->quality)
        text_put_cell(judgement->has_quality ? judgement->ra : NAN, 5, 0, out);
    put_rf(judgement, out);
    match_reason(report, match, text, MATCH_REASON_ROOM);
    if (text[0] != '\0') {
        int column = before_reason(report, width, lm, watts);
        (void)fputs("  ", out);
        (void)text_put_wrapped(text, column, column, text_line_columns(out), out);
    }
    (void)fputc('\n', out);
}

/* Of the column: always of the 2 degree observer. */
static const char *light_unit(const struct match_report *report)
{
    return report->target->observer == MTM_OBSERVER_10 ? "lm" : match_output_unit(report);
}

static void put_right(const char *text, int width, FILE *out)
{
    (void)fprintf(out, "%*s%s", width - text_width(text), "", text);
}

static void write_colours(const struct match_report *report, FILE *out)
{
    struct column lm, watts;

    fit_columns(report, &lm, &watts);
    const int width = text_name_columns(name_width(report),
                                        before_reason(report, 0, lm, watts) + REASON_LEAST, out);
    swatch_put_none(&report->swatches, out);
    (void)fprintf(out, "%-*s  %*s  %*s       x       y   CCT      Duv   Δu'v'%s   Rf  %s\n", width,
                  "Unit", lm.width, "Output", watts.width, "Power", report->quality ? "   Ra" : "",
                  "Why no closer");
    swatch_put_none(&report->swatches, out);
    (void)fprintf(out, "%-*s  ", width, "");
    put_right(light_unit(report), lm.width, out);
    (void)fprintf(out, "  %*s                     K\n", watts.width, "W");
    for (size_t i = 0; i < report->count; i++) {
        write_row(report, &report->match[i], width, lm, watts, out);
        i = (size_t)(match_run_end(report, &report->match[i]) - report->match);
    }
}

static void say_quality(const void *of, FILE *out)
{
    const struct match_report *report = of;

    if (report->quality)
        match_put_pairs(report, out);
    match_put_basis(report, out);
}

void match_write_table(const void *data, FILE *out)
{
    const struct match_report *report = data;

    if (report->palette != NULL) {
        palette_write_table(report, out);
        return;
    }
    text_put_said(say_heading, report, out);
    write_colours(report, out);
    put_slot_blocks(report->slots, report->kinds, text_line_columns(out), out);
    (void)fputc('\n', out);
    match_put_sentences(report, out);
    text_put_said(say_quality, report, out);
}
