/* SPDX-License-Identifier: MIT */
/* Model: what a report holds, one block after the other. */
#include "report/model.h"

#include "base/error.h"
#include "base/grow.h"

#include <stdlib.h>
#include <string.h>

mtm_result mtm_report_create(const char *title, mtm_report **out, mtm_error *error)
{
    if (title == NULL || title[0] == '\0' || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a report needs a title");
    mtm_report *report = calloc(1, sizeof *report);
    if (report == NULL)
        return mtmi_fail_memory(error);
    report->title = strdup(title);
    if (report->title == NULL) {
        free(report);
        return mtmi_fail_memory(error);
    }
    *out = report;
    return MTM_OK;
}

static void free_table(struct mtmi_table *table)
{
    if (table == NULL)
        return;
    free(table->figures);
    mtmi_text_free(&table->words);
    free(table->at);
    free(table);
}

void mtm_report_free(mtm_report *report)
{
    if (report == NULL)
        return;
    for (size_t i = 0; i < report->count; i++) {
        free(report->block[i].words);
        free(report->block[i].name);
        free_table(report->block[i].table);
    }
    free(report->block);
    free(report->title);
    free(report);
}

/* Another block behind the others; NULL without memory, or without a report. */
static struct mtmi_block *add(mtm_report *report, enum mtmi_block_type type, const char *words)
{
    if (report == NULL || report->failed)
        return NULL;
    struct mtmi_block *grown =
        mtmi_grown(report->block, report->count, &report->room, sizeof *report->block);
    if (grown == NULL) {
        report->failed = true;
        return NULL;
    }
    report->block = grown;
    struct mtmi_block *block = &grown[report->count];
    *block = (struct mtmi_block){.type = type};
    block->words = words != NULL ? strdup(words) : NULL;
    if (words != NULL && block->words == NULL) {
        report->failed = true;
        return NULL;
    }
    report->count++;
    return block;
}

/* The same with words, which must be there. */
static struct mtmi_block *add_words(mtm_report *report, enum mtmi_block_type type,
                                    const char *words)
{
    if (report != NULL && words == NULL)
        report->missing = true;
    return words != NULL ? add(report, type, words) : NULL;
}

void mtm_report_add_heading(mtm_report *report, int level, const char *words)
{
    struct mtmi_block *block = add_words(report, MTMI_BLOCK_HEADING, words);

    if (block != NULL)
        block->level = level <= 1 ? 1 : 2;
}

void mtm_report_add_text(mtm_report *report, const char *words)
{
    (void)add_words(report, MTMI_BLOCK_TEXT, words);
}

void mtm_report_add_caution(mtm_report *report, const char *words)
{
    (void)add_words(report, MTMI_BLOCK_CAUTION, words);
}

void mtm_report_add_contents(mtm_report *report)
{
    (void)add(report, MTMI_BLOCK_CONTENTS, NULL);
}

void mtm_report_end_page(mtm_report *report)
{
    (void)add(report, MTMI_BLOCK_PAGE, NULL);
}

void mtm_report_add_picture(mtm_report *report, const char *words, double share,
                            mtm_report_drawing draw, const void *subject)
{
    if (report != NULL && (draw == NULL || subject == NULL || !(share >= 0.2 && share <= 1))) {
        report->missing = true;
        return;
    }
    struct mtmi_block *block = add_words(report, MTMI_BLOCK_PICTURE, words);
    if (block != NULL) {
        block->share = share;
        block->draw = draw;
        block->subject = subject;
    }
}

void mtm_report_add_signature(mtm_report *report, const char *who, const char *name)
{
    struct mtmi_block *block = add_words(report, MTMI_BLOCK_SIGNATURE, who);

    if (block == NULL || name == NULL)
        return;
    block->name = strdup(name);
    report->failed = block->name == NULL;
}

/* Another word behind the others of a table; false: no memory. */
static bool add_word(struct mtmi_table *table, const char *word)
{
    size_t *grown = mtmi_grown(table->at, table->count, &table->room, sizeof *table->at);

    if (grown == NULL)
        return false;
    table->at = grown;
    table->at[table->count++] = table->words.length;
    mtmi_text_add_bytes(&table->words, word, strlen(word) + 1);
    return !table->words.failed;
}

static bool fill_heads(struct mtmi_table *table, const mtm_report_column *column)
{
    table->figures = calloc(table->columns, sizeof *table->figures);
    if (table->figures == NULL)
        return false;
    for (size_t k = 0; k < table->columns; k++) {
        table->figures[k] = column[k].figures;
        table->headed = table->headed || column[k].head != NULL;
        if (!add_word(table, column[k].head != NULL ? column[k].head : ""))
            return false;
    }
    return true;
}

void mtm_report_add_table(mtm_report *report, const mtm_report_column *column, size_t count,
                          size_t keys)
{
    if (report != NULL && (column == NULL || count < 1 || count > MTM_REPORT_COLUMNS_MAX)) {
        report->missing = true;
        return;
    }
    struct mtmi_block *block = add(report, MTMI_BLOCK_TABLE, NULL);
    if (block == NULL)
        return;
    block->table = calloc(1, sizeof *block->table);
    if (block->table == NULL) {
        report->failed = true;
        return;
    }
    block->table->columns = count;
    block->table->keys = keys < count ? keys : 0;
    report->failed = !fill_heads(block->table, column);
}

void mtm_report_add_row(mtm_report *report, const char *const *cell)
{
    if (report == NULL || report->failed)
        return;
    struct mtmi_table *table = report->count > 0 ? report->block[report->count - 1].table : NULL;
    if (table == NULL || cell == NULL) {
        report->missing = true;
        return;
    }
    for (size_t k = 0; k < table->columns && !report->failed; k++)
        report->failed = !add_word(table, cell[k] != NULL ? cell[k] : "");
    table->rows++;
}

const char *mtmi_table_head(const struct mtmi_table *table, size_t column)
{
    return table->words.data + table->at[column];
}

const char *mtmi_table_cell(const struct mtmi_table *table, size_t row, size_t column)
{
    return table->words.data + table->at[(row + 1) * table->columns + column];
}

size_t mtmi_table_part(const struct mtmi_table *table, const double *width, double room,
                       size_t first)
{
    double used = 0;
    size_t k = first;

    for (size_t key = 0; key < table->keys; key++)
        used += width[key];
    for (; k < table->columns; k++) {
        used += width[k];
        if (used > room && k > first)
            break;
    }
    return k;
}
