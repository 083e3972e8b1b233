/* SPDX-License-Identifier: MIT */
/* Picture: what was computed, drawn: SVG, PNG or PDF, in memory or in a file. */
#ifndef METAMER_PICTURE_H
#define METAMER_PICTURE_H

#include <metamer/base.h>

MTM_BEGIN

/** What a picture is written as. */
typedef enum mtm_picture_form {
    MTM_PICTURE_SVG = 0, /**< lines and outlines of letters; px */
    MTM_PICTURE_PNG,     /**< pixels */
    MTM_PICTURE_PDF      /**< a page for print, black on white, with words that can be selected;
                              points */
} mtm_picture_form;

/** A form's name, which is the ending of its files. */
typedef struct mtm_picture_form_info {
    mtm_picture_form form;   /**< which */
    const char *name;        /**< "svg", "png", "pdf" */
    const char *description; /**< one line */
} mtm_picture_form_info;

/** One of the forms; static storage. NULL past the last. In the order of mtm_picture_form. */
MTM_API const mtm_picture_form_info *mtm_picture_form_at(size_t index);

/** The form that the ending of a path names, case aside.
 *  @return MTM_OK; MTM_INVALID for another ending, or none */
MTM_API MTM_CHECKED mtm_result mtm_picture_form_from_path(const char *path, mtm_picture_form *form,
                                                          mtm_error *error);

/** The plane of a chromaticity diagram, and the part of it that a whole diagram's frame holds. */
typedef enum mtm_diagram {
    MTM_DIAGRAM_UV = 0, /**< CIE 1976 u', v': -0.09..0.68, -0.03..0.65 */
    MTM_DIAGRAM_XY      /**< CIE 1931 x, y: -0.10..0.84, -0.04..0.90 */
} mtm_diagram;

#define MTM_PICTURE_SIZE_MIN 240.0  /**< least width and height, px or points */
#define MTM_PICTURE_SIZE_MAX 8192.0 /**< largest width and height, px or points */

/** Where a report draws a picture; of reports (report.h) alone, one thread at a time. */
typedef struct mtm_picture_place mtm_picture_place;

/** How a picture is drawn. A plain value; zeroed for the usual. Texts are UTF-8 and may be NULL. */
typedef struct mtm_picture_options {
    mtm_picture_form form; /**< what it is written as */
    double width;          /**< px, or points of PDF; 0: 1000 px, or A4 across (842 points) */
    double height;         /**< the same; 0: what suits the width */
    bool dark;             /**< for a dark screen; PDF is for print and stays black on white */
    mtm_diagram diagram;   /**< where there is a chromaticity diagram, its plane */
    const char *title;     /**< what was asked; NULL: the picture's own */
    const char *subtitle;  /**< what the answer means; NULL: the picture's own, or none */
    const char *date;      /**< for the quiet line below; NULL: none, so that the same input gives
                                the same bytes on every day */
    const mtm_picture_place
        *place; /**< on a page of a report, which hands it on: the picture is
                     drawn there and none is made (NULL comes out); NULL: none */
} mtm_picture_options;

/** A picture that was drawn. Immutable; may be shared by threads. The same input gives the same
 *  bytes on one machine; of PDF, in a program that drew nothing before. */
typedef struct mtm_picture mtm_picture;

/** Its bytes, which live as long as the picture; NULL, count untouched, for NULL. */
MTM_API const void *mtm_picture_bytes(const mtm_picture *picture, size_t *count);
/** Writes it to a file, whole or not at all. MTM_OK; MTM_INVALID; MTM_IO; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_picture_save(const mtm_picture *picture, const char *path,
                                                mtm_error *error);
/** Frees a picture; NULL is allowed. */
MTM_API void mtm_picture_free(mtm_picture *picture);

MTM_END
#endif
