/* SPDX-License-Identifier: MIT */
/* A trim in a report: the meter, what each unit was and will be, and what that rests on. */
#include "cli/report/report_trim.h"

#include "cli/out/text.h"
#include "cli/trim/trim_files.h"

#include "base/error.h"

#include <metamer/tolerance.h>

#include <math.h>
#include <stdlib.h>

#define DEFAULT_STEPS 3.0

static mtm_result load(const struct args *args, const struct opened *opened,
                       struct report_trim *trim, mtm_error *error)
{
    mtm_result result =
        trim_load(args, args_text(args, "trim", ""), opened->rig, &trim->readings, error);

    if (result == MTM_OK)
        result = trim_set_meter(args, trim->readings, error);
    if (result == MTM_OK)
        result = trim_keep(args, trim->readings, error);
    if (result == MTM_OK)
        result = mtm_calibration_fit(trim->readings, opened->rig, NULL, &trim->calibration, error);
    trim->meant = calloc(mtm_rig_unit_count(opened->rig) + 1, sizeof *trim->meant);
    if (result == MTM_OK && trim->meant == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; result == MTM_OK && i < opened->unit_count; i++)
        trim->meant[opened->unit[i]] = true;
    return result;
}

mtm_result report_trim_find(const struct args *args, const struct match_asked *asked,
                            const mtm_target *target, struct report_trim *trim, mtm_error *error)
{
    const struct opened *opened = &asked->opened;
    const mtm_alike_info *alike = args_choice(args, "alike");
    mtm_result result = load(args, opened, trim, error);

    if (result != MTM_OK)
        return result;
    const mtm_trim_request request = {
        .target = target->xy,
        .steps = args_number(args, "steps", DEFAULT_STEPS),
        .output = asked->request.output,
        .goal = asked->request.goal,
        .index = asked->request.index,
        .reference = target->has_spectrum ? &target->spectrum : NULL,
        .meant = trim->meant,
        .together = args_has(args, "together"),
    };
    result = trim_sets_run(trim->calibration, opened->rig, NULL, mtm_readings_meter(trim->readings),
                           &request, alike->alike, &trim->sets, error);
    if (result != MTM_OK)
        return result;
    trim->report = (struct trim_report){.rig = opened->rig,
                                        .target = target,
                                        .steps = request.steps,
                                        .goal = request.goal,
                                        .meter = mtm_readings_meter(trim->readings),
                                        .readings = trim->readings,
                                        .calibration = trim->calibration,
                                        .meant = trim->meant,
                                        .alike = alike->alike,
                                        .sets = trim->sets};
    trim->slots = trim_slot_source(&trim->report);
    result = slot_kinds_create(&trim->slots, args_choice(args, "as"), &trim->kinds, error);
    trim->report.slots = &trim->slots;
    trim->report.kinds = &trim->kinds;
    return result;
}

void report_trim_free(struct report_trim *trim)
{
    slot_kinds_free(&trim->kinds);
    trim_sets_free(&trim->sets);
    free(trim->meant);
    mtm_calibration_free(trim->calibration);
    mtm_readings_free(trim->readings);
}

bool report_trimmed(const struct report_trim *trim, size_t unit)
{
    return trim->calibration != NULL && trim->meant[unit] &&
           mtm_calibration_unit(trim->calibration, unit)->calibrated;
}

bool report_trim_missed(const struct report_trim *trim)
{
    for (size_t i = 0; trim->calibration != NULL && i < trim_rows(&trim->report); i++) {
        if (trim_row(&trim->report, i)->after.verdict != MTM_VERDICT_INSIDE)
            return true;
    }
    return trim->calibration != NULL && trim_in_doubt(trim->readings, trim->calibration);
}

static void add_fact(mtm_report *report, const char *what, const char *text)
{
    mtm_report_add_row(report, (const char *const[]){what, text});
}

/* "±0.0020 (k = 2)", where it is stated. */
static void add_stated(mtm_report *report, const char *what, double value, int decimals,
                       const char *unit, const char *behind)
{
    char text[80];

    if (!(value > 0))
        return;
    (void)snprintf(text, sizeof text, "±%.*f%s%s", decimals, value, unit, behind);
    add_fact(report, what, text);
}

