/* SPDX-License-Identifier: MIT */
/* Trim list: number, name, bars of output, and verdict of each unit. */
#include "picture/trim_rows.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Of a line's pitch: the bar; and the least and most pitch, in heights of a line of words. */
#define BAR_SHARE 0.55
#define PITCH_MIN 1.15
#define PITCH_MAX 1.9
/* Most part of the width for names. */
#define NAMES_SHARE 0.34
#define MARK_WIDTH 14.0
#define APART 8.0
#define FIGURES_ROOM 128

/* Columns and pitch. */
struct list {
    mtmi_canvas *c;
    const mtmi_trim_rows *rows;
    mtmi_plot plot;                               /* x: lumens */
    double left, number, name, name_width, right; /* number: its right end */
    double line, pitch;
    size_t shown;
};

/* What needs attention comes first. */
static int rank_of(const mtmi_trim_row *row)
{
    return row->verdict == MTM_VERDICT_OUTSIDE ? 0 : row->verdict == MTM_VERDICT_INSIDE ? 2 : 1;
}

static int compare_rows(const void *a, const void *b)
{
    const mtmi_trim_row *one = a, *other = b;
    long long first = llround(1e7 * fmin(one->delta_uv, 1));
    long long second = llround(1e7 * fmin(other->delta_uv, 1));

    if (rank_of(one) != rank_of(other))
        return rank_of(one) - rank_of(other);
    if (first != second)
        return first > second ? -1 : 1;
    return one->number < other->number ? -1 : 1;
}

static const char *verdict_word(mtm_verdict verdict)
{
    static const char *const words[] = {[MTM_VERDICT_UNSTATED] = "no verdict",
                                        [MTM_VERDICT_INSIDE] = "inside",
                                        [MTM_VERDICT_OUTSIDE] = "outside",
                                        [MTM_VERDICT_OPEN] = "cannot be told",
                                        [MTM_VERDICT_TO_MEASURE] = "to be measured"};
    return words[verdict];
}

/* "0.0004 ±0.0012 inside"; of a comparison "0.0012, 97.5 %". */
static const char *figures_of(const struct list *l, const mtmi_trim_row *row,
                              char text[FIGURES_ROOM])
{
    if (l->rows->compared && row->most > 0)
        (void)snprintf(text, FIGURES_ROOM, "%.4f, %.1f\u2009%%", row->delta_uv,
                       100 * row->given / row->most);
    else if (l->rows->compared)
        (void)snprintf(text, FIGURES_ROOM, "%.4f, dark", row->delta_uv);
    else if (row->expanded_uv > 0)
        (void)snprintf(text, FIGURES_ROOM, "%.4f ±%.4f %s", row->delta_uv, row->expanded_uv,
                       verdict_word(row->verdict));
    else
        (void)snprintf(text, FIGURES_ROOM, "%.4f %s", row->delta_uv, verdict_word(row->verdict));
    return text;
}

static double most_of(const mtmi_trim_rows *rows)
{
    double most = 0;

    for (size_t i = 0; i < rows->count; i++)
        most = fmax(most, fmax(rows->row[i].most, rows->row[i].given));
    return most > 0 ? most : 1;
}

static void draw_row(const struct list *l, const mtmi_trim_row *row, double y)
{
    double middle = y + l->pitch / 2, height = BAR_SHARE * l->pitch;
    double start = mtmi_scale_at(&l->plot.x, 0);
    mtmi_ink ink = mtmi_canvas_series(l->c, 0);
    mtmi_type type = {.align = MTMI_ALIGN_RIGHT};
    char text[FIGURES_ROOM];

    mtmi_trim_mark(l->c, (mtmi_point){l->left + MTMI_DOT_REACH + 1, middle}, l->rows, row);
    (void)snprintf(text, sizeof text, "%zu", row->number);
    mtmi_words_middle(l->c, l->number, middle, &type, text);
    mtmi_words_middle(l->c, l->right, middle, &type, figures_of(l, row, text));
    type = (mtmi_type){.width = l->name_width};
    mtmi_words_middle(l->c, l->name, middle, &type, row->name);
    mtmi_rectangle(l->c, (mtmi_box){start, middle - height / 2,
                                    mtmi_scale_at(&l->plot.x, row->given) - start, height});
    mtmi_fill(l->c, ink);
    mtmi_rectangle(l->c, (mtmi_box){start, middle - height / 2,
                                    mtmi_scale_at(&l->plot.x, row->most) - start, height});
    mtmi_stroke(l->c, (mtmi_pen){ink, 1, MTMI_DASH_NONE});
}

/* "and 1 234 more, 1 200 of them inside; Δu'v' 0.0011 at most". */
static void write_others(const struct list *l, double y)
{
    mtmi_type type = {.ink = MTMI_INK_QUIET, .width = l->right - l->name};
    size_t inside = 0, count = l->rows->count - l->shown;
    double most_uv = 0;
    char text[160];

    for (size_t i = l->shown; i < l->rows->count; i++) {
        inside += l->rows->row[i].verdict == MTM_VERDICT_INSIDE;
        most_uv = fmax(most_uv, l->rows->row[i].delta_uv);
    }
    if (l->rows->compared)
        (void)snprintf(text, sizeof text, "%zu more, Δu'v' %.4f at most", count, most_uv);
    else
        (void)snprintf(text, sizeof text, "%zu more, %zu of them inside, Δu'v' %.4f at most", count,
                       inside, most_uv);
    mtmi_words_middle(l->c, l->name, y + l->pitch / 2, &type, text);
}

