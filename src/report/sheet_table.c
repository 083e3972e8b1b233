/* SPDX-License-Identifier: MIT */
/* A table on pages: columns as wide as their words, rows that break over pages with the head
 * repeated, parts where it is wider than the page. */
#include "report/page.h"

#include "base/error.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Points: a column of words is not squeezed below this; one that tells what a row is of takes at
 * most so much where a table is in parts. */
#define WORDS_MIN 62.0
#define KEY_MOST 150.0
/* Lines of a cell; of what is longer the rest is left out. */
#define CELL_LINES 16
/* Room for a figure's letters. */
#define FIGURE_ROOM 512

/* Figures have a true minus. */
static const char *letters_of(const struct mtmi_table *table, size_t k, const char *cell,
                              char text[FIGURE_ROOM])
{
    const char *minus = strchr(cell, '-');

    if (!table->figures[k] || minus == NULL || minus[1] < '0' || minus[1] > '9' ||
        strlen(cell) + 4 > FIGURE_ROOM)
        return cell;
    (void)snprintf(text, FIGURE_ROOM, "%.*s−%s", (int)(minus - cell), cell, minus + 1);
    return text;
}

static mtmi_type type_of(const struct mtmi_table *table, size_t k, bool head)
{
    return (mtmi_type){.size = MTMI_TYPE_SMALL,
                       .bold = head,
                       .align = table->figures[k] ? MTMI_ALIGN_RIGHT : MTMI_ALIGN_LEFT};
}

static float *natural_of(const struct mtmi_laid *laid, const struct mtmi_table *table, long row,
                         size_t k)
{
    return &laid->natural[(size_t)(row + 1) * table->columns + k];
}

/* Width of the widest word of a head. */
static double widest_word(mtmi_canvas *c, const mtmi_type *type, const char *head)
{
    double widest = 0;

    while (*head != '\0') {
        size_t length = strcspn(head, " ");
        char word[FIGURE_ROOM];
        (void)snprintf(word, sizeof word, "%.*s", (int)length, head);
        widest = fmax(widest, mtmi_words_extent(c, type, word).width);
        head += length + (head[length] == ' ');
    }
    return widest;
}

/* Every cell in one line, and the widest of a column. */
static void measure(struct mtmi_pages *pages, const struct mtmi_table *table,
                    struct mtmi_laid *laid)
{
    mtmi_canvas *c = pages->canvas;

    for (size_t k = 0; k < table->columns; k++) {
        mtmi_type type = type_of(table, k, true);
        const char *head = mtmi_table_head(table, k);
        double widest = fmin(widest_word(c, &type, head), pages->in.width / 2);
        *natural_of(laid, table, -1, k) = (float)mtmi_words_extent(c, &type, head).width;
        type.bold = false;
        for (size_t row = 0; row < table->rows; row++) {
            char text[FIGURE_ROOM];
            const char *cell = letters_of(table, k, mtmi_table_cell(table, row, k), text);
            bool same = row > 0 && strcmp(mtmi_table_cell(table, row, k),
                                          mtmi_table_cell(table, row - 1, k)) == 0;
            float *natural = natural_of(laid, table, (long)row, k);
            *natural = same ? *natural_of(laid, table, (long)row - 1, k)
                            : (float)mtmi_words_extent(c, &type, cell).width;
            widest = fmax(widest, *natural);
        }
        laid->width[k] = widest + MTMI_COLUMN_GAP;
    }
}

static double sum(const double *width, size_t count)
{
    double sum = 0;

    for (size_t k = 0; k < count; k++)
        sum += width[k];
    return sum;
}

/* The share of room that the columns of words get at most, so that all fit; 0: they do not. */
static double fair_share(const struct mtmi_table *table, const double *width, double room)
{
    double share = room, wanted = INFINITY;

    for (size_t k = 0; k < table->columns; k++)
        room -= table->figures[k] ? width[k] : 0;
    while (wanted > room && share > WORDS_MIN) {
        share -= 1;
        wanted = 0;
        for (size_t k = 0; k < table->columns; k++)
            wanted += table->figures[k] ? 0 : fmin(width[k], share);
    }
    return wanted <= room ? share : 0;
}

static void fit(const struct mtmi_table *table, double room, double *width)
{
    if (sum(width, table->columns) <= room)
        return;
    double share = fair_share(table, width, room);
    for (size_t k = 0; k < table->columns; k++) {
        double most = share > 0 ? share : k < table->keys ? KEY_MOST : room / 2;
        if (!table->figures[k] || share == 0)
            width[k] = fmin(width[k], most);
    }
}

static mtm_result lay(struct mtmi_pages *pages, const struct mtmi_table *table,
                      struct mtmi_laid *laid, mtm_error *error)
{
    if (laid->width != NULL)
        return MTM_OK;
    laid->natural = calloc(table->count, sizeof *laid->natural);
    laid->width = calloc(table->columns, sizeof *laid->width);
    if (laid->natural == NULL || laid->width == NULL)
        return mtmi_fail_memory(error);
    measure(pages, table, laid);
    fit(table, pages->in.width + MTMI_COLUMN_GAP, laid->width);
    return MTM_OK;
}

/* A part of a table while it is drawn: the keys, and columns from one to another. */
struct part {
    struct mtmi_pages *pages;
    const struct mtmi_table *table;
    const struct mtmi_laid *laid;
    size_t from, to;
    double line; /* height of one */
};

static size_t first_column(const struct part *part)
{
    return part->table->keys > 0 ? 0 : part->from;
}

static size_t next_column(const struct part *part, size_t k)
{
    return k + 1 == part->table->keys ? part->from : k + 1;
}

