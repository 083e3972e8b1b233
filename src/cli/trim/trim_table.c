/* SPDX-License-Identifier: MIT */
/* Trim output: a trim, or what became of units, as a table with sentences. */
#include "base/number.h"
#include "cli/match/match_out.h"
#include "cli/out/text.h"
#include "cli/trim/trim_report.h"

#include <metamer/tolerance.h>

#include <math.h>

/* Units without a reading that the table names; JSON has them all. */
#define NOT_READ_NAMED 40
/* Columns behind a name, as far as the longest verdict ("cannot be told"); and of a comparison, as
 * far as the first emitter. */
#define UNIT_COLUMNS 84
#define MOVED_COLUMNS 66
#define MOVED_FIGURES 40 /* of them those of the unit as a whole */

/* The columns of names beside so many of figures. */
static int name_width(const struct trim_report *report, int rest, FILE *out)
{
    size_t count = report->moved != NULL ? report->moved_count : trim_rows(report);
    int width = 4;

    for (size_t i = 0; i < count; i++) {
        size_t unit = report->moved != NULL ? report->moved[i].unit : trim_row(report, i)->unit;
        width = text_widest(width, trim_unit_of(report, unit)->name);
    }
    return text_name_columns(width, rest, out);
}

static void say_heading(const void *of, FILE *out)
{
    const struct trim_report *report = of;
    size_t count = report->moved != NULL ? report->moved_count : trim_rows(report);

    (void)fprintf(out, "%s, %zu unit%s, target %s, tolerance %g steps (Δu'v' %.4f), goal %s\n",
                  mtm_rig_name(report->rig), count, count == 1 ? "" : "s",
                  report->target->description, report->steps, report->steps * MTM_STEP_UV,
                  match_goal_name(report->goal));
    const mtm_meter *meter = report->meter;
    (void)fprintf(out, "Meter%s%s: ", meter->name[0] != '\0' ? " " : "", meter->name);
    if (meter->xy > 0)
        (void)fprintf(out, "x, y ±%.4f, output ±%.1f %% (k = 2)\n\n", meter->xy,
                      100 * meter->output);
    else
        (void)fprintf(out, "its uncertainty is not stated, so nothing can be proved with it\n\n");
}

static void write_state(const mtm_trim_state *state, FILE *out)
{
    (void)fprintf(out, "  %.4f %5.1f", state->delta_uv, state->delta_uv / MTM_STEP_UV);
    text_put_signed_cell(state->duv, 8, 4, out);
}

static void write_uncertainty(const mtm_trim_state *state, FILE *out)
{
    if (state->expanded_uv > 0)
        (void)fprintf(out, " ±%.4f", state->expanded_uv);
    else
        (void)fprintf(out, " %7s", "-");
}

static const char *verdict_cell(const mtm_trim_state *state)
{
    /* where the meter's uncertainty is not stated, the heading says so */
    return state->verdict == MTM_VERDICT_UNSTATED ? "-" : mtm_verdict_text(state->verdict);
}

static bool was_read(const struct trim_report *report)
{
    for (size_t i = 0; i < trim_rows(report); i++) {
        if (trim_row(report, i)->before.measured)
            return true;
    }
    return false;
}

/* Names a set above the first of its units. */
static void put_set_head(const struct trim_report *report, size_t row, FILE *out)
{
    char text[200];
    size_t place = 0;
    const struct trim_set *set = trim_set_of(report, row, &place);

    if (place > 0)
        return;
    trim_set_text(report, set, text, sizeof text);
    if (text[0] != '\0')
        (void)fprintf(out, "%s\n", text);
}

static void write_units(const struct trim_report *report, int width, FILE *out)
{
    bool read = was_read(report);

    swatch_put_none(&report->swatches, out);
    (void)fprintf(out, "%-*s  %-20s  %-28sOutput Headroom  Verdict\n", width, "",
                  read ? "Before (as read)" : "Before (untrimmed)", "After (predicted)");
    swatch_put_none(&report->swatches, out);
    (void)fprintf(out, "%-*s   Δu'v' Steps     Duv   Δu'v' Steps     Duv      ±U     lm    lost\n",
                  width, "Unit");
    for (size_t i = 0; i < trim_rows(report); i++) {
        const mtm_trim_unit *one = trim_row(report, i);
        put_set_head(report, i, out);
        swatch_put(&report->swatches, mtm_xy_from_xyz(one->after.xyz), out);
        text_put_name(trim_unit_of(report, one->unit)->name, swatch_columns(&report->swatches),
                      width, out);
        if (read && !one->before.measured)
            (void)fprintf(out, "  %6s %5s %7s", "-", "-", "-");
        else
            write_state(&one->before, out);
        write_state(&one->after, out);
        write_uncertainty(&one->after, out);
        (void)fprintf(out, "%7.0f%6.1f %%  %s\n", one->after.xyz.y,
                      one->most > 0 ? fmax(0, 100 * (1 - one->after.xyz.y / one->most)) : 0,
                      verdict_cell(&one->after));
    }
}

