/* SPDX-License-Identifier: MIT */
/* White lines: Planckian and daylight locus in a chromaticity diagram, with their scales. */
#include "picture/white_lines.h"

#include "colour/locus.h"
#include "picture/mark.h"

#include <metamer/illuminant.h>
#include <metamer/white.h>

#include <math.h>
#include <stdio.h>

#define FIRST_MIRED 40.0
#define LAST_MIRED 1000.0
#define CURVE_POINTS 193
/* Lines of equal temperature reach so far, Duv. */
#define REACH_WHOLE 0.02
#define REACH_NEAR 0.05
/* Ticks of the whole diagram, and how far they reach. */
#define TICK_MIRED 50.0
#define TICK_DUV 0.004
/* Most lines of equal temperature, and of equal Duv to one side, of a neighbourhood. */
#define ISOTHERMS_MAX 7
#define DUV_LINES 4

/* In the order of need, for where their figures crowd. */
static const double whole_k[] = {2000, 3000, 5000, 10000, 4000, 6500, 25000, 1500, 2500};
#define WHOLE_COUNT (sizeof whole_k / sizeof whole_k[0])

mtm_xy mtmi_white_beside(mtm_observer observer, double mired, double duv)
{
    mtmi_locus_point p = mtmi_locus_at(observer, mired);
    double length = hypot(p.du, p.dv);
    double u = p.u - duv * p.dv / length, v = p.v + duv * p.du / length;

    return mtm_xy_from_uv((mtm_uv){u, v * 1.5});
}

static mtmi_point place(const mtmi_plane *plane, double mired, double duv)
{
    return mtmi_plane_at(plane, mtmi_white_beside(plane->observer, mired, duv));
}

/* The round temperatures whose lines are drawn, kelvin; returns their number. */
struct isotherms {
    double cct_k[WHOLE_COUNT > ISOTHERMS_MAX ? WHOLE_COUNT : ISOTHERMS_MAX];
    int count;
    double reach;
};

/* True if some of a line of equal temperature shows. */
static bool shows(const mtmi_plane *plane, double cct_k, double reach)
{
    for (int i = -8; i <= 8; i++) {
        if (mtmi_plot_holds(&plane->plot, place(plane, 1e6 / cct_k, reach * i / 8), 0))
            return true;
    }
    return false;
}

static int count_isotherms(const mtmi_plane *plane, double step_k, struct isotherms *lines)
{
    int count = 0;

    for (int i = 0; MTM_CCT_MIN_K + i * step_k <= MTM_CCT_MAX_K && count <= ISOTHERMS_MAX; i++) {
        double k = MTM_CCT_MIN_K + i * step_k;
        if (!shows(plane, k, REACH_NEAR))
            continue;
        if (count < ISOTHERMS_MAX)
            lines->cct_k[count] = k;
        count++;
    }
    return count;
}

static struct isotherms choose_isotherms(const mtmi_plane *plane)
{
    static const double steps_k[] = {20, 50, 100, 200, 500, 1000, 5000};
    struct isotherms lines = {.count = 0, .reach = REACH_WHOLE};

    if (!plane->enlarged) {
        for (size_t i = 0; i < WHOLE_COUNT; i++)
            lines.cct_k[lines.count++] = whole_k[i];
        return lines;
    }
    lines.reach = REACH_NEAR;
    for (size_t i = 0; i < sizeof steps_k / sizeof steps_k[0]; i++) {
        lines.count = count_isotherms(plane, steps_k[i], &lines);
        if (lines.count <= ISOTHERMS_MAX)
            return lines;
    }
    lines.count = 0;
    return lines;
}

/* Between lines of equal Duv. */
static double duv_step(const mtmi_plane *plane)
{
    /* v' is one and a half times v, and the locus lies slanting: about half of the side */
    return plane->enlarged ? mtmi_round_step((plane->y.to - plane->y.from) / 2, DUV_LINES)
                           : REACH_WHOLE;
}

