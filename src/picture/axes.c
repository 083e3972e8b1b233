/* SPDX-License-Identifier: MIT */
/* Axes: a plot's frame, its grid, its figures and the names of what is plotted. */
#include "picture/axes.h"

#include <math.h>
#include <stdio.h>

/* From the frame to the figures, and from these to the name. */
#define GAP 4.0
/* A figure takes about so many of the type's height along the x axis, with the space behind. */
#define FIGURE_SPACING 5.0
#define FIGURE_SPACING_UP 2.6
/* Most round values along an axis. */
#define TICKS_MAX 128

static const mtmi_type figure_type = {.size = MTMI_TYPE_SMALL, .ink = MTMI_INK_QUIET};

/* The round values along an axis. */
struct ticks {
    double at[TICKS_MAX];
    int count;
};

static struct ticks ticks_of(const mtmi_axis *axis, double step)
{
    struct ticks ticks = {.count = 0};
    double noise = 1e-6 * (axis->logarithmic ? axis->to : step);
    double first = axis->logarithmic ? step * ceil(log10(axis->from) / step - 1e-9)
                                     : ceil(axis->from / step - 1e-6);

    while (ticks.count < TICKS_MAX) {
        double at =
            axis->logarithmic ? pow(10, first + step * ticks.count) : (first + ticks.count) * step;
        if (!(at <= axis->to + noise))
            break;
        ticks.at[ticks.count++] = at;
    }
    return ticks;
}

static double step_of(mtmi_canvas *c, const mtmi_axis *axis, double length, double spacing)
{
    if (axis->step > 0)
        return axis->step;
    if (axis->word_count > 0)
        return 1;
    double room = spacing * mtmi_type_height(c, MTMI_TYPE_SMALL);
    int most = (int)fmax(1, floor(length / room));
    if (axis->logarithmic) /* decades from one figure to the next */
        return fmax(1, ceil(log10(axis->to / axis->from) / (1.5 * most) - 1e-9));
    return mtmi_round_step(axis->to - axis->from, most);
}

/* "0.001" to "10000", beyond as "10⁻⁶". */
static const char *power_of_ten(int power, char text[MTMI_FIGURE_ROOM])
{
    static const char *const raised[] = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    int size = power < 0 ? -power : power;

    if (power >= -3 && power <= 4)
        return mtmi_figure(text, pow(10, power), power < 0 ? size : 0, NULL);
    (void)snprintf(text, MTMI_FIGURE_ROOM, "10%s%s%s", power < 0 ? "⁻" : "",
                   size >= 10 ? raised[size / 10 % 10] : "", raised[size % 10]);
    return text;
}

static const char *figure_of(const mtmi_axis *axis, double step, double value,
                             char text[MTMI_FIGURE_ROOM])
{
    if (axis->word_count > 0) {
        long index = lround(value);
        return index >= 0 && index < axis->word_count ? axis->word[index] : "";
    }
    if (axis->logarithmic)
        return power_of_ten((int)lround(log10(value)), text);
    int decimals = mtmi_step_decimals(step);
    return mtmi_figure(text, value, decimals, NULL);
}

/* The widest of an axis' figures. */
static double figures_width(mtmi_canvas *c, const mtmi_axis *axis, double step)
{
    char text[MTMI_FIGURE_ROOM];
    double widest = 0;

    if (axis->no_figures)
        return 0;
    const struct ticks ticks = ticks_of(axis, step);
    for (int i = 0; i < ticks.count; i++)
        widest = fmax(
            widest,
            mtmi_words_extent(c, &figure_type, figure_of(axis, step, ticks.at[i], text)).width);
    return widest;
}

mtmi_plot mtmi_plot_layout(mtmi_canvas *c, mtmi_box box, const mtmi_axis *x, const mtmi_axis *y,
                           bool even)
{
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    double step_y = step_of(c, y, box.height, FIGURE_SPACING_UP);
    double left = (y->name != NULL ? line + GAP : 0) +
                  (y->no_figures ? 0 : figures_width(c, y, step_y) + 2 * GAP);
    double below = (x->name != NULL ? line : 0) + (x->no_figures ? 0 : line + 2 * GAP);
    double right = x->no_figures ? 1 : line;
    double above = y->no_figures ? 1 : line / 2;
    mtmi_box in = {box.x + left, box.y + above, fmax(1, box.width - left - right),
                   fmax(1, box.height - above - below)};

    if (even) {
        double unit = fmin(in.width / (x->to - x->from), in.height / (y->to - y->from));
        in.width = unit * (x->to - x->from);
        in.height = unit * (y->to - y->from);
    }
    return (mtmi_plot){
        .box = in,
        .x = {x->from, x->to, in.x, in.x + in.width, x->logarithmic},
        .y = {y->from, y->to, in.y + in.height, in.y, y->logarithmic},
    };
}

