/* SPDX-License-Identifier: MIT */
/* Swatches on a canvas: a light beside the white; a corner is cut where a screen cannot show it. */
#include "picture/swatch.h"

#include <math.h>

/* A cut corner's legs, of the swatch's height. */
#define CUT 0.5

void mtmi_swatch_draw(mtmi_canvas *c, mtmi_box box, const mtm_swatch *swatch)
{
    double right = box.x + box.width, bottom = box.y + box.height;
    double cut = swatch->shown ? 0 : CUT * fmin(box.width, box.height);

    mtmi_move(c, box.x, box.y);
    mtmi_line(c, right - cut, box.y);
    if (cut > 0)
        mtmi_line(c, right, box.y + cut);
    mtmi_line(c, right, bottom);
    mtmi_line(c, box.x, bottom);
    mtmi_close(c);
    mtmi_fill(c, (mtmi_ink){swatch->r / 255.0, swatch->g / 255.0, swatch->b / 255.0, 1});
}

void mtmi_swatch_draw_white(mtmi_canvas *c, mtmi_box box)
{
    mtmi_rectangle(c, box);
    mtmi_fill(c, (mtmi_ink){1, 1, 1, 1});
    mtmi_rectangle(c, box);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_RULE), 0.5, MTMI_DASH_NONE});
}
