/* SPDX-License-Identifier: MIT */
/* Page: pages of a report, each with its head and its number, and words that go down them. They are
 * gone through twice: dry, to count them, and then to be drawn. */
#ifndef METAMER_REPORT_PAGE_H
#define METAMER_REPORT_PAGE_H

#include "canvas/canvas.h"
#include "report/model.h"

/** Points between columns, and above and below the words of a row. */
#define MTMI_COLUMN_GAP 9.0
#define MTMI_ROW_PAD 1.8

/** How a table's columns lie; made once. */
struct mtmi_laid {
    float *natural; /**< by word of the table: its width in one line */
    double *width;  /**< by column, the gap included */
};

/** Pages while they are filled. */
struct mtmi_pages {
    mtmi_canvas *canvas;
    const mtm_report *report;
    bool dry;
    mtmi_box in;            /**< what a page holds, head and foot aside */
    double y;               /**< of what comes next */
    int page;               /**< from 1 */
    int count;              /**< of all pages; known when they are drawn */
    int *page_of;           /**< by block: where it stands */
    struct mtmi_laid *laid; /**< by block, of tables */
};

/** Opens the first page. */
void mtmi_pages_begin(struct mtmi_pages *pages);
/** Ends the page and opens another. */
void mtmi_pages_next(struct mtmi_pages *pages);
/** Goes to the next page unless so much room is left, or the page is empty. */
void mtmi_pages_need(struct mtmi_pages *pages, double height);
/** What is left of the page. */
double mtmi_pages_left(const struct mtmi_pages *pages);

/** Writes words of any length over the page's width, line by line over pages; indented from the
 *  left by so much. */
void mtmi_pages_words(struct mtmi_pages *pages, const char *tag, const mtmi_type *type,
                      double indent, const char *words);

/** Height of a table's first part; more than a page where no page holds it. */
MTM_CHECKED mtm_result mtmi_table_height(struct mtmi_pages *pages, const struct mtmi_table *table,
                                         struct mtmi_laid *laid, double *height, mtm_error *error);
/** A table, over as many pages as it takes. */
MTM_CHECKED mtm_result mtmi_pages_table(struct mtmi_pages *pages, const struct mtmi_table *table,
                                        struct mtmi_laid *laid, mtm_error *error);

#endif