static void write_proof(const struct trim_report *report, int width, FILE *out)
{
    if (!was_read(report))
        return;
    (void)fprintf(out, "\n%-*s  As read now: Δu'v'   Steps       ±U   Verdict\n", width, "Unit");
    for (size_t i = 0; i < trim_rows(report); i++) {
        const mtm_trim_unit *one = trim_row(report, i);
        if (!one->before.measured)
            continue;
        text_put_name(trim_unit_of(report, one->unit)->name, 0, width, out);
        (void)fprintf(out, "             %.4f  %6.1f ", one->before.delta_uv,
                      one->before.delta_uv / MTM_STEP_UV);
        write_uncertainty(&one->before, out);
        (void)fprintf(out, "  %s\n", verdict_cell(&one->before));
    }
}

/* What ±U means, and what this meter is good for. */
void trim_say_coverage(const void *of, FILE *out)
{
    const struct trim_report *report = of;
    const double provable_uv = trim_provable_uv(report);

    if (!(report->meter->xy > 0))
        return;
    (void)fprintf(
        out,
        "\n±U: expanded uncertainty of Δu'v' (k = 2): the meter, and what no reading told "
        "of curves, drift and droop.\n"
        "The smallest tolerance that this meter can prove is %.1f steps (Δu'v' %.4f).\n",
        provable_uv / MTM_STEP_UV, provable_uv);
}

/* "  lime 0.9549", in the next line below the first of them where this one is full. Returns the
 * column that it has come to. */
static int put_emitter(const char *name, double value, int decimals, int at, int indent, FILE *out)
{
    int columns = 2 + text_width(name) + snprintf(NULL, 0, " %.*f", decimals, value);

    if (at > indent && at + columns > text_line_columns(out)) {
        (void)fprintf(out, "\n%*s", indent, "");
        at = indent;
    }
    (void)fprintf(out, "  %s %.*f", name, decimals, value);
    return at + columns;
}

static void write_factors(const struct trim_report *report, int width, FILE *out)
{
    (void)fprintf(out, "\n%-*s  Emitter factors, for consoles that scale codes by unit\n", width,
                  "Unit");
    for (size_t i = 0; i < trim_rows(report); i++) {
        const mtm_trim_unit *one = trim_row(report, i);
        const mtm_fixture *fixture = trim_unit_of(report, one->unit)->fixture;
        text_put_name(trim_unit_of(report, one->unit)->name, 0, width, out);
        int at = width;
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
            at = put_emitter(mtm_fixture_emitter(fixture, k)->name, one->factor[k], 4, at, width,
                             out);
        (void)fputc('\n', out);
    }
}

static size_t count_verdict(const struct trim_report *report, mtm_verdict verdict)
{
    size_t count = 0;

    for (size_t i = 0; i < trim_rows(report); i++)
        count += trim_row(report, i)->after.verdict == verdict ? 1 : 0;
    return count;
}

static void sentence_fit(const struct trim_report *report, FILE *out)
{
    const mtm_residual *worst = NULL;

    for (size_t i = 0; i < mtm_calibration_residual_count(report->calibration); i++) {
        const mtm_residual *one = mtm_calibration_residual(report->calibration, i);
        if (worst == NULL || mtmi_exceeds(one->delta_uv, worst->delta_uv))
            worst = one;
    }
    if (worst == NULL)
        return;
    const mtm_reading *reading = mtm_readings_at(report->readings, worst->reading);
    (void)fprintf(out,
                  "The model misses the readings by Δu'v' %.4f at most: %s, reading at line %zu "
                  "(output %+.1f %%)%s.\n",
                  worst->delta_uv, trim_unit_of(report, reading->unit)->name, reading->line,
                  text_clean(100 * worst->output_error, 1),
                  worst->disagrees ? "; it was left out" : "");
}