static mtmi_pen grid_pen(mtmi_canvas *c)
{
    return (mtmi_pen){mtmi_ink_covering(mtmi_canvas_ink(c, MTMI_INK_RULE), 0.8), 0.75,
                      MTMI_DASH_NONE};
}

static void draw_x(mtmi_canvas *c, const mtmi_plot *plot, const mtmi_axis *axis)
{
    double step = step_of(c, axis, plot->box.width, FIGURE_SPACING);
    double bottom = plot->box.y + plot->box.height;
    mtmi_type type = figure_type;
    char text[MTMI_FIGURE_ROOM];

    type.align = MTMI_ALIGN_MIDDLE;
    const struct ticks ticks = ticks_of(axis, step);
    for (int i = 0; i < ticks.count; i++) {
        double at = ticks.at[i];
        double x = mtmi_scale_at(&plot->x, at);
        mtmi_rule(c, x, axis->no_grid ? bottom : plot->box.y, x, bottom + (axis->no_grid ? GAP : 0),
                  grid_pen(c));
        if (!axis->no_figures)
            (void)mtmi_words(c, x, bottom + GAP, &type, figure_of(axis, step, at, text));
    }
    if (axis->name == NULL)
        return;
    double line = axis->no_figures ? 0 : mtmi_line_height(c, MTMI_TYPE_SMALL) + GAP / 2;
    type.ink = MTMI_INK_TEXT;
    (void)mtmi_words(c, plot->box.x + plot->box.width / 2, bottom + GAP + line, &type, axis->name);
}

static void draw_y(mtmi_canvas *c, const mtmi_plot *plot, const mtmi_axis *axis)
{
    double step = step_of(c, axis, plot->box.height, FIGURE_SPACING_UP);
    double right = plot->box.x + plot->box.width;
    double widest = figures_width(c, axis, step);
    mtmi_type type = figure_type;
    char text[MTMI_FIGURE_ROOM];

    type.align = MTMI_ALIGN_RIGHT;
    const struct ticks ticks = ticks_of(axis, step);
    for (int i = 0; i < ticks.count; i++) {
        double at = ticks.at[i];
        double y = mtmi_scale_at(&plot->y, at);
        mtmi_rule(c, plot->box.x - (axis->no_grid ? GAP : 0), y,
                  axis->no_grid ? plot->box.x : right, y, grid_pen(c));
        if (!axis->no_figures)
            mtmi_words_middle(c, plot->box.x - GAP, y, &type, figure_of(axis, step, at, text));
    }
    if (axis->name == NULL)
        return;
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    type = (mtmi_type){.align = MTMI_ALIGN_MIDDLE, .angle = -1.5707963267948966};
    mtmi_words_middle(c, plot->box.x - (axis->no_figures ? GAP : widest + 2 * GAP) - line / 2,
                      plot->box.y + plot->box.height / 2, &type, axis->name);
}

void mtmi_plot_axes(mtmi_canvas *c, const mtmi_plot *plot, const mtmi_axis *x, const mtmi_axis *y)
{
    draw_x(c, plot, x);
    draw_y(c, plot, y);
    mtmi_rectangle(c, plot->box);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_RULE), 1, MTMI_DASH_NONE});
}

mtmi_point mtmi_plot_at(const mtmi_plot *plot, double x, double y)
{
    return (mtmi_point){mtmi_scale_at(&plot->x, x), mtmi_scale_at(&plot->y, y)};
}

bool mtmi_plot_holds(const mtmi_plot *plot, mtmi_point at, double beyond)
{
    const mtmi_box *box = &plot->box;

    return at.x >= box->x - beyond && at.x <= box->x + box->width + beyond &&
           at.y >= box->y - beyond && at.y <= box->y + box->height + beyond;
}

void mtmi_plot_clip(mtmi_canvas *c, const mtmi_plot *plot)
{
    mtmi_rectangle(c, plot->box);
    mtmi_clip(c);
}
