/* SPDX-License-Identifier: MIT */
/* Marks: the same in every picture. */
#ifndef METAMER_PICTURE_MARK_H
#define METAMER_PICTURE_MARK_H

#include "canvas/canvas.h"
#include "picture/axes.h"

/** Shapes that tell kinds apart, before any hue. As many as MTMI_INK_SERIES. */
typedef enum mtmi_shape {
    MTMI_SHAPE_DISC = 0,
    MTMI_SHAPE_SQUARE,
    MTMI_SHAPE_TRIANGLE,
    MTMI_SHAPE_DIAMOND,
    MTMI_SHAPE_TRIANGLE_DOWN,
    MTMI_SHAPE_PENTAGON,
    MTMI_SHAPE_COUNT
} mtmi_shape;

/** How far marks reach from their middle, px. */
#define MTMI_DOT_REACH 4.0
#define MTMI_TARGET_REACH 9.0

/** A target: an open ring with a gap at each side, so that what lies under it is seen. */
void mtmi_mark_target(mtmi_canvas *canvas, mtmi_point at);
/** What a unit gives, or how something is afterwards: filled, with a thin rim of paper. */
void mtmi_mark_dot(mtmi_canvas *canvas, mtmi_point at, mtmi_shape shape, mtmi_ink ink);
/** How it was before: hollow. */
void mtmi_mark_hollow(mtmi_canvas *canvas, mtmi_point at, mtmi_shape shape, mtmi_ink ink);
/** A miss: a thin line from what is given to what was wanted. */
void mtmi_mark_miss(mtmi_canvas *canvas, mtmi_point given, mtmi_point wanted);
/** An arrow from before to after; none where they are as good as one. */
void mtmi_mark_arrow(mtmi_canvas *canvas, mtmi_point before, mtmi_point after);
/** A white that is spoken of: a small upright cross. */
void mtmi_mark_cross(mtmi_canvas *canvas, mtmi_point at);
/** A limit of the y axis: a line across with its name at the end, the far side (above, or below)
 *  shaded. Nothing where it lies outside the plot. */
void mtmi_mark_limit(mtmi_canvas *canvas, const mtmi_plot *plot, double value, bool far_is_above,
                     const char *name);

#endif
