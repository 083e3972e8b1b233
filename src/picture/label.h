/* SPDX-License-Identifier: MIT */
/* Labels: words beside what they name, none over another: the eight sides are tried, then a leader
 * line; what finds no place is told, to be numbered and listed instead. The same labels in the same
 * order always come to the same places. */
#ifndef METAMER_PICTURE_LABEL_H
#define METAMER_PICTURE_LABEL_H

#include "canvas/canvas.h"

/** A label: where its thing is, how far that reaches, and the room of the words. Set by placing:
 *  the last three. */
typedef struct mtmi_label {
    mtmi_point at;
    double reach;         /**< px from at that stay free: the radius of a mark */
    double width, height; /**< of the words */
    bool sides_only;      /**< no leader line */
    bool over_lines;      /**< rather beside its thing over a line than led away */
    bool placed;          /**< false: there was no room */
    bool leader;          /**< a line leads from at to the words */
    mtmi_box box;         /**< of the words */
} mtmi_label;

/** What is taken of a part of the page. */
typedef struct mtmi_placer mtmi_placer;

/** Nothing is taken yet; words stay inside bounds. NULL without memory. */
mtmi_placer *mtmi_placer_create(mtmi_box bounds);
/** NULL is allowed. */
void mtmi_placer_free(mtmi_placer *placer);

/** No words come over this box. */
void mtmi_placer_block(mtmi_placer *placer, mtmi_box box);
/** Words keep off this line, where there is room elsewhere. */
void mtmi_placer_avoid(mtmi_placer *placer, const mtmi_point *point, size_t count);
/** Finds a place, takes it, and returns label->placed. */
bool mtmi_placer_place(mtmi_placer *placer, mtmi_label *label);
/** Takes a box for words where it lies inside bounds and crosses neither words nor, unless
 *  over_lines, lines; else returns false. */
bool mtmi_placer_take(mtmi_placer *placer, mtmi_box box, bool over_lines);
/** The same for words of this height along a line, as they stand when turned; over lines. */
bool mtmi_placer_take_along(mtmi_placer *placer, mtmi_point from, mtmi_point to, double height);
/** True once memory ran out; words may then come over each other. */
bool mtmi_placer_failed(const mtmi_placer *placer);

/** Draws words with their middle at a place, if mtmi_placer_take lets them. */
bool mtmi_label_draw_at(mtmi_canvas *canvas, mtmi_placer *placer, mtmi_point middle,
                        bool over_lines, const mtmi_type *type, const char *words);
/** Measures words, finds them a place, and draws them with their leader line. False where there was
 *  no room: nothing was drawn. */
bool mtmi_label_draw(mtmi_canvas *canvas, mtmi_placer *placer, mtmi_point at, double reach,
                     const mtmi_type *type, const char *words);
/** The same, for words with a ground (halo): rather beside their thing over a line than led away.
 */
bool mtmi_label_draw_close(mtmi_canvas *canvas, mtmi_placer *placer, mtmi_point at, double reach,
                           const mtmi_type *type, const char *words);

#endif
