/* SPDX-License-Identifier: MIT */
/* Canvas: lines, surfaces and words on a page of SVG, PNG or PDF, by cairo and Pango, which are
 * loaded when the first canvas is made. */
#ifndef METAMER_CANVAS_CANVAS_H
#define METAMER_CANVAS_CANVAS_H

#include "base/text.h"
#include "canvas/ink.h"
#include "numeric/convex.h"

#include <metamer/base.h>

#include <stdint.h>

/** What a canvas becomes. */
typedef enum mtmi_canvas_form {
    MTMI_CANVAS_SVG = 0,
    MTMI_CANVAS_PNG,
    MTMI_CANVAS_PDF
} mtmi_canvas_form;

/** A rectangle. Units throughout: px of SVG and PNG, points of PDF; y grows downward. */
typedef struct mtmi_box {
    double x, y, width, height;
} mtmi_box;

/** What a canvas is made for. */
typedef struct mtmi_canvas_request {
    mtmi_canvas_form form;
    double width, height; /**< of the (first) page; 16..16384 */
    bool dark;            /**< for a dark screen; of no meaning for PDF */
    const char *title;    /**< for whoever reads the file without seeing it */
    const char *about;    /**< the same in a sentence; may be NULL */
    const char *author;   /**< of PDF; may be NULL */
    const char *date;     /**< of PDF, ISO 8601 (2026-11-26 or with a time); NULL: none */
} mtmi_canvas_request;

/** A page being drawn. One thread at a time. What fails while drawing (memory) is remembered, and
 *  told by mtmi_canvas_finish. */
typedef struct mtmi_canvas mtmi_canvas;

/** An empty page of paper. MTM_OK; MTM_INVALID for a size out of range; MTM_UNSUPPORTED where cairo
 *  or Pango is not in this build or cannot be loaded, or there is no font; MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_canvas_create(const mtmi_canvas_request *request, mtmi_canvas **out,
                                          mtm_error *error);
/** Ends the last page and gives the file's bytes to text, which was empty. Nothing can be drawn
 *  afterwards. The same drawing gives the same bytes; of PDF, in a program that drew nothing
 * before. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_canvas_finish(mtmi_canvas *canvas, mtmi_text *bytes, mtm_error *error);
/** Remembers that memory ran out where something was to be drawn, for mtmi_canvas_finish. */
void mtmi_canvas_lack_memory(mtmi_canvas *canvas);
/** NULL is allowed. */
void mtmi_canvas_free(mtmi_canvas *canvas);

mtmi_theme mtmi_canvas_theme(const mtmi_canvas *canvas);
mtmi_ink mtmi_canvas_ink(const mtmi_canvas *canvas, mtmi_ink_role role);
mtmi_ink mtmi_canvas_series(const mtmi_canvas *canvas, unsigned index);
/** The whole page. */
mtmi_box mtmi_canvas_page(const mtmi_canvas *canvas);

/* -- Lines and surfaces: a path is laid, then stroked or filled, which takes it away. ------------
 */

/** How a line is broken. */
typedef enum mtmi_dash {
    MTMI_DASH_NONE = 0,
    MTMI_DASH_LONG,  /**< - - - */
    MTMI_DASH_DOTS,  /**< . . . */
    MTMI_DASH_MIXED, /**< - . - */
    MTMI_DASH_COUNT
} mtmi_dash;

/** A line. Its width is in px; points of PDF make it 0.6 of that, as type is smaller there. */
typedef struct mtmi_pen {
    mtmi_ink ink;
    double width;
    mtmi_dash dash;
} mtmi_pen;

void mtmi_move(mtmi_canvas *canvas, double x, double y);
void mtmi_line(mtmi_canvas *canvas, double x, double y);
void mtmi_close(mtmi_canvas *canvas);
/** A circle, closed. */
void mtmi_circle(mtmi_canvas *canvas, double x, double y, double radius);
/** A piece of one, clockwise from one angle to another, radians from the right. */
void mtmi_arc(mtmi_canvas *canvas, double x, double y, double radius, double from, double to);
void mtmi_rectangle(mtmi_canvas *canvas, mtmi_box box);
/** Points joined by lines; closed if asked for. */
void mtmi_lay_points(mtmi_canvas *canvas, const mtmi_point *point, size_t count, bool closed);

