/* SPDX-License-Identifier: MIT */
/* Model: what a report holds, one block after the other, whatever it is written as. */
#ifndef METAMER_REPORT_MODEL_H
#define METAMER_REPORT_MODEL_H

#include "base/text.h"

#include <metamer/report.h>

enum mtmi_block_type {
    MTMI_BLOCK_HEADING,
    MTMI_BLOCK_TEXT,
    MTMI_BLOCK_CAUTION,
    MTMI_BLOCK_CONTENTS,
    MTMI_BLOCK_PAGE, /* what follows begins on a new one */
    MTMI_BLOCK_TABLE,
    MTMI_BLOCK_PICTURE,
    MTMI_BLOCK_SIGNATURE
};

/* A table: its words one after the other, each ended by a NUL: the heads, then row by row. */
struct mtmi_table {
    size_t columns, keys, rows;
    bool headed;
    bool *figures; /* by column */
    mtmi_text words;
    size_t *at; /* by word: where it begins */
    size_t count, room;
};

struct mtmi_block {
    enum mtmi_block_type type;
    int level;   /* of a heading */
    char *words; /* of a signature: for whom */
    char *name;  /* of a signature; may be NULL */
    struct mtmi_table *table;
    double share; /* of a page's height, of a picture */
    mtm_report_drawing draw;
    const void *subject;
};

struct mtm_report {
    char *title;
    struct mtmi_block *block;
    size_t count, room;
    bool failed;  /* no memory */
    bool missing; /* something was added that is not there */
};

/** A head, and a cell; "" where there is none. */
const char *mtmi_table_head(const struct mtmi_table *table, size_t column);
const char *mtmi_table_cell(const struct mtmi_table *table, size_t row, size_t column);

/** The writers; text was empty. */
void mtmi_report_as_text(const mtm_report *report, mtmi_text *text);
void mtmi_report_as_csv(const mtm_report *report, mtmi_text *text);
MTM_CHECKED mtm_result mtmi_report_as_pdf(const mtm_report *report,
                                          const mtm_report_options *options, mtmi_text *bytes,
                                          mtm_error *error);

/**
 * Splits a table's columns into parts that fit into a width: the keys, and behind them the columns
 * from first to the one returned (not included); at least one.
 * @param width by column, with the gap before it
 */
size_t mtmi_table_part(const struct mtmi_table *table, const double *width, double room,
                       size_t first);

#endif
