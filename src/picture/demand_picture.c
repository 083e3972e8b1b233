/* SPDX-License-Identifier: MIT */
/* The picture of a demand: what ports, supplies and circuits carry, against their ratings. */
#include <metamer/demand_picture.h>

#include "base/error.h"
#include "picture/demand_lines.h"
#include "picture/make.h"
#include "picture/mark.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TYPES (MTM_DEMAND_CIRCUIT + 1)
/* Of a line's pitch: the bar; and the least and most pitch, in heights of a line of words. */
#define BAR_SHARE 0.62
#define PITCH_MIN 1.15
#define PITCH_MAX 2.4
/* Heading of a section, in heights of a line of words. */
#define HEADING 1.7
/* Part of the width for names. */
#define NAMES_SHARE 0.28
/* Least part of the rating that the scale shows, and room behind the fullest. */
#define SCALE_LEAST 1.1
#define SCALE_BEYOND 1.05
/* Between columns. */
#define APART 10.0
#define NAME_ROOM 1024
#define FIGURES_ROOM 96

/* What is drawn, and where. */
struct sheet {
    mtmi_canvas *c;
    const mtm_demand_view *view;
    mtmi_demand_lines lines;
    mtmi_plot plot;                         /* x: parts of ratings, percent */
    double names_x, names_width, figures_x; /* figures end there */
    double line, pitch, y;
};

static mtmi_ink bar_ink(const struct sheet *s)
{
    return mtmi_canvas_series(s->c, 0);
}

static int sections_used(const mtmi_demand_lines *lines)
{
    int used = 0;

    for (int type = 0; type < TYPES; type++)
        used += lines->section[type].count > 0;
    return used;
}

static double part_x(const struct sheet *s, double part)
{
    return mtmi_scale_at(&s->plot.x, 100 * part);
}

/* "90.0 of 120 W, 75 %"; of circuits no more digits than what is assumed of supplies allows. */
static const char *figures_of(const struct sheet *s, const mtmi_demand_line *line,
                              char text[FIGURES_ROOM])
{
    const mtm_demand_row *row = mtmi_demand_line_row(&s->lines, line, line->fullest);
    double percent = 100 * row->part;
    const char *over = row->over ? ", over" : "";

    if (row->type != MTM_DEMAND_CIRCUIT)
        (void)snprintf(text, FIGURES_ROOM, "%.1f of %.6g\u2009W, %.0f\u2009%%%s", row->watts,
                       row->rated, percent, over);
    else if (row->watts > 0 && !(row->amperes > 0))
        (void)snprintf(text, FIGURES_ROOM, "? of %.6g\u2009A", row->rated);
    else
        (void)snprintf(text, FIGURES_ROOM, "%.0f\u2009%% of %.6g\u2009A%s", percent, row->rated,
                       over);
    return text;
}

/* What lies beyond the limit is hatched too, and has a word and a shape. */
static void draw_over(const struct sheet *s, double part, double share, double middle)
{
    double height = BAR_SHARE * s->pitch;
    double from = part_x(s, share), to = part_x(s, part);

    mtmi_rectangle(s->c, (mtmi_box){from, middle - height / 2, to - from, height});
    mtmi_hatch(s->c, (mtmi_pen){mtmi_canvas_ink(s->c, MTMI_INK_PAPER), 1.5, MTMI_DASH_NONE}, 5);
    mtmi_rectangle(s->c, (mtmi_box){from, middle - height / 2, to - from, height});
    mtmi_stroke(s->c, (mtmi_pen){mtmi_canvas_ink(s->c, MTMI_INK_TEXT), 1, MTMI_DASH_NONE});
}

/* Marks one below the other, so that equal loads do not hide each other. */
static void draw_marks(const struct sheet *s, const mtmi_demand_line *line, double middle)
{
    double apart = fmin(2 * MTMI_DOT_REACH, BAR_SHARE * s->pitch / (double)s->view->count);

    for (size_t k = 1; k < s->view->count; k++) {
        const mtm_demand_row *row = mtmi_demand_line_row(&s->lines, line, k);
        double y = middle + apart * ((double)k - (double)s->view->count / 2);
        mtmi_mark_hollow(s->c, (mtmi_point){part_x(s, row->part), y}, (mtmi_shape)(k - 1),
                         mtmi_canvas_ink(s->c, MTMI_INK_TEXT));
    }
}

