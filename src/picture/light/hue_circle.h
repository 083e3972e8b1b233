/* SPDX-License-Identifier: MIT */
/* Hue circle: how a light moves the colours of things, by hue bin, away from the reference's. */
#ifndef METAMER_PICTURE_LIGHT_HUE_CIRCLE_H
#define METAMER_PICTURE_LIGHT_HUE_CIRCLE_H

#include "canvas/canvas.h"

#include <metamer/quality.h>

/** The chroma that a picture of these indices reaches to, the reference's being 1; a multiple of
 *  0.2, 1.2..2. */
double mtmi_hue_circle_reach(const mtm_fidelity *fidelity);
/** Draws it, the reference's chroma as a circle, with room for this chroma. */
void mtmi_hue_circle_draw(mtmi_canvas *canvas, mtmi_box box, const mtm_fidelity *fidelity,
                          double reach);

#endif
