/* SPDX-License-Identifier: MIT */
/* Sheet of swatches: drawn in a grid. */
#include "picture/palette/sheet.h"

#include "base/error.h"
#include "base/number.h"
#include "base/text.h"
#include "picture/mark.h"
#include "picture/swatch.h"

#include <metamer/tolerance.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Decimals, as in the table. */
#define DECIMALS 4
/* Of white about a swatch, px. */
#define RIM 1.5
/* Between cells, px. */
#define PAD 2.0
/* Of the type: heights of a swatch, and where it begins in a cell. */
#define SWATCH 1.45
#define SWATCH_TOP 0.15
/* Of a swatch, what was wanted. */
#define STRIP 0.36
/* Heights of the type that the count below takes. */
#define BELOW 1.6

struct sheet {
    mtmi_canvas *canvas;
    mtmi_box box;
    const mtmi_palette_rows *rows;
    mtmi_palette_grid grid;
    size_t *row, *colour; /* that are shown, in order */
};

/* The most farthest of count, by their distances, in order. */
static void choose(const double *worst_uv, size_t count, size_t most, size_t *chosen)
{
    size_t made = 0;
    double bound = -1;

    /* the least distance of those chosen: as many lie above it as there is room for */
    for (size_t i = 0; count > most && i < count; i++) {
        size_t above = 0;
        for (size_t k = 0; k < count; k++)
            above += worst_uv[k] > worst_uv[i];
        if (above >= most)
            bound = fmax(bound, worst_uv[i]);
    }
    for (size_t i = 0; i < count && made < most; i++) {
        if (count <= most || worst_uv[i] > bound)
            chosen[made++] = i;
    }
    for (size_t i = 0; i < count && made < most; i++) { /* equals of the bound, the first first */
        if (worst_uv[i] > bound || worst_uv[i] < bound)
            continue;
        size_t at = made++;
        for (; at > 0 && chosen[at - 1] > i; at--)
            chosen[at] = chosen[at - 1];
        chosen[at] = i;
    }
}

static void write_figure(const struct sheet *s, double x, double y, double value, mtmi_type type)
{
    char text[MTMI_FIGURE_ROOM];

    type.align = MTMI_ALIGN_MIDDLE;
    (void)mtmi_words(s->canvas, x, y, &type, mtmi_figure(text, value, DECIMALS, NULL));
}

static mtmi_box swatch_box(const struct sheet *s, double x, double y)
{
    return (mtmi_box){x + PAD, y, s->grid.column - 2 * PAD, SWATCH * s->grid.type};
}

static mtmi_box inner(mtmi_box box)
{
    return (mtmi_box){box.x + RIM, box.y + RIM, box.width - 2 * RIM, box.height - 2 * RIM};
}

static void draw_head(const struct sheet *s, double x, double y, size_t colour)
{
    const mtmi_palette_grid *grid = &s->grid;
    const mtm_target *target = mtm_palette_colour(s->rows->of->palette, colour);
    mtmi_type type = {.align = grid->turned ? MTMI_ALIGN_LEFT : MTMI_ALIGN_MIDDLE,
                      .width = grid->turned ? grid->head_words - 2 : grid->column - 2 * PAD,
                      .angle = grid->turned ? -1.5707963267948966 : 0};
    double middle = x + grid->column / 2;
    const char *name = mtm_palette_colour_name(s->rows->of->palette, colour);

    if (grid->turned)
        mtmi_words_middle(s->canvas, middle, y + grid->head_words - 2, &type, name);
    else
        (void)mtmi_words(s->canvas, middle, y, &type, name);
    mtmi_box box = swatch_box(s, x, y + grid->head_words);
    mtmi_swatch_draw_white(s->canvas, box);
    mtmi_swatch_draw(s->canvas, inner(box), &s->rows->wanted[colour]);
    double below = box.y + box.height;
    write_figure(s, middle, below, target->xy.x, (mtmi_type){.ink = MTMI_INK_QUIET});
    write_figure(s, middle, below + mtmi_line_height(s->canvas, MTMI_TYPE_SMALL), target->xy.y,
                 (mtmi_type){.ink = MTMI_INK_QUIET});
}

