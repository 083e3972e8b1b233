/* SPDX-License-Identifier: MIT */
/* Swatches on a canvas: a light beside the white; a corner is cut where a screen cannot show it. */
#ifndef METAMER_PICTURE_SWATCH_H
#define METAMER_PICTURE_SWATCH_H

#include "canvas/canvas.h"

#include <metamer/swatch.h>

/** Fills a box with a swatch. Its upper right corner is cut where the screen cannot show it. */
void mtmi_swatch_draw(mtmi_canvas *canvas, mtmi_box box, const mtm_swatch *swatch);
/** Fills a box with the reference white, with a fine outline; swatches stand inside. */
void mtmi_swatch_draw_white(mtmi_canvas *canvas, mtmi_box box);

#endif