static void measure(struct list *l, double width)
{
    const mtmi_type type = {.bold = false};
    const mtmi_type bold = {.bold = true};
    char text[FIGURES_ROOM];
    double names = 0;
    double figures =
        mtmi_words_extent(l->c, &bold, l->rows->compared ? "Moved, output" : "Δu'v', verdict")
            .width;

    for (size_t i = 0; i < l->shown; i++) {
        const mtmi_trim_row *row = &l->rows->row[i];
        names = fmax(names, mtmi_words_extent(l->c, &type, row->name).width);
        figures = fmax(figures, mtmi_words_extent(l->c, &type, figures_of(l, row, text)).width);
    }
    (void)snprintf(text, sizeof text, "%zu", l->rows->count);
    l->number = l->left + MARK_WIDTH + mtmi_words_extent(l->c, &type, text).width;
    l->name = l->number + 6;
    l->name_width = fmin(names + 1, NAMES_SHARE * width);
    l->plot.box.x = l->name + l->name_width + APART;
    l->plot.box.width = fmax(1, l->right - figures - APART - l->plot.box.x);
}

/* The output that all have, across all bars. */
static void draw_common(const struct list *l, double bottom)
{
    double x = mtmi_scale_at(&l->plot.x, l->rows->common);

    if (l->rows->common > 0 && mtmi_plot_holds(&l->plot, (mtmi_point){x, l->plot.box.y}, 0))
        mtmi_rule(l->c, x, l->plot.box.y, x, bottom,
                  (mtmi_pen){mtmi_canvas_ink(l->c, MTMI_INK_TEXT), 1.25, MTMI_DASH_LONG});
}

static void write_heads(const struct list *l, double y)
{
    mtmi_type type = {.bold = true, .width = l->name_width};

    (void)mtmi_words(l->c, l->name, y, &type, "Unit");
    type = (mtmi_type){.bold = true, .align = MTMI_ALIGN_RIGHT};
    (void)mtmi_words(l->c, l->right, y, &type,
                     l->rows->compared ? "Moved, output" : "Δu'v', verdict");
    if (!(l->rows->common > 0))
        return;
    char text[64];
    (void)snprintf(text, sizeof text, "common %.0f\u2009lm", l->rows->common);
    type = (mtmi_type){.align = MTMI_ALIGN_MIDDLE};
    double half = mtmi_words_extent(l->c, &type, text).width / 2;
    double x = mtmi_scale_at(&l->plot.x, l->rows->common);
    x = fmax(l->plot.box.x + half, fmin(l->plot.box.x + l->plot.box.width - half, x));
    if (2 * half <= l->plot.box.width)
        (void)mtmi_words(l->c, x, y, &type, text);
}

void mtmi_trim_list_draw(mtmi_canvas *c, mtmi_box box, mtmi_trim_rows *rows)
{
    struct list l = {.c = c,
                     .rows = rows,
                     .left = box.x,
                     .right = box.x + box.width,
                     .line = fmax(1, mtmi_line_height(c, MTMI_TYPE_SMALL))};
    const mtmi_axis x = {.from = 0,
                         .to = 1.02 * most_of(rows),
                         .name = rows->compared ? "Most now, of most then, lm"
                                                : "Output, of the most possible, lm"};
    const mtmi_axis y = {.from = 0, .to = 1, .step = 2, .no_figures = true, .no_grid = true};
    double top = box.y + l.line + 2;
    mtmi_box below = {box.x, top, box.width, fmax(1, box.height - l.line - 2)};

    double room = mtmi_plot_layout(c, below, &x, &y, false).box.height;
    size_t most = (size_t)(room / (PITCH_MIN * l.line));
    l.shown = rows->count <= most ? rows->count : most > 0 ? most - 1 : 0;
    if (l.shown < rows->count)
        qsort(rows->row, rows->count, sizeof *rows->row, compare_rows);
    size_t lines = l.shown + (l.shown < rows->count);
    l.pitch = fmin(PITCH_MAX * l.line, room / (double)lines);
    measure(&l, box.width);
    below.x = l.plot.box.x;
    below.width = l.plot.box.width;
    l.plot = mtmi_plot_layout(c, below, &x, &y, false);
    l.plot.box.height = fmin(l.plot.box.height, (double)l.shown * l.pitch);
    l.plot.y.start = l.plot.box.y + l.plot.box.height;
    if (l.shown > 0 && l.plot.box.width > 40) {
        mtmi_plot_axes(c, &l.plot, &x, &y);
        draw_common(&l, l.plot.box.y + l.plot.box.height);
    }
    write_heads(&l, box.y);
    for (size_t i = 0; i < l.shown; i++)
        draw_row(&l, &rows->row[i], l.plot.box.y + (double)i * l.pitch);
    if (l.shown < rows->count)
        write_others(&l, fmax(top, box.y + box.height - l.pitch));
}