void mtmi_stroke(mtmi_canvas *canvas, mtmi_pen pen);
void mtmi_fill(mtmi_canvas *canvas, mtmi_ink ink);
/** Hatches the path at 45 degrees, lines this far apart. */
void mtmi_hatch(mtmi_canvas *canvas, mtmi_pen pen, double apart);
/** What is drawn until mtmi_unclip shows only inside the path. May be nested. */
void mtmi_clip(mtmi_canvas *canvas);
void mtmi_unclip(mtmi_canvas *canvas);
/** One straight line, stroked at once. */
void mtmi_rule(mtmi_canvas *canvas, double x0, double y0, double x1, double y1, mtmi_pen pen);
/** A picture of columns by rows pixels (0xffRRGGBB, from the top), smooth, over a box. */
void mtmi_image(mtmi_canvas *canvas, mtmi_box box, const uint32_t *pixel, int columns, int rows);

/* -- Words: any script. Letters that do not print are written out (\n, \u202e). -------------------
 */

/** Sizes: px on screens, points in print. */
typedef enum mtmi_type_size {
    MTMI_TYPE_SMALL = 0, /**< figures of axes, labels, the quiet line: 12 (10 below 700 px), 7 */
    MTMI_TYPE_BODY,      /**< 14 (12), 8 */
    MTMI_TYPE_HEAD,      /**< 16 (14), 9.5 */
    MTMI_TYPE_TITLE,     /**< 20 (16), 12 */
    MTMI_TYPE_COVER      /**< 28 (20), 18 */
} mtmi_type_size;

/** Which part of words stands at the x they are written at. */
typedef enum mtmi_align { MTMI_ALIGN_LEFT = 0, MTMI_ALIGN_MIDDLE, MTMI_ALIGN_RIGHT } mtmi_align;

/** How words are set. Zeroed: small, light, black on nothing, from the left, in one line. */
typedef struct mtmi_type {
    mtmi_type_size size;
    bool bold;         /**< the heavier of the two weights */
    mtmi_ink_role ink; /**< MTMI_INK_PAPER, which is zero, stands for MTMI_INK_TEXT */
    mtmi_align align;
    double width;  /**< most of a line; longer ones are cut with an ellipsis; 0: any */
    int lines;     /**< most lines, broken between words at width; 0: one */
    double angle;  /**< turned about the place, radians, clockwise */
    bool whole;    /**< of any length, in as many lines as it takes; ends of lines stay */
    bool halo;     /**< a pale ground of paper behind, where much is drawn */
    bool coloured; /**< in this colour instead */
    mtmi_ink colour;
} mtmi_type;

/** Room that words take when set so (the angle aside). */
typedef struct mtmi_extent {
    double width, height;
    double baseline; /**< of the first line, from the top */
} mtmi_extent;

mtmi_extent mtmi_words_extent(mtmi_canvas *canvas, const mtmi_type *type, const char *words);
/** Writes words; x, y is the top of the first line. Returns their room. */
mtmi_extent mtmi_words(mtmi_canvas *canvas, double x, double y, const mtmi_type *type,
                       const char *words);
/** The same about the middle of their height. */
void mtmi_words_middle(mtmi_canvas *canvas, double x, double y, const mtmi_type *type,
                       const char *words);
/** Height of a line of a size. */
double mtmi_line_height(mtmi_canvas *canvas, mtmi_type_size size);
/** Px or points of a size. */
double mtmi_type_height(const mtmi_canvas *canvas, mtmi_type_size size);

/** Room for a figure of mtmi_figure. */
#define MTMI_FIGURE_ROOM 64
/** "−0.0012 K": this many decimals, a true minus, and a thin space before the unit (NULL: none).
 *  A value that would print as minus nothing is 0. Returns text. */
char *mtmi_figure(char text[MTMI_FIGURE_ROOM], double value, int decimals, const char *unit);

/* -- Of PDF only; elsewhere these do nothing. -----------------------------------------------------
 */

/** Ends the page and begins another of the same size. Only for PDF. */
void mtmi_canvas_next_page(mtmi_canvas *canvas);
/** What is drawn until mtmi_tag_end is this part of the document: "H1", "P", "Table", "TR", "TD",
 *  "Figure" (ISO 32000-1, 14.8.4). May be nested. */
void mtmi_tag_begin(mtmi_canvas *canvas, const char *tag);
void mtmi_tag_end(mtmi_canvas *canvas, const char *tag);
/** A bookmark to the page as it is, below the bookmark parent (0: the top). Returns its number. */
int mtmi_bookmark(mtmi_canvas *canvas, int parent, const char *words);

#endif
