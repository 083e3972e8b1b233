/* SPDX-License-Identifier: MIT */
/* The whites of a fixture: colour temperature against Duv, shaded by the most light there. */
#include "picture/light/fixture.h"

#include "base/error.h"
#include "fixture/dims.h"
#include "picture/axes.h"
#include "picture/label.h"
#include "picture/light/stack.h"
#include "picture/mark.h"
#include "picture/white_lines.h"

#include <metamer/illuminant.h>
#include <metamer/white.h>
#include <metamer/whites.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* What is shown: mired from cool to warm, Duv to both sides. Mired, since steps of equal mired look
 * about alike. */
#define COOLEST_MIRED 50.0
#define WARMEST_MIRED 667.0
#define MOST_DUV 0.02
#define COLUMNS 128
#define ROWS 84
/* A colour as near as this to what was asked is made. */
#define MADE_UV 1e-6
#define CLASSES 4
/* Whites of a fixture whose colours lie on one line. */
#define LINE_POINTS 60

static const double ticks_k[] = {1500, 2000, 2500, 3000, 4000, 5000, 6500, 10000, 15000};
#define TICK_COUNT ((int)(sizeof ticks_k / sizeof ticks_k[0]))

/* The most light of each cell; NAN where the white is not made. */
struct grid {
    double y[ROWS][COLUMNS];
    double most;
};

static double mired_of(int column)
{
    return WARMEST_MIRED + (column + 0.5) / COLUMNS * (COOLEST_MIRED - WARMEST_MIRED);
}

static double duv_of(int row)
{
    return MOST_DUV * (1 - 2 * (row + 0.5) / ROWS);
}

static void fill_grid(const mtmi_fixture_view *view, struct grid *grid)
{
    grid->most = 0;
    for (int r = 0; r < ROWS; r++) {
        for (int k = 0; k < COLUMNS; k++) {
            const mtm_request request = {
                .xy = mtmi_white_beside(view->observer, mired_of(k), duv_of(r))};
            mtm_answer answer;
            bool made = mtm_solver_solve(view->solver, &request, &answer, NULL) == MTM_OK &&
                        answer.delta_uv <= MADE_UV;
            grid->y[r][k] = made ? answer.xyz.y : (double)NAN;
            if (made)
                grid->most = fmax(grid->most, answer.xyz.y);
        }
    }
}

/* Which quarter of the most a cell gives, from 0; -1: none. */
static int class_of(const struct grid *grid, int row, int column)
{
    double y = grid->y[row][column];

    if (!isfinite(y))
        return -1;
    int class = (int)(CLASSES * y / grid->most * (1 + 1e-9));
    return class < CLASSES ? class : CLASSES - 1;
}

static mtmi_box cells(const mtmi_plot *plot, int row, int from, int to)
{
    double width = plot->box.width / COLUMNS, height = plot->box.height / ROWS;

    return (mtmi_box){plot->box.x + from * width, plot->box.y + row * height, (to - from) * width,
                      height};
}

static void shade(mtmi_canvas *c, const mtmi_plot *plot, const struct grid *grid)
{
    for (int class = 0; class < CLASSES; class ++) {
        for (int r = 0; r < ROWS; r++) {
            for (int k = 0; k < COLUMNS; k++) {
                int from = k;
                while (k < COLUMNS && class_of(grid, r, k) == class)
                    k++;
                if (k > from)
                    mtmi_rectangle(c, cells(plot, r, from, k));
            }
        }
        mtmi_fill(c, mtmi_ink_covering(mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.08 + 0.13 * class));
    }
}

/* Cells of the same class about one, to each side. */
static int reach(const struct grid *grid, int row, int column, int down, int right)
{
    int class = class_of(grid, row, column), count = 0;

    for (int r = row, k = column;
         r >= 0 && r < ROWS && k >= 0 && k < COLUMNS && class_of(grid, r, k) == class;
         r += down, k += right)
        count++;
    return count;
}

/* The middle of the largest room for words in a class; how many times they fit, 0 for no cell. */
static double roomiest(const mtmi_plot *plot, const struct grid *grid, int class, mtmi_extent words,
                       mtmi_point *middle)
{
    double width = plot->box.width / COLUMNS, height = plot->box.height / ROWS, best = 0;

    for (int r = 0; r < ROWS; r++) {
        for (int k = 0; k < COLUMNS; k++) {
            if (class_of(grid, r, k) != class)
                continue;
            int across = reach(grid, r, k, 0, -1) < reach(grid, r, k, 0, 1)
                             ? reach(grid, r, k, 0, -1)
                             : reach(grid, r, k, 0, 1);
            int up = reach(grid, r, k, -1, 0) < reach(grid, r, k, 1, 0) ? reach(grid, r, k, -1, 0)
                                                                        : reach(grid, r, k, 1, 0);
            double fits = fmin(2 * across * width / words.width, 2 * up * height / words.height);
            if (!(fits > best * (1 + 1e-9)))
                continue;
            best = fits;
            *middle =
                (mtmi_point){plot->box.x + (k + 0.5) * width, plot->box.y + (r + 0.5) * height};
        }
    }
    return best;
}

