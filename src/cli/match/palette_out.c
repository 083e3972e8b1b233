/* SPDX-License-Identifier: MIT */
/* Matches of the colours of a palette: units by colours, as a table, JSON or CSV. */
#include "cli/match/match_out.h"

#include "base/number.h"
#include "cli/out/json.h"
#include "cli/out/text.h"

#include <metamer/tolerance.h>

#include <math.h>
#include <string.h>

/* Letters of names of units, of colours and of targets; longer ones are cut. */
#define NAME_MAX_WIDTH 40
#define COLOUR_MAX_WIDTH 24
#define TARGET_MAX_WIDTH 28
/* Letters of a word of a head, and of a distance: "0.0011". */
#define WORD_MAX 12
#define CELL_WIDTH 6

static size_t colour_count(const struct match_report *report)
{
    return mtm_palette_count(report->palette->palette);
}

static const char *colour_name(const struct match_report *report, size_t colour)
{
    return mtm_palette_colour_name(report->palette->palette, colour);
}

const mtm_match *palette_farthest(const struct match_report *colour, size_t kind)
{
    const mtm_match *farthest = NULL;

    for (size_t i = 0; i < colour->count; i++) {
        const mtm_match *match = &colour->match[i];
        if (colour->kinds->of_row[i] != kind)
            continue;
        if (farthest == NULL || match->delta_uv > farthest->delta_uv + MTM_ON_TARGET_UV / 100)
            farthest = match;
    }
    return farthest;
}

static size_t count_of_kind(const struct match_report *report, size_t kind)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++)
        count += report->kinds->of_row[i] == kind;
    return count;
}

/* Rows of the table: kinds, or units, of which a run stands in one line. */
static size_t row_count(const struct match_report *report)
{
    return report->palette->by_kind ? report->kinds->count : report->count;
}

/* The last unit that the row of a unit is for: it says the same in every colour. */
static size_t row_end(const struct match_report *report, size_t row)
{
    for (;; row++) {
        for (size_t k = 0; k < colour_count(report); k++) {
            const struct match_report *colour = &report->palette->colour[k];
            if (!match_goes_on(colour, &colour->match[row]))
                return row;
        }
    }
}

static size_t next_row(const struct match_report *report, size_t row)
{
    return report->palette->by_kind ? row + 1 : row_end(report, row) + 1;
}

/* "wash-1 to wash-8", "five-colour wash, 16-bit (8)". */
static void name_row(const struct match_report *report, size_t row, char *text, size_t room)
{
    if (!report->palette->by_kind) {
        put_run_name(match_unit_of(report, &report->match[row])->name,
                     match_unit_of(report, &report->match[row_end(report, row)])->name, text, room);
        return;
    }
    const mtm_unit *unit = match_unit_of(report, &report->match[report->kinds->first[row]]);
    char limits[TEXT_LIMITS_ROOM];
    text_limits(unit->fixture, limits, sizeof limits);
    bool limited = limits[0] != '\0'; /* the name of one tells more than a list that is cut */
    (void)snprintf(text, room, "%s%.80s%s%.120s, %.60s (%zu)", limited ? "limits of " : "",
                   limited ? unit->name : "", limited ? ": " : "", mtm_fixture_name(unit->fixture),
                   unit->mode->name, count_of_kind(report, row));
}

static const mtm_match *match_of_row(const struct match_report *report, size_t row, size_t colour)
{
    const struct match_report *one = &report->palette->colour[colour];

    return report->palette->by_kind ? palette_farthest(one, row) : &one->match[row];
}

static int names_width(const struct match_report *report)
{
    int width = 4;

    for (size_t row = 0; row < row_count(report); row = next_row(report, row)) {
        char text[RUN_NAME_ROOM];
        name_row(report, row, text, sizeof text);
        width = text_widest(width, text);
    }
    return width < NAME_MAX_WIDTH ? width : NAME_MAX_WIDTH;
}