static void draw_line(struct sheet *s, const mtmi_demand_section *section,
                      const mtmi_demand_line *line)
{
    const mtm_demand_row *row = mtmi_demand_line_row(&s->lines, line, 0);
    double middle = s->y + s->pitch / 2, height = BAR_SHARE * s->pitch;
    mtmi_type type = {.width = s->names_width - 2 * APART - 8, .bold = line->over};
    const mtmi_type figures = {.align = MTMI_ALIGN_RIGHT, .bold = line->over};
    char name[NAME_ROOM], text[FIGURES_ROOM];

    mtmi_demand_line_name(s->view->rig, row, name, sizeof name);
    mtmi_words_middle(s->c, s->names_x + APART + 4, middle, &type, name);
    if (line->over)
        mtmi_mark_dot(s->c, (mtmi_point){s->names_x + 5, middle}, MTMI_SHAPE_TRIANGLE,
                      mtmi_canvas_ink(s->c, MTMI_INK_TEXT));
    double start = part_x(s, 0);
    mtmi_rectangle(s->c,
                   (mtmi_box){start, middle - height / 2, part_x(s, row->part) - start, height});
    mtmi_fill(s->c, bar_ink(s));
    if (row->over)
        draw_over(s, row->part, section->share, middle);
    draw_marks(s, line, middle);
    mtmi_words_middle(s->c, s->figures_x, middle, &figures, figures_of(s, line, text));
    s->y += s->pitch;
}

/* "1 234 more, 12 to 63 %": those that have no line, and a thin bar between the ends. */
static void draw_others(struct sheet *s, const mtmi_demand_section *section)
{
    int64_t least = section->line[section->shown].fulness, most = least;
    double middle = s->y + s->pitch / 2;
    size_t count = section->count - section->shown, over = 0;
    mtmi_type type = {.ink = MTMI_INK_QUIET, .width = s->names_width - APART};
    char words[160];

    for (size_t i = section->shown; i < section->count; i++) {
        const mtmi_demand_line *line = &section->line[i];
        least = line->fulness < least ? line->fulness : least;
        most = line->fulness > most ? line->fulness : most;
        over += line->over;
    }
    (void)snprintf(words, sizeof words, "%zu more%s", count,
                   over == 0      ? ""
                   : over < count ? ", some over"
                                  : ", all over");
    mtmi_words_middle(s->c, s->names_x, middle, &type, words);
    mtmi_rule(s->c, part_x(s, (double)least / 1e6), middle, part_x(s, (double)most / 1e6), middle,
              (mtmi_pen){bar_ink(s), 3, MTMI_DASH_NONE});
    (void)snprintf(words, sizeof words, "%.0f to %.0f\u2009%%", (double)least / 1e4,
                   (double)most / 1e4);
    type = (mtmi_type){.ink = MTMI_INK_QUIET, .align = MTMI_ALIGN_RIGHT};
    mtmi_words_middle(s->c, s->figures_x, middle, &type, words);
    s->y += s->pitch;
}

/* A line down a section with its name at the top, the far side shaded. */
static void draw_limit(const struct sheet *s, const mtmi_demand_section *section, double top,
                       double bottom)
{
    double x = part_x(s, section->share), right = s->plot.box.x + s->plot.box.width;
    mtmi_type type = {.halo = true};
    char words[80];

    mtmi_rectangle(s->c, (mtmi_box){x, top, right - x, bottom - top});
    mtmi_fill(s->c, mtmi_ink_covering(mtmi_canvas_ink(s->c, MTMI_INK_QUIET), 0.12));
    mtmi_rule(s->c, x, top, x, bottom,
              (mtmi_pen){mtmi_canvas_ink(s->c, MTMI_INK_TEXT), 1.25, MTMI_DASH_NONE});
    if (section->share < 1)
        (void)snprintf(words, sizeof words, "may carry %.4g\u2009%%", 100 * section->share);
    else
        (void)snprintf(words, sizeof words, "its rating");
    double width = mtmi_words_extent(s->c, &type, words).width;
    bool left = x + 2 - width >= s->plot.box.x;
    type.align = left ? MTMI_ALIGN_RIGHT : MTMI_ALIGN_LEFT;
    if (left || x - 2 + width <= right)
        (void)mtmi_words(s->c, left ? x + 2 : x - 2, top - s->line - 1, &type, words);
}

static void draw_section(struct sheet *s, const mtmi_demand_section *section)
{
    static const char *const headings[TYPES] = {"Ports", "Supplies", "Circuits"};
    const mtmi_type type = {.bold = true, .width = s->names_width - 4};
    bool short_of_room = section->shown < section->count;
    double height = HEADING * s->line;
    char words[64];

    if (section->count == 0)
        return;
    (void)snprintf(words, sizeof words, short_of_room ? "%s, fullest first" : "%s",
                   headings[section->type]);
    (void)mtmi_words(s->c, s->names_x, s->y + height - s->line - 1, &type, words);
    s->y += height;
    double lines = (double)section->shown + short_of_room;
    draw_limit(s, section, s->y, s->y + lines * s->pitch);
    for (size_t i = 0; i < section->shown; i++)
        draw_line(s, section, &section->line[i]);
    if (short_of_room)
        draw_others(s, section);
}

