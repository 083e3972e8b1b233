/* SPDX-License-Identifier: MIT */
/* Inside of a canvas: what its lines and its words share. */
#ifndef METAMER_CANVAS_INSIDE_H
#define METAMER_CANVAS_INSIDE_H

#include "canvas/canvas.h"
#include "canvas/library.h"

struct mtmi_canvas {
    mtmi_library f;
    mtmi_canvas_form form;
    mtmi_theme theme;
    double width, height;
    int page; /* of PDF, from 1 */
    char *title, *about;
    cairo_surface_t *surface;
    cairo_t *cairo;
    PangoContext *pango;
    mtmi_text bytes; /* what the surface wrote */
    bool failed;     /* memory ran out while something was drawn */
};

#endif
