/* SPDX-License-Identifier: MIT */
/* A match in a report: what was asked, what each unit gives, what it is sent. */
#include "cli/out/text.h"
#include "cli/report/report_out.h"

#include <math.h>
#include <stdlib.h>

static mtm_result draw_rendering(const void *subject, const mtm_picture_options *options,
                                 mtm_picture **out, mtm_error *error)
{
    return mtm_picture_of_match_rendering(subject, options, out, error);
}

static mtm_result draw_match(const void *subject, const mtm_picture_options *options,
                             mtm_picture **out, mtm_error *error)
{
    return mtm_picture_of_match(subject, options, out, error);
}

static void put_address(struct report_row *row, const mtm_unit *unit)
{
    if (unit->address > 0)
        report_put_text(row, "%d/%d", unit->universe, unit->address);
    else
        report_put(row, "open");
}

static void put_rf(struct report_row *row, const mtm_judgement *judgement)
{
    if (judgement->has_quality)
        report_put_text(row, "%s%.0f", judgement->ideal_lines ? "~" : "",
                        text_clean(judgement->rf, 0));
    else
        report_put(row, "-");
}

static void add_unit(mtm_report *report, const struct match_report *of, const mtm_match *match,
                     struct report_row *row)
{
    const mtm_unit *unit = match_unit_of(of, match);
    const mtm_judgement *judgement = &of->judgement[match - of->match];
    const mtm_white white = match_white(match, of->target->observer);
    const bool lit = match->xyz.y > 0;
    const double light = match->flux_lm * match_arriving(of, match);
    char why[MATCH_REASON_ROOM];

    report_put(row, unit->name);
    report_put_number(row, light, light < 10 ? 2 : 0);
    report_put_number(row, match->watts, 1);
    report_put_number(row, lit ? match->xy.x : NAN, 4);
    report_put_number(row, lit ? match->xy.y : NAN, 4);
    report_put_number(row, white.cct_k, 0);
    report_put_signed(row, white.duv, 4);
    report_put_number(row, lit ? match->delta_uv : NAN, 4);
    if (of->quality)
        report_put_number(row, judgement->has_quality ? judgement->ra : NAN, 0);
    put_rf(row, judgement);
    match_reason(of, match, why, sizeof why);
    report_put_text(row, "%s", why);
    report_end_row(report, row);
}

static void add_units(mtm_report *report, const struct match_report *of)
{
    mtm_report_column columns[11] = {{"Unit", false}};
    struct report_row row = {.count = 0};
    char output[32];
    size_t count = 1;

    (void)snprintf(output, sizeof output, "Output %s",
                   of->target->observer == MTM_OBSERVER_10 ? "lm" : match_output_unit(of));
    columns[count++] = (mtm_report_column){output, true};
    columns[count++] = (mtm_report_column){"Power W", true};
    columns[count++] = (mtm_report_column){"x", true};
    columns[count++] = (mtm_report_column){"y", true};
    columns[count++] = (mtm_report_column){"CCT K", true};
    columns[count++] = (mtm_report_column){"Duv", true};
    columns[count++] = (mtm_report_column){"Δu'v'", true};
    if (of->quality)
        columns[count++] = (mtm_report_column){"Ra", true};
    columns[count++] = (mtm_report_column){"Rf", true};
    columns[count++] = (mtm_report_column){"Why no closer", false};
    mtm_report_add_table(report, columns, count, 1);
    for (size_t i = 0; i < of->count; i++)
        add_unit(report, of, &of->match[i], &row);
}

static void say_sentences(const void *of, FILE *out)
{
    match_put_sentences(of, out);
}

static void say_quality(const void *of, FILE *out)
{
    const struct match_report *report = of;

    if (report->quality)
        match_put_pairs(report, out);
    match_put_basis(report, out);
}

/* A heading of the one colour, or of one of many: "night blue: what each unit gives". */
static void add_heading(mtm_report *report, const struct report_colour *colour, const char *words)
{
    char text[REPORT_CELL_ROOM];

    if (colour->name != NULL)
        (void)snprintf(text, sizeof text, "%s: %c%s", colour->name, words[0] + 'a' - 'A',
                       words + 1);
    else
        (void)snprintf(text, sizeof text, "%s", words);
    mtm_report_add_heading(report, 1, text);
}

void report_add_match(mtm_report *report, const struct report_colour *colour)
{
    const struct match_report *of = &colour->found.report;

    add_heading(report, colour, "What each unit gives");
    report_add_said(report, say_sentences, of);
    add_units(report, of);
    mtm_report_add_text(report,
                        "Predicted for the codes that are sent, rounding included. Δu'v': distance "
                        "from the target in CIE 1976 u'v'; 0.0011 is one step of a white "
                        "tolerance.");
    report_add_said(report, say_quality, of);
    add_heading(report, colour, "The match in the chromaticity diagram");
    mtm_report_add_picture(report, "target, gamuts, and what each unit gives", 1, draw_match,
                           &colour->drawn.view);
    add_heading(report, colour, "How the match renders");
    mtm_report_add_picture(report, "spectra, and what they do to colours", 1, draw_rendering,
                           &colour->light);
    add_heading(report, colour, "What each unit is sent");
    report_add_slots(report, of->slots, of->kinds);
}

/* The slots of one kind: its units by its channels. */
static void add_kind(mtm_report *report, const struct slot_source *slots,
                     const struct slot_kinds *kinds, size_t kind)
{
    const mtm_unit *first = slots->unit(slots->context, kinds->first[kind]);
    const mtm_mode *mode = first->mode;
    mtm_report_column columns[MTM_SLOTS_MAX + 2] = {{"Unit", false}, {"Address", false}};
    struct report_row row = {.count = 0};
    char text[SLOT_NAME_ROOM];
    size_t count = 2;

    (void)snprintf(text, sizeof text, "%s, mode %s: %s", mtm_fixture_name(first->fixture),
                   mode->name, kinds->view->title);
    mtm_report_add_heading(report, 2, text);
    char(*names)[SLOT_NAME_ROOM] = calloc(mode->slot_count, sizeof *names);
    for (size_t k = 0; k < mode->slot_count; k++) {
        if (!slot_is_shown(kinds->view, &mode->slots[k]))
            continue;
        if (names != NULL)
            slot_name(first->fixture, mode, &mode->slots[k], ' ', names[k], sizeof names[k]);
        columns[count++] = (mtm_report_column){names != NULL ? names[k] : "", true};
    }
    mtm_report_add_table(report, columns, count, 2);
    free(names);
    for (size_t i = 0; i < slots->rows; i++) {
        const mtm_unit *unit = slots->unit(slots->context, i);
        if (kinds->of_row[i] != kind)
            continue;
        report_put(&row, unit->name);
        put_address(&row, unit);
        for (size_t k = 0; k < mode->slot_count; k++) {
            if (!slot_is_shown(kinds->view, &mode->slots[k]))
                continue;
            slot_cell(kinds->view, unit->mode, slots->codes(slots->context, i, 0), k, text);
            bool left = kinds->dimmer_apart && slot_is_dimmer(&mode->slots[k]);
            report_put_text(&row, "%s", left ? "-" : text);
        }
        report_end_row(report, &row);
    }
}

void report_add_slots(mtm_report *report, const struct slot_source *slots,
                      const struct slot_kinds *kinds)
{
    mtm_report_add_text(report, "The values stand under the names of their channels, from the "
                                "unit's address on (universe/address).");
    for (size_t kind = 0; kind < kinds->count; kind++)
        add_kind(report, slots, kinds, kind);
}
