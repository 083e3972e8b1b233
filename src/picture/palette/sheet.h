/* SPDX-License-Identifier: MIT */
/* Sheet of swatches: drawn in a grid. */
#ifndef METAMER_PICTURE_PALETTE_SHEET_H
#define METAMER_PICTURE_PALETTE_SHEET_H

#include "canvas/canvas.h"
#include "picture/palette/grid.h"

/** Draws rows into a box; what has no room is counted below. */
MTM_CHECKED mtm_result mtmi_palette_sheet_draw(mtmi_canvas *canvas, mtmi_box box,
                                               const mtmi_palette_rows *rows, mtm_error *error);

#endif