static const char *cell_of(const struct part *part, long row, size_t k)
{
    return row < 0 ? mtmi_table_head(part->table, k) : mtmi_table_cell(part->table, (size_t)row, k);
}

/* How a cell is set: in one line where it fits, else in several. */
static mtmi_type cell_type(const struct part *part, long row, size_t k)
{
    mtmi_type type = type_of(part->table, k, row < 0);
    double room = part->laid->width[k] - MTMI_COLUMN_GAP;

    if (!part->table->headed && k == 0)
        type.ink = MTMI_INK_QUIET;
    if (*natural_of(part->laid, part->table, row, k) > room + 0.01) {
        type.width = room + 0.5;
        type.lines = CELL_LINES;
    }
    return type;
}

static double row_height(const struct part *part, long row)
{
    double height = part->line;

    for (size_t k = first_column(part); k < part->to; k = next_column(part, k)) {
        mtmi_type type = cell_type(part, row, k);
        if (type.lines > 1)
            height =
                fmax(height,
                     mtmi_words_extent(part->pages->canvas, &type, cell_of(part, row, k)).height);
    }
    return height + 2 * MTMI_ROW_PAD;
}

static double part_width(const struct part *part)
{
    double width = -MTMI_COLUMN_GAP;

    for (size_t k = first_column(part); k < part->to; k = next_column(part, k))
        width += part->laid->width[k];
    return width;
}

static void draw_row(const struct part *part, long row, double height)
{
    struct mtmi_pages *pages = part->pages;
    mtmi_canvas *c = pages->canvas;
    const char *tag = row < 0 ? "TH" : "TD";
    double x = pages->in.x, below = pages->y + height;
    const mtmi_pen rule = {mtmi_canvas_ink(c, row < 0 ? MTMI_INK_TEXT : MTMI_INK_RULE),
                           row < 0 ? 1.2 : 0.6, MTMI_DASH_NONE};

    mtmi_tag_begin(c, "TR");
    for (size_t k = first_column(part); k < part->to; k = next_column(part, k)) {
        mtmi_type type = cell_type(part, row, k);
        double room = part->laid->width[k] - MTMI_COLUMN_GAP;
        char text[FIGURE_ROOM];
        const char *words = letters_of(part->table, k, cell_of(part, row, k), text);
        double y = pages->y + MTMI_ROW_PAD;
        if (row < 0)
            y = below - MTMI_ROW_PAD - mtmi_words_extent(c, &type, words).height;
        mtmi_tag_begin(c, tag);
        (void)mtmi_words(c, part->table->figures[k] ? x + room : x, y, &type, words);
        mtmi_tag_end(c, tag);
        x += part->laid->width[k];
    }
    mtmi_tag_end(c, "TR");
    mtmi_rule(c, pages->in.x, below, pages->in.x + part_width(part), below, rule);
}

static void put_row(const struct part *part, long row, double height)
{
    if (!part->pages->dry)
        draw_row(part, row, height);
    part->pages->y += height;
}

static void open_part(const struct part *part, double head)
{
    if (!part->pages->dry)
        mtmi_tag_begin(part->pages->canvas, "Table");
    if (part->table->headed)
        put_row(part, -1, head);
}

static void close_part(const struct part *part)
{
    if (!part->pages->dry)
        mtmi_tag_end(part->pages->canvas, "Table");
}

static void put_part(const struct part *part)
{
    struct mtmi_pages *pages = part->pages;
    double head = part->table->headed ? row_height(part, -1) : 0;
    double first = part->table->rows > 0 ? row_height(part, 0) : 0;

    mtmi_pages_need(pages, head + first);
    open_part(part, head);
    for (size_t row = 0; row < part->table->rows; row++) {
        double height = row_height(part, (long)row);
        if (height > mtmi_pages_left(pages) && pages->y > pages->in.y + head) {
            close_part(part);
            mtmi_pages_next(pages);
            open_part(part, head);
        }
        put_row(part, (long)row, height);
    }
    close_part(part);
}

mtm_result mtmi_table_height(struct mtmi_pages *pages, const struct mtmi_table *table,
                             struct mtmi_laid *laid, double *height, mtm_error *error)
{
    mtm_result result = lay(pages, table, laid, error);

    if (result != MTM_OK)
        return result;
    const struct part part = {
        .pages = pages,
        .table = table,
        .laid = laid,
        .from = table->keys,
        .to = mtmi_table_part(table, laid->width, pages->in.width + MTMI_COLUMN_GAP, table->keys),
        .line = mtmi_line_height(pages->canvas, MTMI_TYPE_SMALL)};
    *height = table->headed ? row_height(&part, -1) : 0;
    for (size_t row = 0; row < table->rows && *height < pages->in.height; row++)
        *height += row_height(&part, (long)row);
    return MTM_OK;
}

mtm_result mtmi_pages_table(struct mtmi_pages *pages, const struct mtmi_table *table,
                            struct mtmi_laid *laid, mtm_error *error)
{
    mtm_result result = lay(pages, table, laid, error);

    if (result != MTM_OK)
        return result;
    struct part part = {.pages = pages,
                        .table = table,
                        .laid = laid,
                        .line = mtmi_line_height(pages->canvas, MTMI_TYPE_SMALL)};
    for (part.from = table->keys; part.from < table->columns; part.from = part.to) {
        part.to = mtmi_table_part(table, laid->width, pages->in.width + MTMI_COLUMN_GAP, part.from);
        if (part.from > table->keys)
            pages->y += 2 * MTMI_COLUMN_GAP;
        put_part(&part);
    }
    return MTM_OK;
}
