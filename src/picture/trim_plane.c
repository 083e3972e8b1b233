/* SPDX-License-Identifier: MIT */
/* Trim plane: units before and after in a neighbourhood of their target. */
#include "picture/trim_rows.h"

#include "base/error.h"

#include <metamer/meter.h>
#include <metamer/tolerance.h>

#include <math.h>
#include <stdio.h>

#define PI 3.14159265358979323846
/* Corners of an ellipse. */
#define CORNERS 72
/* A neighbourhood reaches so much beyond what it holds, and so many tolerances at least. */
#define BEYOND 1.15
#define TOLERANCES 1.4
/* Most units with arrows, and with numbers. */
#define ARROWS_MAX 60
#define NUMBERS_MAX 200
/* Most units with a mark each, and places of marks along a side where there are more. */
#define MARKS_MAX 400
#define CELLS 96

static double apart(mtm_uv a, mtm_uv b)
{
    return fmax(fabs(a.u - b.u), fabs(a.v - b.v));
}

/* The plain formulas: derivatives of u' = 4 X / D and v' = 9 Y / D, D = X + 15 Y + 3 Z, and the
 * covariance that comes of them, of which the lower root makes a circle an ellipse. */
mtm_uv mtmi_trim_ellipse_at(const mtm_meter *meter, mtm_uv white, double angle)
{
    mtm_xy xy = mtm_xy_from_uv(white);
    mtm_xyz xyz = {xy.x / xy.y, 1, (1 - xy.x - xy.y) / xy.y};
    mtm_covariance c = mtm_meter_covariance(meter, xyz, 1);
    double d = xyz.x + 15 * xyz.y + 3 * xyz.z;
    double row[2][3] = {
        {4 / d - 4 * xyz.x / (d * d), -60 * xyz.x / (d * d), -12 * xyz.x / (d * d)},
        {-9 * xyz.y / (d * d), 9 / d - 135 * xyz.y / (d * d), -27 * xyz.y / (d * d)}};
    double of[2][2] = {{0, 0}, {0, 0}};

    for (int a = 0; a < 2; a++) {
        for (int b = 0; b < 2; b++) {
            for (int i = 0; i < 3; i++) {
                for (int k = 0; k < 3; k++)
                    of[a][b] += row[a][i] * c.at[i][k] * row[b][k];
            }
        }
    }
    double uu = sqrt(fmax(0, of[0][0]));
    double uv = uu > 0 ? of[1][0] / uu : 0;
    double vv = sqrt(fmax(0, of[1][1] - uv * uv));
    return (mtm_uv){white.u + 2 * uu * cos(angle),
                    white.v + 2 * (uv * cos(angle) + vv * sin(angle))};
}

static bool has_ellipse(const mtmi_trim_rows *rows)
{
    return rows->meter != NULL && rows->meter->xy > 0;
}

double mtmi_trim_half_after(const mtmi_trim_rows *rows)
{
    double half = fmax(MTM_STEP_UV, TOLERANCES * rows->tolerance_uv) / BEYOND;

    for (size_t i = 0; i < rows->count; i++) {
        if (rows->row[i].is_lit)
            half = fmax(half, apart(rows->row[i].after, rows->target));
    }
    for (size_t i = 0; i < rows->other_count; i++)
        half = fmax(half, apart(rows->others[i], rows->target));
    for (int i = 0; has_ellipse(rows) && i < CORNERS; i++)
        half =
            fmax(half, apart(mtmi_trim_ellipse_at(rows->meter, rows->target, 2 * PI * i / CORNERS),
                             rows->target));
    return BEYOND * half;
}

double mtmi_trim_half_all(const mtmi_trim_rows *rows)
{
    double half = mtmi_trim_half_after(rows) / BEYOND;

    for (size_t i = 0; i < rows->count; i++) {
        if (rows->row[i].was_lit)
            half = fmax(half, apart(rows->row[i].before, rows->target));
    }
    return BEYOND * half;
}

void mtmi_trim_mark(mtmi_canvas *c, mtmi_point at, const mtmi_trim_rows *rows,
                    const mtmi_trim_row *row)
{
    mtmi_ink ink = mtmi_canvas_series(c, 0);
    double radius =
        mtmi_canvas_theme(c) == MTMI_THEME_PRINT ? 0.6 * MTMI_DOT_REACH : 0.85 * MTMI_DOT_REACH;

    switch (rows->compared ? MTM_VERDICT_INSIDE : row->verdict) {
    case MTM_VERDICT_INSIDE:
        mtmi_mark_dot(c, at, MTMI_SHAPE_DISC, ink);
        return;
    case MTM_VERDICT_OUTSIDE:
        mtmi_mark_dot(c, at, MTMI_SHAPE_TRIANGLE, ink);
        return;
    case MTM_VERDICT_OPEN:
    case MTM_VERDICT_TO_MEASURE:
        mtmi_mark_hollow(c, at, MTMI_SHAPE_DISC, ink);
        mtmi_arc(c, at.x, at.y, radius, PI / 2, 3 * PI / 2);
        mtmi_close(c);
        mtmi_fill(c, ink);
        return;
    default:
        mtmi_mark_dot(c, at, MTMI_SHAPE_SQUARE, ink);
    }
}

