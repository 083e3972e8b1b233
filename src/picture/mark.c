/* SPDX-License-Identifier: MIT */
/* Marks: the same in every picture. */
#include "picture/mark.h"

#include <math.h>

#define PI 3.14159265358979323846
/* Of the ring: half of each gap, radians. */
#define HALF_GAP 0.30

/* Marks of print are smaller, as its type is; what they keep free is not. */
static double size_of(const mtmi_canvas *c)
{
    return mtmi_canvas_theme(c) == MTMI_THEME_PRINT ? 0.7 : 1;
}

static void lay_ring(mtmi_canvas *c, mtmi_point at)
{
    double radius = size_of(c) * (MTMI_TARGET_REACH - 1.5);

    for (int quarter = 0; quarter < 4; quarter++)
        mtmi_arc(c, at.x, at.y, radius, quarter * PI / 2 + HALF_GAP,
                 (quarter + 1) * PI / 2 - HALF_GAP);
}

void mtmi_mark_target(mtmi_canvas *c, mtmi_point at)
{
    lay_ring(c, at);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_PAPER), 4.5, MTMI_DASH_NONE});
    lay_ring(c, at);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 2, MTMI_DASH_NONE});
}

/* An even polygon of this many corners, the first in direction turn. */
static void lay_corners(mtmi_canvas *c, mtmi_point at, int corners, double radius, double turn)
{
    for (int i = 0; i < corners; i++) {
        double angle = turn + 2 * PI * i / corners;
        double x = at.x + radius * cos(angle), y = at.y + radius * sin(angle);
        if (i == 0)
            mtmi_move(c, x, y);
        else
            mtmi_line(c, x, y);
    }
    mtmi_close(c);
}

/* Shapes of about the same surface. */
static void lay_shape(mtmi_canvas *c, mtmi_point at, mtmi_shape shape, double reach)
{
    static const struct {
        int corners;
        double radius, turn;
    } shapes[MTMI_SHAPE_COUNT] = {{0, 0.85, 0},      {4, 1.08, PI / 4}, {3, 1.2, -PI / 2},
                                  {4, 1.12, PI / 2}, {3, 1.2, PI / 2},  {5, 1.0, -PI / 2}};

    if (shapes[shape].corners == 0)
        mtmi_circle(c, at.x, at.y, shapes[shape].radius * reach);
    else
        lay_corners(c, at, shapes[shape].corners, shapes[shape].radius * reach, shapes[shape].turn);
}

void mtmi_mark_dot(mtmi_canvas *c, mtmi_point at, mtmi_shape shape, mtmi_ink ink)
{
    lay_shape(c, at, shape, size_of(c) * MTMI_DOT_REACH);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_PAPER), 2, MTMI_DASH_NONE});
    lay_shape(c, at, shape, size_of(c) * MTMI_DOT_REACH);
    mtmi_fill(c, ink);
}

void mtmi_mark_hollow(mtmi_canvas *c, mtmi_point at, mtmi_shape shape, mtmi_ink ink)
{
    lay_shape(c, at, shape, size_of(c) * MTMI_DOT_REACH);
    mtmi_fill(c, mtmi_canvas_ink(c, MTMI_INK_PAPER));
    lay_shape(c, at, shape, size_of(c) * MTMI_DOT_REACH);
    mtmi_stroke(c, (mtmi_pen){ink, 1.25, MTMI_DASH_NONE});
}

void mtmi_mark_miss(mtmi_canvas *c, mtmi_point given, mtmi_point wanted)
{
    mtmi_rule(c, given.x, given.y, wanted.x, wanted.y,
              (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.75, MTMI_DASH_NONE});
}

void mtmi_mark_arrow(mtmi_canvas *c, mtmi_point before, mtmi_point after)
{
    double length = hypot(after.x - before.x, after.y - before.y);
    double apart = 2 * (MTMI_DOT_REACH + 1);

    if (length <= apart + 4)
        return;
    double x = (after.x - before.x) / length, y = (after.y - before.y) / length;
    mtmi_point tip = {after.x - x * apart / 2, after.y - y * apart / 2};
    mtmi_pen pen = {mtmi_canvas_ink(c, MTMI_INK_QUIET), 1, MTMI_DASH_NONE};
    mtmi_rule(c, before.x + x * apart / 2, before.y + y * apart / 2, tip.x - x * 4, tip.y - y * 4,
              pen);
    mtmi_move(c, tip.x, tip.y);
    mtmi_line(c, tip.x - x * 6 - y * 2.5, tip.y - y * 6 + x * 2.5);
    mtmi_line(c, tip.x - x * 6 + y * 2.5, tip.y - y * 6 - x * 2.5);
    mtmi_close(c);
    mtmi_fill(c, pen.ink);
}

void mtmi_mark_cross(mtmi_canvas *c, mtmi_point at)
{
    mtmi_pen pen = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 1, MTMI_DASH_NONE};

    double arm = 3.5 * size_of(c);

    mtmi_rule(c, at.x - arm, at.y, at.x + arm, at.y, pen);
    mtmi_rule(c, at.x, at.y - arm, at.x, at.y + arm, pen);
}

void mtmi_mark_limit(mtmi_canvas *c, const mtmi_plot *plot, double value, bool far_is_above,
                     const char *name)
{
    const mtmi_box *box = &plot->box;
    double y = mtmi_scale_at(&plot->y, value);
    double right = box->x + box->width;
    mtmi_type type = {.align = MTMI_ALIGN_RIGHT, .width = box->width - 8, .halo = true};

    if (!(y >= box->y && y <= box->y + box->height))
        return;
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    bool above = y - line - 2 >= box->y;
    mtmi_rectangle(c, (mtmi_box){box->x, far_is_above ? box->y : y, box->width,
                                 far_is_above ? y - box->y : box->y + box->height - y});
    mtmi_fill(c, mtmi_ink_covering(mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.12));
    mtmi_rule(c, box->x, y, right, y,
              (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1.25, MTMI_DASH_NONE});
    (void)mtmi_words(c, right - 4, above ? y - line - 1 : y + 1, &type, name);
}