/* What the bar and each mark stand for, in a line. */
static void draw_key(struct sheet *s)
{
    double x = s->names_x, middle = s->y + s->line / 2;
    double right = s->figures_x;

    for (size_t k = 0; k < s->view->count; k++) {
        mtmi_type type = {.width = fmax(1, right - x - 20)};
        if (k == 0) {
            mtmi_rectangle(s->c, (mtmi_box){x, middle - 4, 16, 8});
            mtmi_fill(s->c, bar_ink(s));
        } else {
            mtmi_mark_hollow(s->c, (mtmi_point){x + 11, middle}, (mtmi_shape)(k - 1),
                             mtmi_canvas_ink(s->c, MTMI_INK_TEXT));
        }
        mtmi_extent extent = mtmi_words_extent(s->c, &type, s->view->cases[k].name);
        if (x + 20 + extent.width > right)
            break;
        mtmi_words_middle(s->c, x + 20, middle, &type, s->view->cases[k].name);
        x += 20 + extent.width + 2 * APART;
    }
    s->y += s->line;
}

/* Room that the names and figures of all lines take. */
static void measure(const struct sheet *s, double *names, double *figures)
{
    const mtmi_type type = {.bold = true};

    *names = mtmi_words_extent(s->c, &type, "Supplies, fullest first").width;
    *figures = mtmi_words_extent(s->c, &type, "000 to 000\u2009%").width;
    for (int t = 0; t < TYPES; t++) {
        const mtmi_demand_section *section = &s->lines.section[t];
        for (size_t i = 0; i < section->shown; i++) {
            const mtmi_demand_line *line = &section->line[i];
            char name[NAME_ROOM], text[FIGURES_ROOM];
            mtmi_demand_line_name(s->view->rig, mtmi_demand_line_row(&s->lines, line, 0), name,
                                  sizeof name);
            *names = fmax(*names, 2 * APART + 8 + mtmi_words_extent(s->c, &type, name).width);
            *figures =
                fmax(*figures, mtmi_words_extent(s->c, &type, figures_of(s, line, text)).width);
        }
    }
}

/* As many lines as the height holds, then the columns that these need. */
static void lay_out(struct sheet *s, mtmi_box box)
{
    double to = 100 * fmax(SCALE_LEAST, SCALE_BEYOND * fmin(s->lines.most, 1e6));
    const mtmi_axis x = {.from = 0, .to = to, .name = "Part of the rating, %"};
    const mtmi_axis y = {.from = 0, .to = 1, .step = 2, .no_figures = true, .no_grid = true};
    double names = 0, figures = 0;

    s->names_x = box.x;
    s->figures_x = box.x + box.width;
    mtmi_plot whole = mtmi_plot_layout(s->c, box, &x, &y, false);
    const double least = (HEADING + PITCH_MIN) * s->line; /* of a section */
    while (whole.box.height < least * sections_used(&s->lines))
        mtmi_demand_lines_drop_longest(&s->lines);
    double headings = HEADING * s->line * sections_used(&s->lines);
    double room = fmax(0, whole.box.height - headings);
    mtmi_demand_lines_fit(&s->lines, (size_t)(room / (PITCH_MIN * s->line)));
    size_t shown = mtmi_demand_lines_shown(&s->lines);
    s->pitch = shown > 0 ? fmin(PITCH_MAX * s->line, room / (double)shown) : s->line;
    measure(s, &names, &figures);
    s->names_width = fmin(NAMES_SHARE * box.width, names + APART);
    box.x += s->names_width;
    box.width = fmax(1, box.width - s->names_width - figures - APART);
    s->plot = mtmi_plot_layout(s->c, box, &x, &y, false);
    s->plot.box.height =
        fmin(s->plot.box.height, headings + (double)shown * s->pitch + 0.5 * s->line);
    s->plot.y.start = s->plot.box.y + s->plot.box.height;
    if (shown > 0)
        mtmi_plot_axes(s->c, &s->plot, &x, &y);
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    struct sheet s = {
        .c = c, .view = subject, .line = fmax(1, mtmi_line_height(c, MTMI_TYPE_SMALL))};
    mtm_result result = mtmi_demand_lines_gather(subject, &s.lines, error);

    (void)options;
    if (result == MTM_OK) {
        double key = 1.3 * s.line;
        lay_out(&s, (mtmi_box){box.x, box.y + key, box.width, fmax(1, box.height - key)});
        s.y = box.y;
        draw_key(&s);
        s.y = s.plot.box.y;
        for (int type = 0; type < TYPES; type++)
            draw_section(&s, &s.lines.section[type]);
    }
    mtmi_demand_lines_free(&s.lines);
    return result;
}