static int column_width(const struct match_report *report, size_t colour)
{
    int width = CELL_WIDTH;
    char word[RUN_NAME_ROOM];

    for (int line = 0;; line++) {
        text_word(colour_name(report, colour), line, word, sizeof word);
        if (word[0] == '\0')
            return width < WORD_MAX ? width : WORD_MAX;
        width = text_widest(width, word);
    }
}

/* One line of the colours' names; false if there is nothing in it. */
static bool put_heads(const struct match_report *report, int width, size_t from, size_t to,
                      int line, FILE *out)
{
    int pending = width;
    bool any = false;

    for (size_t k = from; k < to; k++) {
        char word[RUN_NAME_ROOM];
        int column = column_width(report, k);
        text_word(colour_name(report, k), line, word, sizeof word);
        int letters = text_width(word) < column ? text_width(word) : column;
        pending += 2 + column;
        if (letters == 0)
            continue;
        if (line == 0 && !any)
            pending -= fprintf(out, "%s", report->palette->by_kind ? "Kind" : "Unit");
        (void)fprintf(out, "%*s", pending - letters, "");
        text_put_cut(word, column, out);
        pending = 0;
        any = true;
    }
    if (any)
        (void)fputc('\n', out);
    return any;
}

static void put_row(const struct match_report *report, int width, size_t row, size_t from,
                    size_t to, FILE *out)
{
    char text[RUN_NAME_ROOM];

    name_row(report, row, text, sizeof text);
    text_put_name(text, 0, width, out);
    for (size_t k = from; k < to; k++) {
        const mtm_match *match = match_of_row(report, row, k);
        int column = column_width(report, k);
        if (match->xyz.y > 0)
            text_put_cell(match->delta_uv, 2 + column, 4, out);
        else
            (void)fprintf(out, "%*s", 2 + column, "dark");
    }
    (void)fputc('\n', out);
}

/* As many colours side by side as a line has room for. */
static void put_distances(const struct match_report *report, FILE *out)
{
    const int width = names_width(report), line_width = text_line_columns(out);

    for (size_t from = 0, to = 0; from < colour_count(report); from = to) {
        int used = width;
        while (to < colour_count(report) &&
               (to == from || used + 2 + column_width(report, to) <= line_width))
            used += 2 + column_width(report, to++);
        if (from > 0)
            (void)fputc('\n', out);
        for (int line = 0; put_heads(report, width, from, to, line, out);)
            line++;
        for (size_t row = 0; row < row_count(report); row = next_row(report, row))
            put_row(report, width, row, from, to, out);
    }
}

/* "  front-1 0.0120", below where the line has no room. */
static void put_farthest(const char *name, double delta_uv, int at, FILE *out)
{
    if (at + 2 + text_width(name) + 7 > text_line_columns(out))
        (void)fprintf(out, "\n%*s", at / 2, "");
    (void)fprintf(out, "  %s %.4f", name, delta_uv);
}

/* What each colour is, how well the units agree in it, and who is farthest. */
static void put_colours(const struct match_report *report, FILE *out)
{
    const int before = swatch_columns(&report->swatches);
    int name = 6, target = 6;

    for (size_t k = 0; k < colour_count(report); k++) {
        name = text_widest(name, colour_name(report, k));
        target = text_widest(target, report->palette->colour[k].target->description);
    }
    name = name < COLOUR_MAX_WIDTH ? name : COLOUR_MAX_WIDTH;
    target = target < TARGET_MAX_WIDTH ? target : TARGET_MAX_WIDTH;
    (void)fputc('\n', out);
    swatch_put_none(&report->swatches, out);
    (void)fprintf(out, "%-*s  %-*s       x       y   Apart  Farthest\n", name, "Colour", target,
                  "Target");
    for (size_t k = 0; k < colour_count(report); k++) {
        const struct match_report *colour = &report->palette->colour[k];
        const mtm_match *farthest = mtm_match_farthest(colour->match, colour->count);
        swatch_put(&report->swatches, colour->target->xy, out);
        text_put_name(colour_name(report, k), before, name, out);
        (void)fputs("  ", out);
        text_put(colour->target->description, target, out);
        text_put_cell(colour->target->xy.x, 8, 4, out);
        text_put_cell(colour->target->xy.y, 8, 4, out);
        text_put_cell(colour->spread_uv, 8, 4, out);
        if (farthest->delta_uv > MTM_ON_TARGET_UV)
            put_farthest(match_unit_of(colour, farthest)->name, farthest->delta_uv,
                         before + name + 2 + target + 24, out);
        (void)fputc('\n', out);
    }
    (void)fprintf(out,
                  "Apart: how far the lit units are from each other, Δu'v'; 0.0011 is one step "
                  "of a white tolerance.\n");
}