static void add_meter(mtm_report *report, const struct args *args, const struct trim_report *of)
{
    static const mtm_report_column columns[] = {{NULL, false}, {NULL, false}};
    const mtm_meter *meter = of->meter;
    char text[64];

    mtm_report_add_heading(report, 2, "The meter");
    mtm_report_add_table(report, columns, 2, 1);
    if (meter->name[0] != '\0')
        add_fact(report, "Meter", meter->name);
    if (meter->certificate[0] != '\0')
        add_fact(report, "Certificate", meter->certificate);
    if (!(meter->xy > 0))
        add_fact(report, "Uncertainty", "not stated, so nothing can be proved with it");
    add_stated(report, "Uncertainty of x and y", meter->xy, 4, "", " (k = 2)");
    add_stated(report, "Uncertainty of output", 100 * meter->output, 1, " %", " (k = 2)");
    add_stated(report, "x and y repeated", meter->repeat_xy, 4, "", " (standard deviation)");
    add_stated(report, "Output repeated", 100 * meter->repeat_output, 2, " %",
               " (standard deviation)");
    if (args_has(args, "meter"))
        add_fact(report, "Corrected by", args_text(args, "meter", ""));
    (void)snprintf(text, sizeof text, "%zu", mtm_readings_count(of->readings));
    add_fact(report, "Readings", text);
}

static void put_state(struct report_row *row, const mtm_trim_state *state)
{
    report_put_number(row, state->delta_uv, 4);
    report_put_number(row, state->delta_uv / MTM_STEP_UV, 1);
    report_put_signed(row, state->duv, 4);
}

/* Said by a word and a shape. */
static const char *verdict_shape(mtm_verdict verdict)
{
    return verdict == MTM_VERDICT_INSIDE ? "● " : verdict == MTM_VERDICT_OUTSIDE ? "▲ " : "◐ ";
}

static void add_unit(mtm_report *report, const struct trim_report *of, size_t index,
                     struct report_row *row)
{
    const mtm_trim_unit *one = trim_row(of, index);
    const mtm_trim_state *after = &one->after;
    char text[200];

    report_put(row, trim_unit_of(of, one->unit)->name);
    if (of->alike != MTM_ALIKE_ALL) {
        trim_set_text(of, trim_set_of(of, index, NULL), text, sizeof text);
        report_put_text(row, "%s", text);
    }
    put_state(row, &one->before);
    put_state(row, after);
    if (after->expanded_uv > 0)
        report_put_text(row, "±%.4f", after->expanded_uv);
    else
        report_put(row, "-");
    report_put_number(row, after->xyz.y, 0);
    report_put_text(row, "%.1f %%",
                    one->most > 0 ? fmax(0, 100 * (1 - after->xyz.y / one->most)) : 0);
    if (after->verdict == MTM_VERDICT_UNSTATED)
        report_put(row, "-");
    else
        report_put_text(row, "%s%s", verdict_shape(after->verdict),
                        mtm_verdict_text(after->verdict));
    report_end_row(report, row);
}

static void add_units(mtm_report *report, const struct trim_report *of)
{
    mtm_report_column columns[12] = {{"Unit", false}};
    struct report_row row = {.count = 0};
    size_t count = 1;

    if (of->alike != MTM_ALIKE_ALL)
        columns[count++] = (mtm_report_column){"Alike", false};
    columns[count++] = (mtm_report_column){"Before Δu'v'", true};
    columns[count++] = (mtm_report_column){"Before steps", true};
    columns[count++] = (mtm_report_column){"Before Duv", true};
    columns[count++] = (mtm_report_column){"After Δu'v'", true};
    columns[count++] = (mtm_report_column){"After steps", true};
    columns[count++] = (mtm_report_column){"After Duv", true};
    columns[count++] = (mtm_report_column){"±U", true};
    columns[count++] = (mtm_report_column){"Output, lm", true};
    columns[count++] = (mtm_report_column){"Headroom lost", true};
    columns[count++] = (mtm_report_column){"Verdict", false};
    mtm_report_add_table(report, columns, count, 1);
    for (size_t i = 0; i < trim_rows(of); i++)
        add_unit(report, of, i, &row);
}

