/* SPDX-License-Identifier: MIT */
/* Report: headings, sentences, tables and pictures, as PDF pages, as text or as CSV. */
#ifndef METAMER_REPORT_H
#define METAMER_REPORT_H

#include <metamer/base.h>
#include <metamer/picture.h>

MTM_BEGIN

/** What a report is written as. */
typedef enum mtm_report_form {
    MTM_REPORT_PDF = 0, /**< pages with bookmarks, tagged, words that can be selected */
    MTM_REPORT_TEXT,    /**< UTF-8 in lines of at most 120 letters, pictures left out */
    MTM_REPORT_CSV      /**< UTF-8, RFC 4180, table after table, pictures left out */
} mtm_report_form;

/** A form's name, which is the ending of its files. */
typedef struct mtm_report_form_info {
    mtm_report_form form;    /**< which */
    const char *name;        /**< "pdf", "txt", "csv" */
    const char *description; /**< one line */
} mtm_report_form_info;

/** One of the forms; static storage. NULL past the last. In the order of mtm_report_form. */
MTM_API const mtm_report_form_info *mtm_report_form_at(size_t index);

/** The form that the ending of a path names, case aside.
 *  @return MTM_OK; MTM_INVALID for another ending, or none */
MTM_API MTM_CHECKED mtm_result mtm_report_form_from_path(const char *path, mtm_report_form *form,
                                                         mtm_error *error);

/** What a PDF is printed on. */
typedef enum mtm_paper {
    MTM_PAPER_A4 = 0, /**< 210 by 297 mm (ISO 216) */
    MTM_PAPER_LETTER  /**< 8.5 by 11 inches (ANSI A) */
} mtm_paper;

/** A paper's name and size. */
typedef struct mtm_paper_info {
    mtm_paper paper;         /**< which */
    const char *name;        /**< "a4", "letter" */
    const char *description; /**< one line */
    double width_pt;         /**< points, upright */
    double height_pt;        /**< points, upright */
} mtm_paper_info;

/** One of the papers; static storage. NULL past the last. In the order of mtm_paper. */
MTM_API const mtm_paper_info *mtm_paper_at(size_t index);

/** How a report is written. A plain value; zeroed for the usual. Texts are UTF-8, may be NULL. */
typedef struct mtm_report_options {
    mtm_report_form form; /**< what it is written as */
    mtm_paper paper;      /**< of a PDF */
    const char *author;   /**< of a PDF, for whoever looks at the file's properties; NULL: none */
    const char *date;     /**< the same; of use where it is as in 2026-11-26. NULL: none, so that
                               the same input gives the same bytes on every day */
} mtm_report_options;

/**
 * A report that is being put together. One thread at a time.
 *
 * Texts are copied. What is added where a pointer is missing, or there is no memory, is not there;
 * mtm_report_write tells of it.
 */
typedef struct mtm_report mtm_report;

/** An empty report; title stands on its first page and above the others. The caller frees it.
 *  MTM_OK; MTM_INVALID without a title; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_report_create(const char *title, mtm_report **out,
                                                 mtm_error *error);
/** Frees a report; NULL is allowed. */
MTM_API void mtm_report_free(mtm_report *report);

/** Adds a heading: level 1, which is a bookmark and stands in the table of contents, or 2. */
MTM_API void mtm_report_add_heading(mtm_report *report, int level, const char *words);
/** Adds a paragraph; each of its lines begins anew. */
MTM_API void mtm_report_add_text(mtm_report *report, const char *words);
/** Adds a caution: a paragraph that is marked and set apart. */
MTM_API void mtm_report_add_caution(mtm_report *report, const char *words);
/** Adds a table of contents below that heading: headings of level 1 with their pages. Of PDF;
 *  elsewhere nothing. */
MTM_API void mtm_report_add_contents(mtm_report *report);
/** What follows begins on a new page. Of PDF; elsewhere nothing. */
MTM_API void mtm_report_end_page(mtm_report *report);

/** Most columns of a table. */
#define MTM_REPORT_COLUMNS_MAX 1100

/** A column of a table. */
typedef struct mtm_report_column {
    const char *head; /**< its head; a table without heads has NULL in all of them */
    bool figures;     /**< its cells are figures, with the same decimals throughout */
} mtm_report_column;

/**
 * Adds a table, to which mtm_report_add_row adds rows until something else is added. It breaks over
 * pages with its head repeated; where it is wider than the page, in parts that each begin with the
 * key columns.
 *
 * @param column count of them, 1..MTM_REPORT_COLUMNS_MAX
 * @param keys   the first columns, which tell what a row is of; less than count, or all of them
 */
MTM_API void mtm_report_add_table(mtm_report *report, const mtm_report_column *column, size_t count,
                                  size_t keys);
/** Adds a row to the table that was added last; a cell for each column, NULL for an empty one. */
MTM_API void mtm_report_add_row(mtm_report *report, const char *const *cell);

/** Draws a picture of a subject: mtm_picture_of_match and the like, called as they are. */
typedef mtm_result (*mtm_report_drawing)(const void *subject, const mtm_picture_options *options,
                                         mtm_picture **out, mtm_error *error);
/** Adds a picture, which is drawn when the report is written; the subject is borrowed until then.
 *  words say what it shows: they stand where forms cannot hold pictures. share is the part of a
 *  page's height that it takes, 0.2..1. A heading right before it is not set again above its
 *  title. */
MTM_API void mtm_report_add_picture(mtm_report *report, const char *words, double share,
                                    mtm_report_drawing draw, const void *subject);
/** Adds room to sign for somebody ("for the house"); name may be NULL. */
MTM_API void mtm_report_add_signature(mtm_report *report, const char *who, const char *name);

/** Room for a SHA-256 in hexadecimal, its NUL among it. */
#define MTM_SHA256_ROOM 65

/** The SHA-256 (FIPS 180-4) of a file, in hexadecimal, and its bytes (may be NULL).
 *  @return MTM_OK; MTM_INVALID; MTM_UNSUPPORTED where GLib is not there; as all that reads a file
 *          (see mtm_result) */
MTM_API MTM_CHECKED mtm_result mtm_file_sha256(const char *path, char text[MTM_SHA256_ROOM],
                                               size_t *bytes, mtm_error *error);

/** Adds a table of files with their bytes and SHA-256: those of path, count of them, and those that
 *  they name (fixtures, spectra), each once. A file that cannot be read has a sentence there. */
MTM_API void mtm_report_add_files(mtm_report *report, const char *const *path, size_t count);

/**
 * Writes a report. The same report gives the same bytes; of PDF, in a program that drew nothing
 * before.
 *
 * @param options NULL for the usual
 * @param text    set on MTM_OK to length bytes and a NUL; the caller frees it with free()
 * @return MTM_OK; MTM_INVALID; MTM_UNSUPPORTED for PDF where cairo or Pango is not there;
 *         MTM_MEMORY; what a picture fails with
 */
MTM_API MTM_CHECKED mtm_result mtm_report_write(const mtm_report *report,
                                                const mtm_report_options *options, char **text,
                                                size_t *length, mtm_error *error);
/** The same into a file, whole or not at all. Results as above, and MTM_IO. */
MTM_API MTM_CHECKED mtm_result mtm_report_save(const mtm_report *report,
                                               const mtm_report_options *options, const char *path,
                                               mtm_error *error);

MTM_END
#endif
