/* SPDX-License-Identifier: MIT */
/* Axes: a plot's frame, its grid, its figures and the names of what is plotted. */
#ifndef METAMER_PICTURE_AXES_H
#define METAMER_PICTURE_AXES_H

#include "canvas/canvas.h"
#include "picture/scale.h"

/** One axis. Zero all but from, to and name for the usual. */
typedef struct mtmi_axis {
    double from, to;
    const char *name;        /**< "u'", "Output, lm": with the unit behind a comma; NULL: none */
    double step;             /**< between figures (decades, where logarithmic); 0: one that fits */
    bool logarithmic;        /**< figures at powers of ten */
    bool no_figures;         /**< the grid alone */
    bool no_grid;            /**< ticks outside the frame instead */
    const char *const *word; /**< words in place of figures, at 0, 1, 2...; word_count of them */
    int word_count;
} mtmi_axis;

/** A plot: the box inside its axes, and the scales along it (y grows upward). */
typedef struct mtmi_plot {
    mtmi_box box;
    mtmi_scale x, y;
} mtmi_plot;

/** Lays a plot and its axes out in a box: what their figures and names need is taken off. even: one
 *  unit is as long on both axes, and the plot is made narrower or lower for it. Draws nothing. */
mtmi_plot mtmi_plot_layout(mtmi_canvas *canvas, mtmi_box box, const mtmi_axis *x,
                           const mtmi_axis *y, bool even);
/** Draws frame, grid, figures and names of a plot that was laid out for these axes. */
void mtmi_plot_axes(mtmi_canvas *canvas, const mtmi_plot *plot, const mtmi_axis *x,
                    const mtmi_axis *y);
/** Where values stand. */
mtmi_point mtmi_plot_at(const mtmi_plot *plot, double x, double y);
/** True for a place inside the plot's box, or at most beyond px out of it. */
bool mtmi_plot_holds(const mtmi_plot *plot, mtmi_point at, double beyond);
/** Clips to the plot's box, until mtmi_unclip. */
void mtmi_plot_clip(mtmi_canvas *canvas, const mtmi_plot *plot);

#endif