static void add_factors(mtm_report *report, const struct trim_report *of)
{
    static const mtm_report_column columns[] = {{"Unit", false},
                                                {"Factors of its emitters", false}};
    struct report_row row = {.count = 0};

    mtm_report_add_heading(report, 2, "Emitter factors, for consoles that scale codes by unit");
    mtm_report_add_table(report, columns, 2, 1);
    for (size_t i = 0; i < trim_rows(of); i++) {
        const mtm_trim_unit *one = trim_row(of, i);
        const mtm_fixture *fixture = trim_unit_of(of, one->unit)->fixture;
        char text[MTM_EMITTERS_MAX * 32] = "";
        size_t used = 0;
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture) && used < sizeof text; k++)
            used +=
                (size_t)snprintf(text + used, sizeof text - used, "%s%.20s %.4f", k > 0 ? ", " : "",
                                 mtm_fixture_emitter(fixture, k)->name, one->factor[k]);
        report_put(&row, trim_unit_of(of, one->unit)->name);
        report_put_text(&row, "%s", text);
        report_end_row(report, &row);
    }
}

static mtm_result draw_units(const void *subject, const mtm_picture_options *options,
                             mtm_picture **out, mtm_error *error)
{
    return trim_draw(subject, options, out, error);
}

/* Rows left out or doubtful, by the reader and by the fit. */
static void say_notes(const void *of, FILE *out)
{
    const struct trim_report *report = of;

    trim_show_reading_notes(report->readings, "readings", out);
    trim_show_fit_notes(report->calibration, "readings", out);
}

void report_add_trim(mtm_report *report, const struct args *args, const struct report_trim *trim)
{
    const struct trim_report *of = &trim->report;
    char text[200];

    mtm_report_add_heading(report, 1, "What each unit was trimmed to");
    (void)snprintf(text, sizeof text,
                   "Tolerance %g steps (Δu'v' %.4f), %zu unit%s read and trimmed.", of->steps,
                   of->steps * MTM_STEP_UV, trim_rows(of), trim_rows(of) == 1 ? "" : "s");
    mtm_report_add_text(report, text);
    report_add_said(report, trim_say_after, of);
    add_units(report, of);
    report_add_said(report, trim_say_coverage, of);
    add_meter(report, args, of);
    report_add_said(report, say_notes, of);
    add_factors(report, of);
    mtm_report_add_heading(report, 1, "The trim in the chromaticity diagram");
    mtm_report_add_picture(report, "what units gave and will give", 1, draw_units, of);
    mtm_report_add_heading(report, 1, "What each trimmed unit is sent");
    report_add_slots(report, &trim->slots, &trim->kinds);
}

static const void *alike_row_at(size_t index)
{
    return mtm_alike_at(index);
}

const struct option_spec report_trim_options[] = {
    OPTION_TEXT(
        "trim", "READINGS",
        "what a meter read (as \"metamer trim\" takes it): units that were read are trimmed "
        "to the colour, the others matched",
        .against = "calibration observer"),
    OPTION_NUMBER("steps", "N", 0.1, 100,
                  "tolerance: a circle of N steps of 0.0011 in u'v' (ANSI C78.377); 3 by default",
                  .with = "trim"),
    OPTION_CHOICE_AT("alike", "WAY", mtm_alike_info, alike_row_at,
                     "which of the trimmed units are to agree: all (the default), those of each "
                     "kind, or those of each group of the rig",
                     .with = "trim"),
    OPTION_TEXT("keep", "LINE",
                "take the reading of this line (all: every reading) whatever it looks like; may be "
                "given several times",
                .repeats = true, .with = "trim"),
    OPTION_TEXT("column", "NAME=HEADING",
                "the column of a table under this heading holds NAME; may be given several times",
                .repeats = true, .with = "trim"),
    OPTION_TEXT("meter", "FILE", "correct the readings by this matrix between meters",
                .with = "trim"),
    OPTION_NUMBER("meter-xy", "U", 0, 0.1,
                  "expanded uncertainty (k = 2) of x and y, as the meter's certificate states it",
                  .with = "trim"),
    OPTION_NUMBER("meter-output", "U", 0, 1,
                  "expanded uncertainty (k = 2) of Y, relative: 0.04 is 4 %", .with = "trim"),
    OPTION_TEXT("assume", "NAME=NUMBER,...", "what is assumed of what no reading told",
                .with = "trim"),
    {0},
};
