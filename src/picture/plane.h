/* SPDX-License-Identifier: MIT */
/* Plane: a chromaticity diagram's ground: where colours lie, the spectrum, and the whites. */
#ifndef METAMER_PICTURE_PLANE_H
#define METAMER_PICTURE_PLANE_H

#include "picture/axes.h"
#include "picture/label.h"

#include <metamer/colour.h>
#include <metamer/picture.h>

/** A part of a chromaticity diagram on a canvas. */
typedef struct mtmi_plane {
    mtm_diagram diagram;
    mtm_observer observer;
    bool enlarged;  /**< a neighbourhood: finer ticks, no spectrum's figures */
    mtmi_axis x, y; /**< of plot */
    mtmi_plot plot;
    mtmi_placer *placer; /**< for words on the plane; inside the plot */
} mtmi_plane;

/** Lays out the whole diagram, or a square neighbourhood of half this many units about a colour (in
 *  the diagram's own coordinates). mtmi_plane_close it, also after a failure. MTM_OK, MTM_MEMORY.
 */
MTM_CHECKED mtm_result mtmi_plane_open(mtmi_canvas *canvas, mtmi_box box, mtm_diagram diagram,
                                       mtm_observer observer, mtmi_plane *plane, mtm_error *error);
MTM_CHECKED mtm_result mtmi_plane_open_near(mtmi_canvas *canvas, mtmi_box box, mtm_diagram diagram,
                                            mtm_observer observer, mtm_xy middle, double half,
                                            mtmi_plane *plane, mtm_error *error);
void mtmi_plane_close(mtmi_plane *plane);

/** Where a chromaticity stands. */
mtmi_point mtmi_plane_at(const mtmi_plane *plane, mtm_xy xy);
/** Its coordinates in the diagram. */
mtmi_point mtmi_plane_coordinates(mtm_diagram diagram, mtm_xy xy);
/** A circle in u', v' about a colour; an ellipse in x, y. For mtmi_stroke or mtmi_fill. */
void mtmi_plane_lay_circle(mtmi_canvas *canvas, const mtmi_plane *plane, mtm_xy middle,
                           double radius_uv);

/** Draws axes, the hint of colours, spectrum locus, Planckian and daylight locus. Their words are
 *  drawn by the second, when what matters more has its place. */
void mtmi_plane_draw_ground(mtmi_canvas *canvas, mtmi_plane *plane);
void mtmi_plane_draw_words(mtmi_canvas *canvas, mtmi_plane *plane);

/** Frames in the whole diagram what a neighbourhood enlarges. */
void mtmi_plane_draw_frame(mtmi_canvas *canvas, const mtmi_plane *whole, const mtmi_plane *near);

/** The spectrum locus: first 380 nm, last 700 nm, each 1 nm. */
#define MTMI_SPECTRUM_LOCUS_FIRST_NM 380
#define MTMI_SPECTRUM_LOCUS_COUNT 321
void mtmi_spectrum_locus(mtm_observer observer, mtm_xy point[MTMI_SPECTRUM_LOCUS_COUNT]);

/** What a diagram shows, for the quiet line: observer and standards, and what its fill is. */
void mtmi_plane_add_sources(mtmi_text *text, mtm_diagram diagram, mtm_observer observer);

#endif
