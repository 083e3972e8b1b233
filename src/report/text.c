/* SPDX-License-Identifier: MIT */
/* A report as text, in lines of at most 120 letters. */
#include "report/model.h"

#include "canvas/safe.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE_LETTERS 120
/* Most letters of a column, and of one that tells what a row is of; longer cells go on below. */
#define COLUMN_LETTERS 64
#define KEY_LETTERS 44
/* Blanks between columns. */
#define GAP 2

/* Bytes of the piece of words that a line of so many letters holds: up to a blank where there is
 * one, all of them where they fit. */
static size_t piece(const char *words, int letters)
{
    size_t at = 0, blank = 0;

    for (int used = 0; words[at] != '\0' && words[at] != '\n'; used++) {
        size_t length = mtmi_utf8_length(words + at);
        if (used == letters)
            return blank > 0 ? blank : at;
        if (words[at] == ' ')
            blank = at;
        at += length > 0 ? length : 1;
    }
    return at;
}

/* What stands behind a piece, the blank or the line's end between them left out. */
static const char *behind(const char *words, size_t length)
{
    words += length;
    return words[0] == ' ' || words[0] == '\n' ? words + 1 : words;
}

static void add_wrapped(const char *words, const char *indent, mtmi_text *text)
{
    const int room = LINE_LETTERS - (int)strlen(indent);

    do {
        size_t length = piece(words, room);
        mtmi_text_add(text, "%s%.*s\n", indent, (int)length, words);
        words = behind(words, length);
    } while (*words != '\0');
}

static void add_heading(const char *words, char under, mtmi_text *text)
{
    mtmi_text_add(text, "\n");
    add_wrapped(words, "", text);
    int letters = mtmi_text_letters(words);
    for (int i = 0; i < letters && i < LINE_LETTERS; i++)
        mtmi_text_add(text, "%c", under);
    mtmi_text_add(text, "\n");
}

/* A line of a table: what is left of each cell. */
struct line {
    const char **left; /* by column */
    const double *width;
    const struct mtmi_table *table;
};

static void add_cell_line(struct line *line, size_t k, mtmi_text *text)
{
    const int width = (int)line->width[k] - GAP;
    size_t length = piece(line->left[k], width);
    mtmi_text cell = {0};

    mtmi_text_add(&cell, "%.*s", (int)length, line->left[k]);
    const char *words = cell.data != NULL ? cell.data : "";
    int blanks = width - mtmi_text_letters(words);
    if (line->table->figures[k])
        mtmi_text_add(text, "%*s%s", blanks > 0 ? blanks : 0, "", words);
    else
        mtmi_text_add(text, "%s%*s", words, blanks > 0 ? blanks : 0, "");
    mtmi_text_add(text, "%*s", GAP, "");
    text->failed = text->failed || cell.failed;
    line->left[k] = behind(line->left[k], length);
    mtmi_text_free(&cell);
}

/* Blanks at the end of the text go. */
static void end_line(mtmi_text *text)
{
    while (text->length > 0 && text->data[text->length - 1] == ' ')
        text->data[--text->length] = '\0';
    mtmi_text_add(text, "\n");
}

/* Row number row, or the heads (row < 0), from one column to another behind the keys. */
static void add_row(struct line *line, long row, size_t from, size_t to, mtmi_text *text)
{
    const struct mtmi_table *table = line->table;
    bool more = true;

    for (size_t k = 0; k < table->columns; k++)
        line->left[k] =
            row < 0 ? mtmi_table_head(table, k) : mtmi_table_cell(table, (size_t)row, k);
    while (more && !text->failed) {
        more = false;
        for (size_t k = table->keys > 0 ? 0 : from; k < to;
             k = k + 1 == table->keys ? from : k + 1) {
            add_cell_line(line, k, text);
            more = more || line->left[k][0] != '\0';
        }
        end_line(text);
    }
}

/* The widest word of a head, and the widest cell. */
static double column_width(const struct mtmi_table *table, size_t k)
{
    int widest = 1;

    for (const char *head = mtmi_table_head(table, k); *head != '\0';) {
        size_t length = strcspn(head, " ");
        char word[COLUMN_LETTERS * 4];
        (void)snprintf(word, sizeof word, "%.*s", (int)length, head);
        int letters = mtmi_text_letters(word);
        widest = letters > widest ? letters : widest;
        head += length + (head[length] == ' ');
    }
    for (size_t row = 0; row < table->rows; row++) {
        int letters = mtmi_text_letters(mtmi_table_cell(table, row, k));
        widest = letters > widest ? letters : widest;
    }
    int most = !table->headed && k + 1 == table->columns ? LINE_LETTERS
               : k < table->keys                         ? KEY_LETTERS
                                                         : COLUMN_LETTERS;
    return GAP + (widest < most ? widest : most);
}

/* The last column of a table without heads has what the others leave. */
static void fit_last(const struct mtmi_table *table, double *width)
{
    double used = 0;

    for (size_t k = 0; k + 1 < table->columns; k++)
        used += width[k];
    double *last = &width[table->columns - 1];
    if (used + *last > LINE_LETTERS && used + COLUMN_LETTERS * 0.5 < LINE_LETTERS)
        *last = LINE_LETTERS - used;
}

static void add_table(const struct mtmi_table *table, mtmi_text *text)
{
    double *width = calloc(table->columns, sizeof *width);
    const char **left = calloc(table->columns, sizeof *left);
    struct line line = {left, width, table};

    text->failed = text->failed || width == NULL || left == NULL;
    for (size_t k = 0; !text->failed && k < table->columns; k++)
        width[k] = column_width(table, k);
    if (!text->failed)
        fit_last(table, width);
    for (size_t from = table->keys; !text->failed && from < table->columns;) {
        size_t to = mtmi_table_part(table, width, LINE_LETTERS + GAP, from);
        mtmi_text_add(text, "\n");
        if (table->headed)
            add_row(&line, -1, from, to, text);
        for (size_t row = 0; row < table->rows; row++)
            add_row(&line, (long)row, from, to, text);
        from = to;
    }
    free(width);
    free((void *)left);
}

static void add_block(const struct mtmi_block *block, mtmi_text *text)
{
    switch (block->type) {
    case MTMI_BLOCK_HEADING:
        add_heading(block->words, block->level == 1 ? '=' : '-', text);
        break;
    case MTMI_BLOCK_TEXT:
        mtmi_text_add(text, "\n");
        add_wrapped(block->words, "", text);
        break;
    case MTMI_BLOCK_CAUTION:
        mtmi_text_add(text, "\n");
        add_wrapped(block->words, "! ", text);
        break;
    case MTMI_BLOCK_TABLE:
        add_table(block->table, text);
        break;
    case MTMI_BLOCK_PICTURE:
        mtmi_text_add(text, "\n[Picture: %s. The PDF has it.]\n", block->words);
        break;
    case MTMI_BLOCK_SIGNATURE:
        mtmi_text_add(text, "\n%s: ________________________________\n", block->words);
        if (block->name != NULL)
            mtmi_text_add(text, "%s\n", block->name);
        mtmi_text_add(text, "Place, date: ________________________________\n");
        break;
    case MTMI_BLOCK_CONTENTS:
    case MTMI_BLOCK_PAGE:
        break;
    }
}

void mtmi_report_as_text(const mtm_report *report, mtmi_text *text)
{
    mtmi_text raw = {0};

    add_wrapped(report->title, "", &raw);
    for (size_t i = 0; i < report->count; i++)
        add_block(&report->block[i], &raw);
    text->failed = raw.failed;
    mtmi_safe_paragraph(raw.data, text);
    mtmi_text_free(&raw);
}