static mtmi_point at_uv(const mtmi_plane *plane, mtm_uv uv)
{
    return mtmi_plot_at(&plane->plot, uv.u, uv.v);
}

static void draw_ellipse(mtmi_canvas *c, const mtmi_plane *plane, const mtmi_trim_rows *rows)
{
    mtmi_point point[CORNERS];
    mtmi_ink ink = mtmi_canvas_ink(c, MTMI_INK_TEXT);

    for (int i = 0; i < CORNERS; i++)
        point[i] =
            at_uv(plane, mtmi_trim_ellipse_at(rows->meter, rows->target, 2 * PI * i / CORNERS));
    mtmi_lay_points(c, point, CORNERS, true);
    mtmi_fill(c, mtmi_ink_covering(ink, 0.1));
    mtmi_lay_points(c, point, CORNERS, true);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.75, MTMI_DASH_NONE});
}

static void draw_bounds(mtmi_canvas *c, const mtmi_plane *plane, const mtmi_trim_rows *rows)
{
    mtmi_pen dots = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 1.25, MTMI_DASH_DOTS};
    mtmi_pen fine = {mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.75, MTMI_DASH_DOTS};

    if (has_ellipse(rows))
        draw_ellipse(c, plane, rows);
    for (size_t i = 0; i <= rows->other_count; i++) {
        mtm_xy xy = mtm_xy_from_uv(i == 0 ? rows->target : rows->others[i - 1]);
        if (rows->tolerance_uv > 0) {
            mtmi_plane_lay_circle(c, plane, xy, rows->tolerance_uv);
            mtmi_stroke(c, dots);
        }
        for (int step = 1; step * MTM_STEP_UV < rows->tolerance_uv - MTM_STEP_UV / 2; step++) {
            if (step > 6)
                break;
            mtmi_plane_lay_circle(c, plane, xy, step * MTM_STEP_UV);
            mtmi_stroke(c, fine);
        }
        mtmi_mark_target(c, mtmi_plane_at(plane, xy));
    }
}

/* Places of a plane where a mark stands: of many units, one for all that lie as good as together.
 */
struct taken {
    const mtmi_plot *plot;
    bool all; /* few units: each has its mark */
    bool cell[CELLS][CELLS];
};

static bool take(struct taken *taken, mtmi_point at)
{
    const mtmi_box *box = &taken->plot->box;

    if (taken->all)
        return true;
    if (!mtmi_plot_holds(taken->plot, at, 0))
        return false;
    int column = (int)fmin(CELLS - 1, CELLS * (at.x - box->x) / box->width);
    int row = (int)fmin(CELLS - 1, CELLS * (at.y - box->y) / box->height);
    bool free = !taken->cell[row][column];
    taken->cell[row][column] = true;
    return free;
}

static void draw_before(mtmi_canvas *c, const mtmi_plane *plane, const mtmi_trim_rows *rows)
{
    struct taken taken = {.plot = &plane->plot, .all = rows->count <= MARKS_MAX};
    mtmi_ink ink = mtmi_canvas_series(c, 0);

    for (size_t i = 0; i < rows->count; i++) {
        const mtmi_trim_row *row = &rows->row[i];
        if (row->was_lit && row->is_lit && rows->count <= ARROWS_MAX)
            mtmi_mark_arrow(c, at_uv(plane, row->before), at_uv(plane, row->after));
    }
    for (size_t i = 0; i < rows->count; i++) {
        mtmi_point at = at_uv(plane, rows->row[i].before);
        if (rows->row[i].was_lit && take(&taken, at))
            mtmi_mark_hollow(c, at, MTMI_SHAPE_DISC, ink);
    }
}

/* One verdict after the other, so that none hides another. */
static void draw_after(mtmi_canvas *c, const mtmi_plane *plane, const mtmi_trim_rows *rows)
{
    for (int verdict = MTM_VERDICT_UNSTATED; verdict <= MTM_VERDICT_TO_MEASURE; verdict++) {
        struct taken taken = {.plot = &plane->plot, .all = rows->count <= MARKS_MAX};
        for (size_t i = 0; i < rows->count; i++) {
            const mtmi_trim_row *row = &rows->row[i];
            mtmi_point at = at_uv(plane, row->after);
            if (row->is_lit && (int)row->verdict == verdict && take(&taken, at))
                mtmi_trim_mark(c, at, rows, row);
        }
    }
}

