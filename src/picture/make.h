/* SPDX-License-Identifier: MIT */
/* Make: a picture from what draws it: a sheet with title, meaning and sources about a body. */
#ifndef METAMER_PICTURE_MAKE_H
#define METAMER_PICTURE_MAKE_H

#include "canvas/canvas.h"

#include <metamer/picture.h>

/** The words about a picture. */
typedef struct mtmi_captions {
    const char *title;    /**< what was asked */
    const char *subtitle; /**< what the answer means; NULL: none */
    const char *sources;  /**< observer, standards, assumptions; date and version come behind */
} mtmi_captions;

/** Draws a subject (the picture's own struct) into a box of a canvas. Memory of the canvas is told
 * by the canvas; what else fails is the result. The report draws its pictures by these too. */
typedef mtm_result (*mtmi_drawing)(mtmi_canvas *canvas, mtmi_box box, const void *subject,
                                   const mtm_picture_options *options, mtm_error *error);

/** A place on a page of a report. */
struct mtm_picture_place {
    mtmi_canvas *canvas;
    mtmi_box box;
};

/** One kind of picture. */
typedef struct mtmi_picture_kind {
    mtmi_drawing draw;
    double height_share; /**< of the width, where no height is stated; of a wide picture */
    double narrow_share; /**< the same below 700 px */
} mtmi_picture_kind;

/** Writes the title, the subtitle and the quiet line into a box of a canvas, and returns what is
 *  left between them. */
mtmi_box mtmi_sheet_draw(mtmi_canvas *canvas, mtmi_box box, const mtmi_captions *captions,
                         const mtm_picture_options *options);

/** A box in two: a large part and a small one beside it, or below where the box is upright. */
typedef struct mtmi_parts {
    mtmi_box large, small;
} mtmi_parts;
mtmi_parts mtmi_parts_of(mtmi_box box);

/** Makes a picture: a canvas, the sheet, the drawing on it. options may be NULL; its title and
 *  subtitle go before those of captions. Results as of mtm_picture_of_colour. */
MTM_CHECKED mtm_result mtmi_picture_make(const mtmi_picture_kind *kind, const void *subject,
                                         const mtmi_captions *captions,
                                         const mtm_picture_options *options, mtm_picture **out,
                                         mtm_error *error);

/** The same with words that were put together: title, subtitle and quiet line, which are freed in
 *  any case. */
MTM_CHECKED mtm_result mtmi_picture_make_said(const mtmi_picture_kind *kind, const void *subject,
                                              mtmi_text *const words[3],
                                              const mtm_picture_options *options, mtm_picture **out,
                                              mtm_error *error);

/** The date where PDF can hold it (2026-11-26, perhaps with a time), else NULL. */
const char *mtmi_picture_date(const char *date);

/** What of the options is out of range, in a sentence; options may be NULL. */
MTM_CHECKED mtm_result mtmi_picture_check(const mtm_picture_options *options, mtm_error *error);

#endif
