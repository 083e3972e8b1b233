/* SPDX-License-Identifier: MIT */
/* A match as a table for a person. */
#include "cli/match/match_out.h"

#include "cli/match/match_quality.h"
#include "cli/out/text.h"

#include <metamer/white.h>

#include <math.h>
#include <stdlib.h>
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
    char why[MATCH_REASON_ROOM];

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

static void write_slots(const struct match_report *report, int width, FILE *out)
{
    int before = width + 20; /* columns before the values */
    size_t a_line = (size_t)(LINE_WIDTH - before) / 4;

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
        for (size_t k = 0; k < unit->mode->slot_count; k++) {
            if (k > 0 && k % a_line == 0)
                (void)fprintf(out, "\n%*s", before, "");
            (void)fprintf(out, " %3d", slot[k]);
        }
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
    match_put_sentences(report, out);
    mtm_result result = report->judgement != NULL ? match_put_pairs(report, out, error) : MTM_OK;
    if (result == MTM_OK)
        match_put_basis(report, out);
    return result;
}