static size_t count_left_dark(const struct match_report *report)
{
    size_t count = 0;

    for (size_t k = 0; k < colour_count(report); k++) {
        for (size_t i = 0; i < report->count; i++)
            count += report->palette->colour[k].match[i].left_dark_uv > 0;
    }
    return count;
}

/* What is common in each colour, where that was asked for. */
static void put_common(const struct match_report *report, FILE *out)
{
    for (size_t k = 0; k < colour_count(report); k++) {
        const struct match_report *colour = &report->palette->colour[k];
        if (!colour->together || colour->common.left_dark == colour->count)
            continue;
        (void)fprintf(out, "%s: ", colour_name(report, k));
        match_put_together(colour, out);
    }
}

static void put_held(const struct match_report *report, FILE *out)
{
    size_t held = 0;

    for (size_t k = 0; k < colour_count(report); k++)
        for (size_t i = 0; i < report->count; i++)
            held +=
                match_was_held(&report->palette->colour[k], &report->palette->colour[k].match[i]);
    if (held > 0)
        (void)fprintf(out,
                      "Output lowered for the rating of a port or supply in %zu of %zu matches.\n",
                      held, report->count * colour_count(report));
}

static void put_tolerance(const struct match_report *report, FILE *out)
{
    size_t missed = 0;

    if (!report->has_tolerance)
        return;
    for (size_t k = 0; k < colour_count(report); k++) {
        for (size_t i = 0; i < report->count; i++)
            missed +=
                match_misses(&report->palette->colour[k], &report->palette->colour[k].match[i]);
    }
    (void)fprintf(out, "Tolerance Δu'v' %.4f: ", report->tolerance);
    if (missed == 0)
        (void)fprintf(out, "met.\n");
    else
        (void)fprintf(out, "missed in %zu of %zu matches.\n", missed,
                      report->count * colour_count(report));
}

/* How many are as wanted, and which is farthest. */
static void put_agreement(const struct match_report *report, FILE *out)
{
    const mtm_match *worst = NULL;
    size_t within = 0, of = 0;
    char text[RUN_NAME_ROOM + 256];

    for (size_t k = 0; k < colour_count(report); k++) {
        const struct match_report *colour = &report->palette->colour[k];
        for (size_t i = 0; i < colour->count; i++) {
            const mtm_match *match = &colour->match[i];
            bool lit = match->xyz.y > 0;
            within += lit && !mtmi_exceeds(match->delta_uv, MTM_STEP_UV);
            if (!lit || (worst != NULL && !mtmi_exceeds(match->delta_uv, worst->delta_uv)))
                continue;
            worst = match;
            of = k;
        }
    }
    int used = snprintf(text, sizeof text,
                        "%zu of %zu matches agree with their colour within one step (Δu'v' %.4f)",
                        within, report->count * colour_count(report), MTM_STEP_UV);
    if (worst != NULL && worst->delta_uv > MTM_ON_TARGET_UV)
        used +=
            snprintf(text + used, sizeof text - (size_t)used,
                     "; %.100s in %.100s is farthest, by Δu'v' %.4f",
                     match_unit_of(report, worst)->name, colour_name(report, of), worst->delta_uv);
    (void)snprintf(text + used, sizeof text - (size_t)used, ".");
    text_put_sentence(text, out);
}

void palette_put_sentences(const struct match_report *report, FILE *out)
{
    match_put_kept_back(report, count_left_dark(report), out);
    put_held(report, out);
    put_agreement(report, out);
    put_tolerance(report, out);
}