static void write_side(const struct sheet *s, double y)
{
    mtmi_type bold = {.bold = true, .width = s->grid.name - 6};
    mtmi_type quiet = {.ink = MTMI_INK_QUIET, .width = s->grid.name - 6};
    double line = mtmi_line_height(s->canvas, MTMI_TYPE_SMALL);
    double below = y + s->grid.head_words + SWATCH * s->grid.type;

    mtmi_words_middle(s->canvas, s->box.x, y + s->grid.head_words + SWATCH * s->grid.type / 2,
                      &bold, "Wanted");
    (void)mtmi_words(s->canvas, s->box.x, below, &quiet, "x");
    (void)mtmi_words(s->canvas, s->box.x, below + line, &quiet, "y");
}

static void mark_worst(const struct sheet *s, double x, double y)
{
    mtmi_ink ink = mtmi_canvas_ink(s->canvas, MTMI_INK_TEXT);

    mtmi_rectangle(s->canvas, (mtmi_box){x, y, s->grid.column, s->grid.row});
    mtmi_stroke(s->canvas, (mtmi_pen){ink, 2, MTMI_DASH_NONE});
    mtmi_mark_dot(s->canvas, (mtmi_point){x, y}, MTMI_SHAPE_TRIANGLE, ink);
}

static void draw_dark(const struct sheet *s, mtmi_box box)
{
    mtmi_type type = {.ink = MTMI_INK_QUIET, .align = MTMI_ALIGN_MIDDLE};

    mtmi_rectangle(s->canvas, box);
    mtmi_hatch(s->canvas,
               (mtmi_pen){mtmi_canvas_ink(s->canvas, MTMI_INK_QUIET), 0.75, MTMI_DASH_NONE}, 4);
    (void)mtmi_words(s->canvas, box.x + box.width / 2, box.y + box.height, &type, "dark");
}

static void draw_cell(const struct sheet *s, double x, double y, size_t row, size_t colour)
{
    const mtmi_palette_rows *rows = s->rows;
    size_t at = row * rows->colours + colour;
    const mtm_match *match = rows->cell[at];
    mtmi_box box = swatch_box(s, x, y + SWATCH_TOP * s->grid.type);
    mtmi_box given = inner(box), strip = given;
    mtm_swatch wanted = rows->wanted[colour];
    bool worst = rows->worst != NULL && row == rows->worst_row && colour == rows->worst_colour &&
                 mtmi_exceeds(match->delta_uv, MTM_ON_TARGET_UV);

    if (!(match->xyz.y > 0)) {
        draw_dark(s, box);
        return;
    }
    strip.height *= STRIP;
    strip.y += given.height - strip.height;
    wanted.shown = true; /* the head has the cut corner */
    mtmi_swatch_draw_white(s->canvas, box);
    mtmi_swatch_draw(s->canvas, given, &rows->given[at]);
    mtmi_swatch_draw(s->canvas, strip, &wanted);
    bool off = mtmi_exceeds(match->delta_uv, MTM_STEP_UV);
    write_figure(s, x + s->grid.column / 2, box.y + box.height, match->delta_uv,
                 (mtmi_type){.bold = worst, .ink = off ? MTMI_INK_TEXT : MTMI_INK_QUIET});
    if (worst)
        mark_worst(s, x, y);
}

/* "wash-1", "wash-1 and wash-2", "wash-1 … wash-9, 9 units", "9 × five-colour wash". */
static void name_row(const struct sheet *s, const mtmi_palette_row *row, mtmi_text *name)
{
    const mtm_unit *first = mtmi_palette_unit(s->rows->of, row->first);
    const mtm_unit *last = mtmi_palette_unit(s->rows->of, row->last);

    if (row->count == 1)
        mtmi_text_add(name, "%s", first->name);
    else if (s->rows->by_kind)
        mtmi_text_add(name, "%zu × %s, %s", row->count, mtm_fixture_name(first->fixture),
                      first->mode->name);
    else if (row->count == 2)
        mtmi_text_add(name, "%s and %s", first->name, last->name);
    else
        mtmi_text_add(name, "%zu units: %s … %s", row->count, first->name, last->name);
}