static void write_classes(mtmi_canvas *c, const mtmi_plot *plot, mtmi_placer *placer,
                          const struct grid *grid)
{
    static const char *const names[CLASSES] = {"under 25\u2009%", "25–50\u2009%", "50–75\u2009%",
                                               "over 75\u2009%"};
    const mtmi_type quiet = {.ink = MTMI_INK_QUIET}, type = {.halo = true};
    mtmi_point middle;

    for (int class = CLASSES - 1; class >= -1; class --) {
        const char *words = class >= 0 ? names[class] : "not made";
        mtmi_extent extent = mtmi_words_extent(c, &type, words);
        double fits = roomiest(plot, grid, class, extent, &middle);
        if (fits == 0)
            continue;
        if (fits < 1.1 ||
            !mtmi_label_draw_at(c, placer, middle, true, class >= 0 ? &type : &quiet, words))
            (void)mtmi_label_draw(c, placer, middle, 1, &type, words);
    }
}

/* Figures of temperature, and below them the name of the axis. */
static void draw_ticks(mtmi_canvas *c, const mtmi_plot *plot, const char *axis)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .align = MTMI_ALIGN_MIDDLE};
    const mtmi_type name = {.align = MTMI_ALIGN_MIDDLE};
    double bottom = plot->box.y + plot->box.height, line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    mtmi_pen grid = {mtmi_canvas_ink(c, MTMI_INK_RULE), 0.75, MTMI_DASH_NONE};
    double last = -INFINITY;

    for (int i = 0; i < TICK_COUNT; i++) {
        double x = mtmi_scale_at(&plot->x, -1e6 / ticks_k[i]);
        char figure[MTMI_FIGURE_ROOM];
        (void)mtmi_figure(figure, ticks_k[i], 0, NULL);
        double half = mtmi_words_extent(c, &type, figure).width / 2;
        mtmi_rule(c, x, plot->box.y, x, bottom, grid);
        if (x - half < last + 4)
            continue;
        (void)mtmi_words(c, x, bottom + 4, &type, figure);
        last = x + half;
    }
    (void)mtmi_words(c, plot->box.x + plot->box.width / 2, bottom + 6 + line, &name, axis);
}

/* Planckian locus and daylight. */
static void draw_loci(mtmi_canvas *c, const mtmi_plot *plot, mtmi_placer *placer)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .halo = true};
    mtmi_point day[64];
    size_t count = 0;

    for (int i = 0; i < 64; i++) {
        mtm_xy xy;
        mtm_white white;
        double mired =
            1e6 / MTM_DAYLIGHT_MIN_K + i * (COOLEST_MIRED - 1e6 / MTM_DAYLIGHT_MIN_K) / 63;
        if (mtm_daylight_xy(fmax(MTM_DAYLIGHT_MIN_K, 1e6 / mired), MTM_OBSERVER_2, &xy, NULL) ==
                MTM_OK &&
            mtm_white_from_xy(xy, &white, NULL) == MTM_OK)
            day[count++] = mtmi_plot_at(plot, -1e6 / white.cct_k, white.duv);
    }
    const mtmi_point planck[2] = {mtmi_plot_at(plot, -WARMEST_MIRED, 0),
                                  mtmi_plot_at(plot, -COOLEST_MIRED, 0)};
    mtmi_lay_points(c, planck, 2, false);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1.25, MTMI_DASH_NONE});
    mtmi_lay_curve(c, day, count, false);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1, MTMI_DASH_LONG});
    mtmi_placer_avoid(placer, planck, 2);
    mtmi_placer_avoid(placer, day, count);
    (void)mtmi_label_draw(c, placer, planck[0], 4, &type, "Planckian radiator");
    if (count > 0)
        (void)mtmi_label_draw(c, placer, day[count - 1], 3, &type, "daylight");
}

double mtmi_dims_share(const mtm_mixing *dims, int point)
{
    double least = fmin(0.9, fmax(0.01, mtmi_dims_least(dims)));

    return pow(least, (double)point / (MTMI_DIMS_POINTS - 1));
}

/* Whites of one or two emitters: a line, with the light at its ends. */
struct line {
    mtmi_point at[LINE_POINTS];
    double lm[LINE_POINTS];
    size_t count;
};

/* The same of a unit whose colour goes with its output. */
static void find_dims_line(const mtm_mixing *dims, const mtmi_plot *plot, struct line *line)
{
    for (int i = 0; i < MTMI_DIMS_POINTS; i++) {
        double share = mtmi_dims_share(dims, i);
        mtm_white white = mtmi_dims_white(dims, share);
        line->at[i] = mtmi_plot_at(plot, -1e6 / white.cct_k, white.duv);
        line->lm[i] = share * dims->flux_lm;
    }
    line->count = MTMI_DIMS_POINTS;
}

