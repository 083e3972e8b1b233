/* SPDX-License-Identifier: MIT */
/* The ground of a chromaticity diagram: the hint of colours, the axes, the spectrum. */
#include "picture/hint.h"
#include "picture/plane.h"
#include "picture/white_lines.h"

#include <math.h>
#include <stdio.h>

#define LOCUS MTMI_SPECTRUM_LOCUS_COUNT

/* Ticks of the spectrum: px outward. */
#define TICK 4.0
#define TICK_LONG 7.0

/* Wavelengths whose figures are written where there is room, in the order of need. */
static const int figures_nm[] = {460, 480, 500, 520, 540, 560, 580, 600, 620, 700, 470,
                                 490, 510, 530, 550, 570, 590, 610, 640, 440, 450, 380};

static void locus_points(const mtmi_plane *plane, mtmi_point point[LOCUS])
{
    mtm_xy xy[LOCUS];

    mtmi_spectrum_locus(plane->observer, xy);
    for (int i = 0; i < LOCUS; i++)
        point[i] = mtmi_plane_at(plane, xy[i]);
}

/* Outward at a point of the locus: across it, away from the white. */
static mtmi_point outward(const mtmi_plane *plane, const mtmi_point *point, int i)
{
    const mtmi_point *before = &point[i > 2 ? i - 3 : 0];
    const mtmi_point *after = &point[i + 3 < LOCUS ? i + 3 : LOCUS - 1];
    mtmi_point white = mtmi_plane_at(plane, (mtm_xy){1.0 / 3, 1.0 / 3});
    double x = before->y - after->y, y = after->x - before->x;
    double length = hypot(x, y);

    if (length == 0)
        return (mtmi_point){0, 1};
    if (x * (point[i].x - white.x) + y * (point[i].y - white.y) < 0)
        length = -length;
    return (mtmi_point){x / length, y / length};
}

static void draw_spectrum(mtmi_canvas *c, mtmi_plane *plane, const mtmi_point point[LOCUS])
{
    mtmi_pen line = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 1.25, MTMI_DASH_NONE};
    mtmi_pen tick = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.75, MTMI_DASH_NONE};
    mtmi_pen purple = {mtmi_canvas_ink(c, MTMI_INK_QUIET), 1, MTMI_DASH_NONE};
    const mtmi_point ends[2] = {point[0], point[LOCUS - 1]};

    mtmi_lay_points(c, ends, 2, false);
    mtmi_stroke(c, purple);
    mtmi_lay_points(c, point, LOCUS, false);
    mtmi_stroke(c, line);
    for (int i = 0; i < LOCUS; i += 10) {
        mtmi_point out = outward(plane, point, i);
        double length = i % 20 == 0 ? TICK_LONG : TICK;
        mtmi_rule(c, point[i].x, point[i].y, point[i].x + length * out.x,
                  point[i].y + length * out.y, tick);
    }
    mtmi_placer_avoid(plane->placer, point, LOCUS);
    mtmi_placer_avoid(plane->placer, ends, 2);
}

void mtmi_plane_draw_ground(mtmi_canvas *c, mtmi_plane *plane)
{
    mtmi_point point[LOCUS];

    locus_points(plane, point);
    mtmi_hint_draw(c, plane, point, LOCUS);
    mtmi_plot_axes(c, &plane->plot, &plane->x, &plane->y);
    mtmi_plot_clip(c, &plane->plot);
    draw_spectrum(c, plane, point);
    mtmi_white_lines_draw(c, plane);
    mtmi_unclip(c);
}

static void write_wavelengths(mtmi_canvas *c, mtmi_plane *plane, const mtmi_point point[LOCUS])
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET};

    for (size_t k = 0; k < sizeof figures_nm / sizeof figures_nm[0]; k++) {
        char words[24];
        int i = figures_nm[k] - MTMI_SPECTRUM_LOCUS_FIRST_NM;
        if (!mtmi_plot_holds(&plane->plot, point[i], 0))
            continue;
        (void)snprintf(words, sizeof words, "%d nm", figures_nm[k]);
        mtmi_point out = outward(plane, point, i);
        mtmi_extent extent = mtmi_words_extent(c, &type, words);
        double away =
            TICK_LONG + 3 + fabs(out.x) * extent.width / 2 + fabs(out.y) * extent.height / 2;
        mtmi_point middle = {point[i].x + away * out.x, point[i].y + away * out.y};
        (void)mtmi_label_draw_at(c, plane->placer, middle, false, &type, words);
    }
}

void mtmi_plane_draw_words(mtmi_canvas *c, mtmi_plane *plane)
{
    mtmi_point point[LOCUS];

    locus_points(plane, point);
    mtmi_white_lines_write(c, plane);
    write_wavelengths(c, plane, point);
}