/* Units that no reading speaks of are left as they are, and that must not be overlooked. */
static void sentence_not_read(const struct trim_report *report, FILE *out)
{
    size_t left = 0;

    for (size_t i = 0; i < mtm_rig_unit_count(report->rig); i++) {
        if (!trim_not_read(report, i))
            continue;
        if (left++ < NOT_READ_NAMED)
            (void)fprintf(out, "%s%s", left == 1 ? "Not read, so not trimmed: " : ", ",
                          trim_unit_of(report, i)->name);
    }
    if (left > NOT_READ_NAMED)
        (void)fprintf(out, " and %zu more", left - NOT_READ_NAMED);
    if (left > 0)
        (void)fprintf(out, ".\n");
}

static void sentence_verdicts(const struct trim_report *report, FILE *out)
{
    static const char *const whose[] = {[MTM_ALIKE_ALL] = "",
                                        [MTM_ALIKE_KIND] = "each by the white of its kind, ",
                                        [MTM_ALIKE_GROUP] = "each by the white of its group, "};
    size_t inside = count_verdict(report, MTM_VERDICT_INSIDE);
    size_t outside = count_verdict(report, MTM_VERDICT_OUTSIDE);
    size_t open = count_verdict(report, MTM_VERDICT_OPEN);

    if (report->meter->xy > 0)
        (void)fprintf(
            out,
            "After trimming, %s%zu inside the tolerance, %zu outside, %zu to be measured, "
            "%zu cannot be told with this meter.\n",
            whose[report->alike], inside, outside, count_verdict(report, MTM_VERDICT_TO_MEASURE),
            open);
    trim_say_to_measure(report, out);
    for (size_t i = 0; i < trim_rows(report); i++) {
        const mtm_trim_unit *one = trim_row(report, i);
        char why[MATCH_REASON_ROOM];
        trim_reason(report, one, why, sizeof why);
        if (one->after.delta_uv > report->steps * MTM_STEP_UV)
            (void)fprintf(out, "%s is predicted beyond the tolerance: %s.\n",
                          trim_unit_of(report, one->unit)->name, why);
    }
}

static void say_before(const void *of, FILE *out)
{
    say_heading(of, out);
    trim_say_together(of, out);
}

void trim_say_after(const void *of, FILE *out)
{
    trim_say_output(of, out);
    trim_say_kept(of, out);
    sentence_fit(of, out);
    sentence_verdicts(of, out);
    sentence_not_read(of, out);
    trim_say_meant(of, out);
}

static void write_trim(const struct trim_report *report, int width, FILE *out)
{
    text_put_said(say_before, report, out);
    write_units(report, width, out);
    write_proof(report, width, out);
    text_put_said(trim_say_coverage, report, out);
    put_slot_blocks(report->slots, report->kinds, text_line_columns(out), out);
    write_factors(report, width, out);
    text_put_said(trim_say_after, report, out);
}

static void say_left(const void *of, FILE *out)
{
    const struct trim_report *report = of;

    (void)fprintf(out,
                  "\nIf all are to match again, %.0f lm are left of %.0f lm (%+.1f %%). This holds "
                  "if the meter stood as it did then.\n",
                  report->new_output, report->old_output,
                  text_percent_more(report->new_output, report->old_output));
}

static void write_moved(const struct trim_report *report, int width, FILE *out)
{
    text_put_said(say_heading, report, out);
    (void)fprintf(out, "%-*s  Moved   Steps  Output  Most then   now  Emitters' output\n", width,
                  "Unit");
    (void)fprintf(out, "%-*s  Δu'v'           now/then       lm    lm  now/then\n", width, "");
    for (size_t i = 0; i < report->moved_count; i++) {
        const mtm_moved *one = &report->moved[i];
        const mtm_fixture *fixture = trim_unit_of(report, one->unit)->fixture;
        text_put_name(trim_unit_of(report, one->unit)->name, 0, width, out);
        (void)fprintf(out, "  %.4f  %5.1f  %5.1f %%  %8.0f  %4.0f", one->delta_uv,
                      one->delta_uv / MTM_STEP_UV, 100 * one->output, one->old_most, one->new_most);
        int at = width + MOVED_FIGURES;
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
            at = put_emitter(mtm_fixture_emitter(fixture, k)->name, one->emitter_output[k], 2, at,
                             width + MOVED_FIGURES, out);
        (void)fputc('\n', out);
    }
    text_put_said(say_left, report, out);
}

void trim_write_table(const void *data, FILE *out)
{
    const struct trim_report *report = data;

    if (report->moved != NULL)
        write_moved(report, name_width(report, MOVED_COLUMNS, out), out);
    else
        write_trim(report,
                   name_width(report, UNIT_COLUMNS + swatch_columns(&report->swatches), out), out);
}
