/* SPDX-License-Identifier: MIT */
/* A report as CSV (RFC 4180): table after table, an empty line between, headings and sentences in
 * lines of one cell. */
#include "report/model.h"

static void add_line(mtmi_text *text, const char *words)
{
    mtmi_text_add_cell(text, words);
    mtmi_text_add(text, "\n");
}

static void add_table(const struct mtmi_table *table, mtmi_text *text)
{
    for (size_t k = 0; table->headed && k < table->columns; k++) {
        mtmi_text_add(text, "%s", k > 0 ? "," : "");
        mtmi_text_add_cell(text, mtmi_table_head(table, k));
    }
    mtmi_text_add(text, "%s", table->headed ? "\n" : "");
    for (size_t row = 0; row < table->rows; row++) {
        for (size_t k = 0; k < table->columns; k++) {
            mtmi_text_add(text, "%s", k > 0 ? "," : "");
            mtmi_text_add_cell(text, mtmi_table_cell(table, row, k));
        }
        mtmi_text_add(text, "\n");
    }
}

static void add_signature(const struct mtmi_block *block, mtmi_text *text)
{
    mtmi_text_add_cell(text, block->words);
    mtmi_text_add(text, ",");
    mtmi_text_add_cell(text, block->name != NULL ? block->name : "");
    mtmi_text_add(text, "\n");
}

void mtmi_report_as_csv(const mtm_report *report, mtmi_text *text)
{
    add_line(text, report->title);
    for (size_t i = 0; i < report->count; i++) {
        const struct mtmi_block *block = &report->block[i];
        bool after_table = i > 0 && report->block[i - 1].type == MTMI_BLOCK_TABLE;
        if (block->type == MTMI_BLOCK_PICTURE || block->type == MTMI_BLOCK_CONTENTS ||
            block->type == MTMI_BLOCK_PAGE)
            continue;
        if (block->type == MTMI_BLOCK_HEADING || block->type == MTMI_BLOCK_TABLE || after_table)
            mtmi_text_add(text, "\n");
        if (block->type == MTMI_BLOCK_TABLE)
            add_table(block->table, text);
        else if (block->type == MTMI_BLOCK_SIGNATURE)
            add_signature(block, text);
        else
            add_line(text, block->words);
    }
}