static void draw_row(const struct sheet *s, double y, size_t row, size_t from, size_t to)
{
    mtmi_type type = {.width = s->grid.name - 6, .lines = 2};
    mtmi_text name = {0};

    name_row(s, &s->rows->row[row], &name);
    if (name.failed)
        mtmi_canvas_lack_memory(s->canvas);
    else
        mtmi_words_middle(s->canvas, s->box.x, y + s->grid.row / 2, &type, name.data);
    mtmi_text_free(&name);
    for (size_t j = from; j < to; j++)
        draw_cell(s, s->box.x + s->grid.name + (double)(j - from) * s->grid.column, y, row,
                  s->colour[j]);
}

static void draw_band(const struct sheet *s, double y, size_t from, size_t to)
{
    write_side(s, y);
    for (size_t j = from; j < to; j++)
        draw_head(s, s->box.x + s->grid.name + (double)(j - from) * s->grid.column, y,
                  s->colour[j]);
    for (size_t i = 0; i < s->grid.row_count; i++)
        draw_row(s, y + s->grid.head + (double)i * s->grid.row, s->row[i], from, to);
}

/* "3 more rows and 1 more colour", or one of both. */
static void add_rest(mtmi_text *text, size_t count, const char *what)
{
    if (count > 0)
        mtmi_text_add(text, "%s%zu more %s%s", text->length > 0 ? " and " : "", count, what,
                      count == 1 ? "" : "s");
}

/* What had no room. */
static void count_rest(const struct sheet *s)
{
    mtmi_type type = {.ink = MTMI_INK_QUIET, .width = s->box.width};
    mtmi_text text = {0};

    add_rest(&text, s->rows->count - s->grid.row_count, s->rows->by_kind ? "kind" : "row");
    add_rest(&text, s->rows->colours - s->grid.column_count, "colour");
    if (text.length > 0)
        mtmi_text_add(&text, " are nearer, and in the table.");
    if (text.failed)
        mtmi_canvas_lack_memory(s->canvas);
    else if (text.length > 0)
        (void)mtmi_words(s->canvas, s->box.x, s->box.y + s->grid.height + 0.3 * s->grid.type, &type,
                         text.data);
    mtmi_text_free(&text);
}

static bool choose_all(struct sheet *s)
{
    const mtmi_palette_rows *rows = s->rows;
    double *worst_uv = malloc(rows->count * sizeof *worst_uv);

    s->row = calloc(rows->count, sizeof *s->row);
    s->colour = calloc(rows->colours, sizeof *s->colour);
    bool done = worst_uv != NULL && s->row != NULL && s->colour != NULL;
    if (done) {
        for (size_t i = 0; i < rows->count; i++)
            worst_uv[i] = rows->row[i].worst_uv;
        choose(worst_uv, rows->count, s->grid.row_count, s->row);
        choose(rows->worst_uv, rows->colours, s->grid.column_count, s->colour);
    }
    free(worst_uv);
    return done;
}

mtm_result mtmi_palette_sheet_draw(mtmi_canvas *c, mtmi_box box, const mtmi_palette_rows *rows,
                                   mtm_error *error)
{
    double type = mtmi_type_height(c, MTMI_TYPE_SMALL);
    struct sheet s = {.canvas = c,
                      .box = box,
                      .rows = rows,
                      .grid =
                          mtmi_palette_grid_fit(rows, box.width, box.height - BELOW * type, type)};
    bool done = choose_all(&s);
    double y = box.y;

    for (size_t band = 0; done && band < s.grid.bands; band++) {
        size_t from = band * s.grid.columns, to = from + s.grid.columns;
        draw_band(&s, y, from, to < s.grid.column_count ? to : s.grid.column_count);
        y += (s.grid.height + MTMI_PALETTE_BANDS_APART * type) / (double)s.grid.bands;
    }
    if (done)
        count_rest(&s);
    free(s.row);
    free(s.colour);
    return done ? MTM_OK : mtmi_fail_memory(error);
}