/* "Nothing carries more than it may; the fullest is port 3 of hall, 92 % with all full." */
static void say(const mtm_demand_view *view, const mtmi_demand_lines *lines, mtmi_text *text)
{
    const mtmi_demand_line *fullest = NULL;
    char name[NAME_ROOM];

    for (int t = 0; t < TYPES; t++) {
        for (size_t i = 0; i < lines->section[t].count; i++) {
            const mtmi_demand_line *line = &lines->section[t].line[i];
            if (fullest == NULL || line->over > fullest->over ||
                (line->over == fullest->over && line->fulness > fullest->fulness))
                fullest = line;
        }
    }
    if (lines->over > 0)
        mtmi_text_add(text, "%zu carr%s more than %s may", lines->over,
                      lines->over == 1 ? "ies" : "y", lines->over == 1 ? "it" : "they");
    else if (fullest != NULL)
        mtmi_text_add(text, "Nothing carries more than it may");
    else
        mtmi_text_add(text, "No port, supply or circuit feeds these units");
    if (fullest != NULL) {
        static const char *const types[TYPES] = {"port ", "supply ", "circuit "};
        const mtm_demand_row *row = mtmi_demand_line_row(lines, fullest, fullest->fullest);
        mtmi_demand_line_name(view->rig, row, name, sizeof name);
        mtmi_text_add(text, "; the fullest is %s%.80s, %.0f\u2009%% of its rating with %s",
                      types[row->type], name, 100 * row->part, view->cases[fullest->fullest].name);
    }
    mtmi_text_add(text, ". In all %.1f\u2009W with %s.",
                  mtm_demand_whole(view->cases[0].demand).watts, view->cases[0].name);
}

static bool row_is_of(const mtm_rig *rig, const mtm_demand_row *row, const mtm_demand_row *first)
{
    size_t count =
        row->type == MTM_DEMAND_CIRCUIT ? mtm_rig_circuit_count(rig) : mtm_rig_supply_count(rig);

    return row->index < count && row->type == first->type && row->index == first->index &&
           row->port == first->port;
}

static mtm_result check(const mtm_demand_view *view, mtm_error *error)
{
    if (view == NULL || view->rig == NULL || view->cases == NULL || view->count == 0 ||
        view->count > MTM_DEMAND_CASES_MAX)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of a demand needs its rig and 1 to %d cases",
                         MTM_DEMAND_CASES_MAX);
    for (size_t c = 0; c < view->count; c++) {
        const mtm_demand *demand = view->cases[c].demand, *first = view->cases[0].demand;
        if (demand == NULL || view->cases[c].name == NULL)
            return mtmi_fail(error, MTM_INVALID, "case %zu has no name or no demand", c);
        bool same = mtm_demand_row_count(demand) == mtm_demand_row_count(first);
        for (size_t r = 0; same && r < mtm_demand_row_count(demand); r++)
            same = row_is_of(view->rig, mtm_demand_row_at(demand, r), mtm_demand_row_at(first, r));
        if (!same)
            return mtmi_fail(error, MTM_INVALID, "case %zu is not of this rig", c);
    }
    return MTM_OK;
}

/* A height for the lines that there are, between a wide page and an upright one. */
static mtmi_picture_kind kind_for(const mtmi_demand_lines *lines)
{
    double count = 0;

    for (int type = 0; type < TYPES; type++)
        count += (double)lines->section[type].count;
    double tall = 25 * count + 26 * sections_used(lines) + 200;
    return (mtmi_picture_kind){draw, fmin(1.4, tall / 1000), fmin(1.8, 0.85 * tall / 600)};
}

mtm_result mtm_picture_of_demand(const mtm_demand_view *view, const mtm_picture_options *options,
                                 mtm_picture **out, mtm_error *error)
{
    mtmi_text title = {0}, subtitle = {0};
    mtmi_demand_lines lines = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK)
        result = check(view, error);
    if (result == MTM_OK && out == NULL)
        result = mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    if (result == MTM_OK)
        result = mtmi_demand_lines_gather(view, &lines, error);
    if (result == MTM_OK) {
        mtmi_text_add(&title, "Load of %s", mtm_rig_name(view->rig));
        say(view, &lines, &subtitle);
        const mtmi_picture_kind kind = kind_for(&lines);
        mtmi_captions captions = {title.data, subtitle.data,
                                  "Sums of what the files state; of circuits what supplies draw "
                                  "from the mains. The ratings on the equipment, the local "
                                  "electrical code and the people licensed to apply it decide "
                                  "what may be plugged in."};
        result = title.failed || subtitle.failed
                     ? mtmi_fail_memory(error)
                     : mtmi_picture_make(&kind, view, &captions, options, out, error);
    }
    mtmi_demand_lines_free(&lines);
    mtmi_text_free(&title);
    mtmi_text_free(&subtitle);
    return result;
}
