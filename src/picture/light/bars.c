/* SPDX-License-Identifier: MIT */
/* Bars: indices side by side, numbered from 1, to 100 at most. */
#include "picture/light/bars.h"

#include <math.h>
#include <stdio.h>

#define TOP 100.0
/* Of the room of a bar, what it fills. */
#define WIDTH_SHARE 0.7

/* Room of one bar, px. */
static double pitch(const mtmi_plot *plot)
{
    return plot->box.width / (plot->x.to - plot->x.from);
}

static void draw_bar(mtmi_canvas *c, const mtmi_plot *plot, const mtmi_bars *bars, int index)
{
    double value = fmax(bars->bottom, fmin(TOP, bars->value[index]));
    double zero = mtmi_scale_at(&plot->y, 0), end = mtmi_scale_at(&plot->y, value);
    double x = mtmi_scale_at(&plot->x, index + 1);
    double half = WIDTH_SHARE * pitch(plot) / 2;
    mtmi_ink ink = mtmi_canvas_series(c, 0);

    mtmi_rectangle(c, (mtmi_box){x - half, fmin(zero, end), 2 * half, fabs(zero - end)});
    mtmi_fill(c, mtmi_ink_covering(ink, 0.75));
    if (bars->value[index] < bars->bottom) { /* it goes on: a cut end */
        mtmi_move(c, x - half, end);
        mtmi_line(c, x, end - half);
        mtmi_line(c, x + half, end);
        mtmi_close(c);
        mtmi_fill(c, mtmi_canvas_ink(c, MTMI_INK_PAPER));
    }
}

/* The figure of a bar at its end, outside. */
static void write_bar(mtmi_canvas *c, const mtmi_plot *plot, const mtmi_bars *bars, int index,
                      const char *prefix)
{
    mtmi_type type = {.align = MTMI_ALIGN_MIDDLE, .halo = prefix[0] != '\0'};
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL), value = bars->value[index];
    double x = mtmi_scale_at(&plot->x, index + 1);
    double y = mtmi_scale_at(&plot->y, fmax(bars->bottom, fmin(TOP, value)));
    char figure[MTMI_FIGURE_ROOM], words[MTMI_FIGURE_ROOM + 24];

    (void)snprintf(words, sizeof words, "%s%s", prefix, mtmi_figure(figure, value, 0, NULL));
    bool above = value >= 0 ? y - line >= plot->box.y : y + line > plot->box.y + plot->box.height;
    (void)mtmi_words(c, x, above ? y - line : y + 1, &type, words);
}

/* The mean as a line over its bars, its name above the right end. */
static void draw_line(mtmi_canvas *c, const mtmi_plot *plot, const mtmi_bars *bars)
{
    const mtmi_type type = {.bold = true, .halo = true};
    int count = bars->line_count > 0 ? bars->line_count : bars->count;
    double from = mtmi_scale_at(&plot->x, 0.5), to = mtmi_scale_at(&plot->x, count + 0.5);
    double at = fmax(bars->bottom, fmin(TOP, bars->line)), y = mtmi_scale_at(&plot->y, at);
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);

    mtmi_rule(c, from, y, to, y, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_PAPER), 3, MTMI_DASH_NONE});
    mtmi_rule(c, from, y, to, y,
              (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1.5, MTMI_DASH_LONG});
    bool above = y - line - 2 >= plot->box.y;
    (void)mtmi_words(c, from + 4, above ? y - line - 2 : y + 3, &type, bars->line_name);
}

void mtmi_bars_draw(mtmi_canvas *c, mtmi_box box, const mtmi_bars *bars)
{
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    mtmi_axis x = {.from = 0.5, .to = bars->count + 0.5, .name = bars->axis, .no_grid = true};
    const mtmi_axis y = {.from = bars->bottom, .to = TOP, .step = bars->bottom < -50 ? 100 : 50};

    x.step = 1;
    mtmi_plot plot = mtmi_plot_layout(c, box, &x, &y, false);
    while (x.step < 4 && x.step * pitch(&plot) < 1.6 * line)
        x.step *= 2;
    mtmi_plot_axes(c, &plot, &x, &y);
    for (int i = 0; i < bars->count; i++)
        draw_bar(c, &plot, bars, i);
    double zero = mtmi_scale_at(&plot.y, 0);
    mtmi_rule(c, plot.box.x, zero, plot.box.x + plot.box.width, zero,
              (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_QUIET), 1, MTMI_DASH_NONE});
    draw_line(c, &plot, bars);
    for (int i = 0; i < bars->count && pitch(&plot) >= 2 * line; i++)
        write_bar(c, &plot, bars, i, "");
    if (bars->named > 0 && pitch(&plot) < 2 * line) {
        char prefix[24];
        (void)snprintf(prefix, sizeof prefix, "%s%d: ", bars->prefix, bars->named);
        write_bar(c, &plot, bars, bars->named - 1, prefix);
    }
}
