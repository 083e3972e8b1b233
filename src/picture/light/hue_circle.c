/* SPDX-License-Identifier: MIT */
/* Hue circle: how a light moves the colours of things, by hue bin, away from the reference's. */
#include "picture/light/hue_circle.h"

#include "picture/mark.h"

#include <math.h>
#include <stdio.h>

#define PI 3.14159265358979323846
#define RING 0.2
#define RINGS_MOST 10 /* the farthest: twice the reference's chroma */

/* Where a chroma and hue stand; hue against the clock, as a' to the right and b' upward have it. */
static mtmi_point place(mtmi_point middle, double unit, double chroma, double hue)
{
    return (mtmi_point){middle.x + unit * chroma * cos(hue), middle.y - unit * chroma * sin(hue)};
}

static double chroma_of(const mtm_fidelity *f, int bin)
{
    return fmax(0, 1 + f->chroma_shift[bin] / 100);
}

double mtmi_hue_circle_reach(const mtm_fidelity *f)
{
    double most = 1;

    for (int bin = 0; bin < MTM_HUE_BINS; bin++)
        most = f->bin_count[bin] > 0 ? fmax(most, chroma_of(f, bin)) : most;
    int rings = (int)ceil(most / RING - 1e-6);
    return RING * fmin(RINGS_MOST, fmax(6, rings));
}

static void draw_rings(mtmi_canvas *c, mtmi_point middle, double unit, double reach)
{
    mtmi_pen dots = {mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.6, MTMI_DASH_DOTS};
    mtmi_pen ring = {mtmi_canvas_ink(c, MTMI_INK_QUIET), 1.25, MTMI_DASH_NONE};

    for (int i = 3; RING * i <= reach + 1e-6; i++) {
        mtmi_circle(c, middle.x, middle.y, unit * RING * i);
        mtmi_stroke(c, i == 5 ? ring : dots);
    }
    mtmi_mark_cross(c, middle);
}

/* What the rings are apart, within the innermost. */
static void write_rings(mtmi_canvas *c, mtmi_point middle, double unit)
{
    const mtmi_type type = {.align = MTMI_ALIGN_MIDDLE, .ink = MTMI_INK_QUIET};
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    const char *words = "rings 20\u2009%";

    if (mtmi_words_extent(c, &type, words).width < 2 * unit * RING * 2.5)
        mtmi_words_middle(c, middle.x, middle.y + 0.9 * line, &type, words);
}

static void draw_bin(mtmi_canvas *c, mtmi_point middle, double unit, const mtm_fidelity *f, int bin)
{
    const mtmi_pen pen = {mtmi_canvas_series(c, 1), 1.75, MTMI_DASH_NONE};
    double hue = (bin + 0.5) * 2 * PI / MTM_HUE_BINS;
    double chroma = fmin(chroma_of(f, bin), RING * RINGS_MOST);
    mtmi_point from = place(middle, unit, 1, hue);
    mtmi_point to = place(middle, unit, chroma, hue + f->hue_shift[bin]);

    mtmi_rule(c, from.x, from.y, to.x, to.y, pen);
    double dot = fmin(2.75, unit / 24);
    mtmi_circle(c, from.x, from.y, 0.6 * dot);
    mtmi_fill(c, mtmi_canvas_ink(c, MTMI_INK_QUIET));
    mtmi_circle(c, to.x, to.y, dot);
    mtmi_fill(c, pen.ink);
}

static void write_bins(mtmi_canvas *c, mtmi_point middle, double unit, double chroma)
{
    const mtmi_type type = {.align = MTMI_ALIGN_MIDDLE, .ink = MTMI_INK_QUIET};
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    double apart = unit * chroma * 2 * PI / MTM_HUE_BINS;
    int each = apart >= 1.4 * line ? 1 : apart >= 0.7 * line ? 2 : 4;

    for (int bin = 0; bin < MTM_HUE_BINS; bin += each) {
        mtmi_point at = place(middle, unit, chroma, (bin + 0.5) * 2 * PI / MTM_HUE_BINS);
        char figure[16];
        (void)snprintf(figure, sizeof figure, "%d", bin + 1);
        mtmi_words_middle(c, at.x, at.y, &type, figure);
    }
}

void mtmi_hue_circle_draw(mtmi_canvas *c, mtmi_box box, const mtm_fidelity *f, double reach)
{
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    double radius = fmax(8, fmin(box.width, box.height) / 2 - 1.1 * line);
    double unit = radius / reach;
    mtmi_point middle = {box.x + box.width / 2, box.y + box.height / 2};

    draw_rings(c, middle, unit, reach);
    for (int bin = 0; bin < MTM_HUE_BINS; bin++) {
        if (f->bin_count[bin] > 0)
            draw_bin(c, middle, unit, f, bin);
    }
    write_rings(c, middle, unit);
    write_bins(c, middle, unit, reach + 0.6 * line / unit);
}