static mtm_result find_line(const mtmi_fixture_view *view, const mtmi_plot *plot, struct line *line,
                            mtm_error *error)
{
    double cct_k[LINE_POINTS];
    mtm_fixture_white white[LINE_POINTS];

    for (int i = 0; i < LINE_POINTS; i++)
        cct_k[i] = 1e6 / (WARMEST_MIRED + i * (COOLEST_MIRED - WARMEST_MIRED) / (LINE_POINTS - 1));
    mtm_result result =
        mtm_fixture_whites(view->light, view->observer, cct_k, LINE_POINTS, white, NULL, error);
    line->count = 0;
    for (int i = 0; result == MTM_OK && i < LINE_POINTS; i++) {
        if (!isfinite(white[i].made.cct_k) || !(white[i].flux_lm > 0))
            continue;
        line->at[line->count] = mtmi_plot_at(plot, -1e6 / white[i].made.cct_k, white[i].made.duv);
        line->lm[line->count++] = white[i].flux_lm;
    }
    return result;
}

static void draw_line(mtmi_canvas *c, const mtmi_plot *plot, mtmi_placer *placer,
                      const struct line *line)
{
    const mtmi_type type = {.halo = true};
    size_t most = 0;

    mtmi_plot_clip(c, plot);
    mtmi_lay_points(c, line->at, line->count, false);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_series(c, 0), 3, MTMI_DASH_NONE});
    mtmi_unclip(c);
    for (size_t i = 1; i < line->count; i++)
        most = line->lm[i] > line->lm[most] * (1 + 1e-9) ? i : most;
    const size_t named[3] = {0, line->count - 1, most};
    for (size_t i = 0; i < 3; i++) {
        const mtmi_point at = line->at[named[i]];
        char words[MTMI_FIGURE_ROOM];
        bool again = i == 1 ? hypot(at.x - line->at[0].x, at.y - line->at[0].y) < 1
                            : i == 2 && (most == 0 || most + 1 == line->count);
        if (!mtmi_plot_holds(plot, at, 0) || again)
            continue;
        mtmi_mark_dot(c, at, MTMI_SHAPE_DISC, mtmi_canvas_series(c, 0));
        (void)mtmi_label_draw(c, placer, at, MTMI_DOT_REACH, &type,
                              mtmi_figure(words, line->lm[named[i]], 0, "lm"));
    }
}

static mtm_result draw_made(mtmi_canvas *c, const mtmi_plot *plot, mtmi_placer *placer,
                            const mtmi_fixture_view *view, struct grid *grid, mtm_error *error)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .halo = true};
    struct line line;
    mtm_result result = MTM_OK;

    if (view->corner_count > 2 && view->dims == NULL) {
        char axis[96];
        fill_grid(view, grid);
        if (grid->most > 0)
            shade(c, plot, grid);
        if (grid->most > 0 && view->observer == MTM_OBSERVER_2)
            (void)snprintf(axis, sizeof axis, "Colour temperature, K; light, %% of %.0f\u2009lm",
                           grid->most);
        else
            (void)snprintf(axis, sizeof axis, "Colour temperature, K; light, %% of the most");
        draw_ticks(c, plot, axis);
        draw_loci(c, plot, placer);
        if (grid->most > 0)
            write_classes(c, plot, placer, grid);
        return MTM_OK;
    }
    draw_ticks(c, plot, "Colour temperature, K");
    draw_loci(c, plot, placer);
    if (view->dims != NULL)
        find_dims_line(view->dims, plot, &line);
    else
        result = find_line(view, plot, &line, error);
    if (result == MTM_OK && line.count > 0)
        draw_line(c, plot, placer, &line);
    if (result == MTM_OK && line.count == 0)
        (void)mtmi_label_draw_at(
            c, placer,
            (mtmi_point){plot->box.x + plot->box.width / 2, plot->box.y + plot->box.height / 4},
            true, &type, "no white");
    return result;
}

mtm_result mtmi_fixture_whites_draw(mtmi_canvas *c, mtmi_box box, const mtmi_fixture_view *view,
                                    mtm_error *error)
{
    const mtmi_axis x = {
        .from = -WARMEST_MIRED, .to = -COOLEST_MIRED, .no_figures = true, .step = 1e6};
    const mtmi_axis y = {.from = -MOST_DUV, .to = MOST_DUV, .name = "Duv", .step = 0.01};
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    struct grid *grid = malloc(sizeof *grid);

    box.height = fmax(1, box.height - 2 * line - 8);
    const mtmi_plot plot = mtmi_plot_layout(c, box, &x, &y, false);
    mtmi_placer *placer = mtmi_placer_create(plot.box);
    mtm_result result = MTM_OK;
    if (grid == NULL || placer == NULL) {
        result = mtmi_fail_memory(error);
    } else {
        mtmi_plot_axes(c, &plot, &x, &y);
        result = draw_made(c, &plot, placer, view, grid, error);
    }
    mtmi_placer_free(placer);
    free(grid);
    return result;
}