static double duv_reach(const mtmi_plane *plane)
{
    return plane->enlarged ? REACH_NEAR : REACH_WHOLE;
}

static bool piece_shows(const mtmi_plane *plane, mtmi_point a, mtmi_point b)
{
    const mtmi_box *box = &plane->plot.box;

    return fmin(a.x, b.x) <= box->x + box->width && fmax(a.x, b.x) >= box->x &&
           fmin(a.y, b.y) <= box->y + box->height && fmax(a.y, b.y) >= box->y;
}

/* The pieces of a curve that show: of a neighbourhood they are few. */
static void lay_curve(mtmi_canvas *c, const mtmi_plane *plane, const mtmi_point *point,
                      size_t count)
{
    bool laid = false;

    for (size_t i = 1; i < count; i++) {
        bool shows = piece_shows(plane, point[i - 1], point[i]);
        if (shows && !laid)
            mtmi_move(c, point[i - 1].x, point[i - 1].y);
        if (shows)
            mtmi_line(c, point[i].x, point[i].y);
        laid = shows;
    }
}

static void lay_line_beside(mtmi_canvas *c, mtmi_plane *plane, double duv, bool avoid)
{
    mtmi_point point[CURVE_POINTS];

    for (int i = 0; i < CURVE_POINTS; i++) {
        double mired = FIRST_MIRED + i * (LAST_MIRED - FIRST_MIRED) / (CURVE_POINTS - 1);
        point[i] = place(plane, mired, duv);
    }
    lay_curve(c, plane, point, CURVE_POINTS);
    if (avoid)
        mtmi_placer_avoid(plane->placer, point, CURVE_POINTS);
}

static void draw_scales(mtmi_canvas *c, mtmi_plane *plane)
{
    mtmi_pen thin = {mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.6, MTMI_DASH_NONE};
    mtmi_pen dots = {mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.6, MTMI_DASH_DOTS};
    struct isotherms lines = choose_isotherms(plane);
    double step = duv_step(plane);

    for (int i = 0; i < lines.count; i++) {
        const mtmi_point ends[2] = {place(plane, 1e6 / lines.cct_k[i], -lines.reach),
                                    place(plane, 1e6 / lines.cct_k[i], lines.reach)};
        mtmi_lay_points(c, ends, 2, false);
        mtmi_stroke(c, thin);
        mtmi_placer_avoid(plane->placer, ends, 2);
    }
    for (int i = 1; i * step <= duv_reach(plane) * 1.0001; i++) {
        double duv = i * step;
        lay_line_beside(c, plane, duv, false);
        mtmi_stroke(c, dots);
        lay_line_beside(c, plane, -duv, false);
        mtmi_stroke(c, dots);
    }
}

static void draw_ticks(mtmi_canvas *c, const mtmi_plane *plane)
{
    mtmi_pen pen = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.75, MTMI_DASH_NONE};

    for (int i = 1; i * TICK_MIRED <= LAST_MIRED; i++) {
        double mired = i * TICK_MIRED;
        mtmi_point below = place(plane, mired, -TICK_DUV), above = place(plane, mired, TICK_DUV);
        mtmi_rule(c, below.x, below.y, above.x, above.y, pen);
    }
}

static void draw_daylight(mtmi_canvas *c, mtmi_plane *plane)
{
    enum { POINTS = 43 };
    mtmi_point point[POINTS];

    for (int i = 0; i < POINTS; i++) {
        mtm_xy xy;
        double mired = FIRST_MIRED + i * (1e6 / MTM_DAYLIGHT_MIN_K - FIRST_MIRED) / (POINTS - 1);
        double cct_k = fmin(MTM_CCT_MAX_K, fmax(MTM_DAYLIGHT_MIN_K, 1e6 / mired));
        if (mtm_daylight_xy(cct_k, plane->observer, &xy, NULL) != MTM_OK)
            return;
        point[i] = mtmi_plane_at(plane, xy);
    }
    lay_curve(c, plane, point, POINTS);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1, MTMI_DASH_LONG});
    mtmi_placer_avoid(plane->placer, point, POINTS);
}