void palette_write_table(const struct match_report *report, FILE *out)
{
    const char *index = match_index_name(report);

    (void)fprintf(
        out, "%s, %zu unit%s, %zu colour%s of %s, %s observer, goal %s%s%s: Δu'v' from each\n\n",
        mtm_rig_name(report->rig), report->count, report->count == 1 ? "" : "s",
        colour_count(report), colour_count(report) == 1 ? "" : "s",
        mtm_palette_name(report->palette->palette), match_observer_name(report->target->observer),
        match_goal_name(report->goal), index != NULL ? " by " : "", index != NULL ? index : "");
    put_distances(report, out);
    if (report->palette->values)
        put_slot_blocks(report->slots, report->kinds, text_line_columns(out), out);
    put_colours(report, out);
    put_common(report, out);
    palette_put_sentences(report, out);
}

cJSON *palette_write_json(const struct match_report *report)
{
    cJSON *root = cJSON_CreateObject();

    json_add_text(root, "rig", mtm_rig_name(report->rig));
    json_add_text(root, "palette", mtm_palette_name(report->palette->palette));
    json_add_number(root, "observer_deg", report->target->observer == MTM_OBSERVER_10 ? 10 : 2, 0);
    json_add_text(root, "goal", match_goal_name(report->goal));
    json_add_text(root, "index", match_index_name(report));
    json_add_text(root, "intensity", match_intensity_name(report));
    cJSON *colours = json_add_array(root, "colours");
    for (size_t k = 0; k < colour_count(report); k++) {
        const struct match_report *colour = &report->palette->colour[k];
        cJSON *object = json_append_object(colours);
        json_add_text(object, "name", colour_name(report, k));
        (void)json_add_target(object, colour->target);
        cJSON *list = json_add_array(object, report->palette->by_kind ? "kinds" : "units");
        for (size_t row = 0; row < row_count(report); row++) {
            cJSON *unit = match_json_unit(colour, match_of_row(report, row, k));
            char limits[TEXT_LIMITS_ROOM];
            text_limits(match_unit_of(colour, match_of_row(report, row, k))->fixture, limits,
                        sizeof limits);
            if (report->palette->by_kind)
                json_add_text(unit, "limits", limits[0] != '\0' ? limits : NULL);
            if (report->palette->by_kind)
                json_add_number(unit, "units", (double)count_of_kind(report, row), 0);
            json_append(list, unit);
        }
        if (colour->together)
            match_json_common(object, colour);
        json_add_number(object, "agreement_delta_uv", colour->spread_uv, 6);
    }
    return root;
}

void palette_write_csv(const struct match_report *report, FILE *out)
{
    bool by_kind = report->palette->by_kind;
    char limits[TEXT_LIMITS_ROOM];

    (void)fprintf(out, "colour,target_x,target_y,%s", by_kind ? "fixture,mode,limits,units," : "");
    match_put_csv_heads(report, out);
    (void)fputc('\n', out);
    for (size_t k = 0; k < colour_count(report); k++) {
        const struct match_report *colour = &report->palette->colour[k];
        for (size_t row = 0; row < row_count(report); row++) {
            const mtm_match *match = match_of_row(report, row, k);
            const mtm_unit *unit = match_unit_of(report, match);
            text_put_csv(colour_name(report, k), out);
            text_put_csv_number(colour->target->xy.x, 6, out);
            text_put_csv_number(colour->target->xy.y, 6, out);
            (void)fputc(',', out);
            if (by_kind) {
                text_put_csv(mtm_fixture_name(unit->fixture), out);
                (void)fputc(',', out);
                text_put_csv(unit->mode->name, out);
                (void)fputc(',', out);
                text_limits(unit->fixture, limits, sizeof limits);
                text_put_csv(limits, out);
                (void)fprintf(out, ",%zu,", count_of_kind(report, row));
            }
            match_put_csv_row(colour, match, out);
            (void)fputc('\n', out);
        }
    }
}