static void block_mark(mtmi_plane *plane, mtmi_point at, double reach)
{
    mtmi_placer_block(plane->placer, (mtmi_box){at.x - reach, at.y - reach, 2 * reach, 2 * reach});
}

/* Beside its mark, or outside the target that this lies in. */
static void write_number(mtmi_canvas *c, mtmi_plane *plane, const mtmi_trim_rows *rows, mtm_uv uv,
                         size_t number)
{
    const mtmi_type type = {.halo = true};
    mtmi_point at = at_uv(plane, uv), target = at_uv(plane, rows->target);
    char text[24];

    if (!mtmi_plot_holds(&plane->plot, at, 0))
        return;
    bool on_target = hypot(at.x - target.x, at.y - target.y) < MTMI_TARGET_REACH;
    double reach = on_target ? 2 * MTMI_TARGET_REACH : MTMI_DOT_REACH;
    (void)snprintf(text, sizeof text, "%zu", number);
    if (!mtmi_label_draw_close(c, plane->placer, at, reach, &type, text))
        (void)mtmi_label_draw(c, plane->placer, at, reach, &type, text);
}

static void write_bounds(mtmi_canvas *c, mtmi_plane *plane, const mtmi_trim_rows *rows)
{
    const mtmi_type type = {.halo = true}, quiet = {.ink = MTMI_INK_QUIET, .halo = true};
    char text[80];

    if (rows->tolerance_uv > 0) {
        mtm_uv top = {rows->target.u, rows->target.v + rows->tolerance_uv};
        (void)snprintf(text, sizeof text, "%.4g steps", rows->tolerance_uv / MTM_STEP_UV);
        (void)mtmi_label_draw(c, plane->placer, at_uv(plane, top), 2, &type, text);
    }
    if (has_ellipse(rows))
        (void)mtmi_label_draw(
            c, plane->placer,
            at_uv(plane, mtmi_trim_ellipse_at(rows->meter, rows->target, -PI / 2)), 2, &quiet,
            "meter, k = 2");
}

/* Numbers stand where units are; with arrows, at the end that is farther from the target, for the
 * other ends lie close together. */
static void write_units(mtmi_canvas *c, mtmi_plane *plane, const mtmi_trim_rows *rows,
                        bool with_before)
{
    if (rows->count > NUMBERS_MAX)
        return;
    for (size_t i = 0; i < rows->count; i++) {
        const mtmi_trim_row *row = &rows->row[i];
        bool before =
            with_before && row->was_lit &&
            (!row->is_lit || apart(row->before, rows->target) > apart(row->after, rows->target));
        if (before)
            write_number(c, plane, rows, row->before, row->number);
        else if (row->is_lit)
            write_number(c, plane, rows, row->after, row->number);
    }
}

static void block_units(mtmi_plane *plane, const mtmi_trim_rows *rows, bool with_before)
{
    block_mark(plane, at_uv(plane, rows->target), MTMI_TARGET_REACH);
    for (size_t i = 0; i < rows->count && rows->count <= NUMBERS_MAX; i++) {
        const mtmi_trim_row *row = &rows->row[i];
        if (row->is_lit)
            block_mark(plane, at_uv(plane, row->after), MTMI_DOT_REACH);
        if (with_before && row->was_lit)
            block_mark(plane, at_uv(plane, row->before), MTMI_DOT_REACH);
    }
}

mtm_result mtmi_trim_plane_draw(mtmi_canvas *c, mtmi_box box, const mtmi_trim_rows *rows,
                                double half, bool with_before, const char *heading,
                                mtm_error *error)
{
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    const mtmi_type type = {.bold = true, .width = box.width};
    mtmi_plane plane = {0};

    (void)mtmi_words(c, box.x, box.y, &type, heading);
    box.y += line;
    box.height = fmax(1, box.height - line);
    mtm_result result = mtmi_plane_open_near(c, box, MTM_DIAGRAM_UV, MTM_OBSERVER_2,
                                             mtm_xy_from_uv(rows->target), half, &plane, error);
    if (result == MTM_OK) {
        mtmi_plane_draw_ground(c, &plane);
        mtmi_plot_clip(c, &plane.plot);
        draw_bounds(c, &plane, rows);
        if (with_before)
            draw_before(c, &plane, rows);
        draw_after(c, &plane, rows);
        mtmi_unclip(c);
        block_units(&plane, rows, with_before);
        write_units(c, &plane, rows, with_before);
        write_bounds(c, &plane, rows);
        mtmi_plane_draw_words(c, &plane);
    }
    mtmi_plane_close(&plane);
    return result;
}