/* D65 as its spectrum gives it. */
static bool find_d65(const mtmi_plane *plane, mtmi_point *at)
{
    mtm_spectrum spectrum;

    if (mtm_spectrum_illuminant("D65", &spectrum, NULL) != MTM_OK)
        return false;
    *at = mtmi_plane_at(plane, mtm_xy_from_xyz(mtm_xyz_from_spectrum(&spectrum, plane->observer)));
    return mtmi_plot_holds(&plane->plot, *at, 0);
}

void mtmi_white_lines_draw(mtmi_canvas *c, mtmi_plane *plane)
{
    mtmi_point d65;

    draw_scales(c, plane);
    if (!plane->enlarged)
        draw_ticks(c, plane);
    draw_daylight(c, plane);
    lay_line_beside(c, plane, 0, true);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1.25, MTMI_DASH_NONE});
    if (find_d65(plane, &d65)) {
        mtmi_mark_cross(c, d65);
        mtmi_placer_block(plane->placer, (mtmi_box){d65.x - 4, d65.y - 4, 8, 8});
    }
}

/* Kelvin at the end of its line below the locus that is inside the plot. */
static void write_kelvin(mtmi_canvas *c, mtmi_plane *plane, double cct_k, double reach)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .halo = plane->enlarged};
    char words[24];

    (void)snprintf(words, sizeof words, "%.0f K", cct_k);
    mtmi_extent extent = mtmi_words_extent(c, &type, words);
    for (int i = 16; i >= -16; i--) { /* from below the locus to above */
        mtmi_point end = place(plane, 1e6 / cct_k, -reach * i / 16);
        mtmi_point before = place(plane, 1e6 / cct_k, -reach * (i - 1) / 16);
        double length = hypot(end.x - before.x, end.y - before.y);
        if (length == 0 || !mtmi_plot_holds(&plane->plot, end, 0))
            continue;
        double x = (end.x - before.x) / length, y = (end.y - before.y) / length;
        double away =
            plane->enlarged ? 0 : 2 + fabs(x) * extent.width / 2 + fabs(y) * extent.height / 2;
        mtmi_point middle = {end.x + away * x, end.y + away * y};
        if (mtmi_label_draw_at(c, plane->placer, middle, true, &type, words) || !plane->enlarged)
            return;
    }
}

/* Duv where its line shows and there is room, from the warm end. */
static void write_duv(mtmi_canvas *c, mtmi_plane *plane, double duv, int decimals)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .halo = true};
    char figure[MTMI_FIGURE_ROOM], words[MTMI_FIGURE_ROOM + 8];

    (void)snprintf(words, sizeof words, "Duv %s%s", duv > 0 ? "+" : "",
                   mtmi_figure(figure, duv, decimals, NULL));
    double last = plane->enlarged ? LAST_MIRED : 640;
    double apart = plane->enlarged ? 2 : 20;
    for (int i = 0; last - i * apart >= FIRST_MIRED; i++) {
        double mired = last - i * apart;
        mtmi_point at = place(plane, mired, duv);
        if (mtmi_plot_holds(&plane->plot, at, 0) &&
            mtmi_label_draw_at(c, plane->placer, at, plane->enlarged, &type, words))
            return;
    }
}

void mtmi_white_lines_write(mtmi_canvas *c, mtmi_plane *plane)
{
    const mtmi_type type = {.halo = true};
    struct isotherms lines = choose_isotherms(plane);
    double step = duv_step(plane);
    mtmi_point d65;

    if (find_d65(plane, &d65))
        (void)mtmi_label_draw_close(c, plane->placer, d65, 4, &type, "D65");
    for (int i = 0; i < lines.count; i++)
        write_kelvin(c, plane, lines.cct_k[i], lines.reach);
    for (int i = 1; i * step <= duv_reach(plane) * 1.0001; i++) {
        write_duv(c, plane, i * step, mtmi_step_decimals(step));
        write_duv(c, plane, -i * step, mtmi_step_decimals(step));
    }
}
