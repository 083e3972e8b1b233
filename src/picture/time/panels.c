/* SPDX-License-Identifier: MIT */
/* Panels: lines over one common time, one plot below the other. */
#include "picture/time/panels.h"

#include "base/error.h"
#include "picture/mark.h"

#include <math.h>
#include <stdlib.h>

/* A line may miss its values by so many px, so that files stay small. */
#define SLEEVE 0.1
/* Between a heading and its plot, and from a plot to the next heading. */
#define GAP_HEADING 6.0
#define GAP_PANELS 6.0
/* Height of a figure's line and what is free about it, lines. */
#define FIGURE_SPACING 1.25
/* Places along a line at which its name is tried, parts of twelve. */
#define NAME_PLACES 11

/* All that one drawing of panels has at hand. */
struct work {
    mtmi_canvas *canvas;
    const mtmi_panel_times *times;
    mtmi_axis time;
    double time_unit_s;
    double left, right; /* of all plots */
    mtmi_point *point;  /* room for a line */
};

mtmi_span mtmi_panel_span(const mtmi_panel_line *line, size_t lines, size_t count)
{
    mtmi_span span = {NAN, NAN};

    for (size_t i = 0; i < lines; i++) {
        for (size_t k = 0; k < count; k++) {
            span.least = fmin(span.least, line[i].value[k]);
            span.most = fmax(span.most, line[i].value[k]);
        }
    }
    return span;
}

mtmi_pen mtmi_panel_pen(const mtmi_canvas *c, unsigned index)
{
    return (mtmi_pen){mtmi_canvas_series(c, index), 1.5, (mtmi_dash)(index % MTMI_DASH_COUNT)};
}

/* Seconds, minutes or hours. */
static void choose_time(struct work *work)
{
    const mtmi_panel_times *times = work->times;
    double last_s = times->time_s[times->count - 1];
    bool hours = last_s > 3 * 3600.0, minutes = !hours && last_s > 600;

    work->time_unit_s = hours ? 3600 : minutes ? 60 : 1;
    work->time = (mtmi_axis){.from = 0,
                             .to = last_s > 0 ? last_s / work->time_unit_s : 1,
                             .name = hours     ? "Time since the cue began, h"
                                     : minutes ? "Time since the cue began, min"
                                               : "Time since the cue began, s"};
}

/* The y axis of a plot of this height: figures stand closer than on larger ones. */
static mtmi_axis values_of(const struct work *work, const mtmi_panel *panel, double height)
{
    double spacing = FIGURE_SPACING * mtmi_line_height(work->canvas, MTMI_TYPE_SMALL);
    int most = (int)fmax(1, floor(height / spacing));

    return (mtmi_axis){.from = panel->from,
                       .to = panel->to,
                       .step = mtmi_round_step(panel->to - panel->from, most)};
}

static mtmi_point place(const struct work *work, const mtmi_plot *plot, size_t moment, double value)
{
    return mtmi_plot_at(plot, work->times->time_s[moment] / work->time_unit_s, value);
}

/* Points of values first..last, none of them a gap, with the corners that their join has. */
static size_t corners(const struct work *work, const mtmi_plot *plot, const mtmi_panel *panel,
                      const double *value, size_t first, size_t last)
{
    size_t count = 0;

    for (size_t k = first; k <= last; k++) {
        if (panel->join == MTMI_JOIN_REACH && k > first) /* from the moment before */
            work->point[count++] = place(work, plot, k - 1, value[k]);
        work->point[count++] = place(work, plot, k, value[k]);
        if (panel->join == MTMI_JOIN_HOLD && k < last)
            work->point[count++] = place(work, plot, k + 1, value[k]);
    }
    return count;
}

/* Leaves out points that a straight line between others passes close by; x never falls. Returns how
 * many are left. */
static size_t thin(mtmi_point *point, size_t count)
{
    mtmi_point from = point[0], last = point[0]; /* last: ends the line so far, if open */
    double low = 0, high = 0;                    /* slopes from there that pass all points since */
    bool open = false;
    size_t kept = 1;

    for (size_t i = 1; i < count; i++) {
        const mtmi_point now = point[i];
        double slope = (now.y - from.y) / (now.x - from.x);
        if (open && now.x > last.x && slope >= low && slope <= high) {
            low = fmax(low, slope - SLEEVE / (now.x - from.x));
            high = fmin(high, slope + SLEEVE / (now.x - from.x));
            last = now;
            continue;
        }
        if (open) {
            point[kept++] = last;
            from = last;
        }
        open = now.x > from.x;
        last = now;
        low = (now.y - SLEEVE - from.y) / (now.x - from.x);
        high = (now.y + SLEEVE - from.y) / (now.x - from.x);
        if (!open) { /* straight up or down */
            point[kept++] = now;
            from = now;
        }
    }
    if (open)
        point[kept++] = last;
    return kept;
}

static void draw_line(const struct work *work, const mtmi_plot *plot, const mtmi_panel *panel,
                      const mtmi_panel_line *line, mtmi_placer *placer)
{
    size_t count = work->times->count;
    const mtmi_pen asked = {mtmi_canvas_ink(work->canvas, MTMI_INK_TEXT), 0.6, MTMI_DASH_NONE};
    const mtmi_pen pen = line->asked ? asked : mtmi_panel_pen(work->canvas, line->index);

    for (size_t first = 0; first < count; first++) {
        if (!isfinite(line->value[first]))
            continue;
        size_t last = first;
        while (last + 1 < count && isfinite(line->value[last + 1]))
            last++;
        size_t points = corners(work, plot, panel, line->value, first, last);
        points = thin(work->point, points);
        mtmi_lay_points(work->canvas, work->point, points, false);
        mtmi_stroke(work->canvas, pen);
        mtmi_placer_avoid(placer, work->point, points);
        first = last;
    }
}

static void draw_marks(const struct work *work, const mtmi_plot *plot)
{
    const mtmi_pen pen = {mtmi_canvas_ink(work->canvas, MTMI_INK_QUIET), 0.75, MTMI_DASH_NONE};

    for (size_t i = 0; i < work->times->marks; i++) {
        double x = mtmi_scale_at(&plot->x, work->times->mark_s[i] / work->time_unit_s);
        mtmi_rule(work->canvas, x, plot->box.y, x, plot->box.y + plot->box.height, pen);
    }
}

/* Px from a line to the nearest other one at a moment. */
static double apart(const struct work *work, const mtmi_plot *plot, const mtmi_panel *panel,
                    size_t line, size_t moment)
{
    double y = place(work, plot, moment, panel->line[line].value[moment]).y;
    double nearest = plot->box.height;

    for (size_t i = 0; i < panel->lines; i++) {
        double value = panel->line[i].value[moment];
        bool same = panel->line[i].index == panel->line[line].index; /* what it should be */
        if (!same && isfinite(value))
            nearest = fmin(nearest, fabs(place(work, plot, moment, value).y - y));
    }
    return nearest;
}

/* The moment at which a line is farthest from all others; count where it has no value. */
static size_t name_moment(const struct work *work, const mtmi_plot *plot, const mtmi_panel *panel,
                          size_t line)
{
    size_t found = work->times->count;
    double farthest = -1;

    for (size_t i = NAME_PLACES; i-- > 0;) { /* the end first */
        size_t moment = (work->times->count - 1) * (i + 1) / (NAME_PLACES + 1);
        if (!isfinite(panel->line[line].value[moment]))
            continue;
        double away = apart(work, plot, panel, line, moment);
        if (away > farthest + 1) {
            farthest = away;
            found = moment;
        }
    }
    for (size_t k = 0; found == work->times->count && k < work->times->count; k++) {
        if (isfinite(panel->line[line].value[k]))
            return k;
    }
    return found;
}

/* Writes names at their lines; those that find no room are told to list. */
static void write_names(const struct work *work, const mtmi_plot *plot, const mtmi_panel *panel,
                        mtmi_placer *placer, mtmi_text *list)
{
    mtmi_type type = {.halo = true, .width = plot->box.width * 0.4};

    for (size_t i = 0; i < panel->lines; i++) {
        const mtmi_panel_line *line = &panel->line[i];
        size_t moment = name_moment(work, plot, panel, i);
        if (line->name == NULL || moment == work->times->count)
            continue;
        mtmi_point at = place(work, plot, moment, line->value[moment]);
        if (!mtmi_label_draw(work->canvas, placer, at, 3, &type, line->name))
            mtmi_text_add(list, "%s%s", list->length > 0 ? ", " : "also ", line->name);
    }
}

static void draw_lines(const struct work *work, const mtmi_plot *plot, const mtmi_panel *panel,
                       mtmi_placer *placer, mtmi_text *list)
{
    mtmi_canvas *c = work->canvas;
    const mtmi_type quiet = {
        .ink = MTMI_INK_QUIET, .align = MTMI_ALIGN_MIDDLE, .width = plot->box.width};

    mtmi_plot_clip(c, plot);
    draw_marks(work, plot);
    for (size_t i = panel->lines; i-- > 0;) /* the first on top */
        draw_line(work, plot, panel, &panel->line[i], placer);
    mtmi_unclip(c);
    mtmi_span span = mtmi_panel_span(panel->line, panel->lines, work->times->count);
    if (isnan(span.least) && panel->empty != NULL)
        mtmi_words_middle(c, plot->box.x + plot->box.width / 2, plot->box.y + plot->box.height / 2,
                          &quiet, panel->empty);
    write_names(work, plot, panel, placer, list);
}

/* Where the name of the limit is written. */
static void block_limit(mtmi_canvas *c, const mtmi_plot *plot, const mtmi_panel *panel,
                        mtmi_placer *placer)
{
    const mtmi_type type = {.width = plot->box.width - 8};
    mtmi_extent extent = mtmi_words_extent(c, &type, panel->limit_name);
    double y = mtmi_scale_at(&plot->y, panel->limit);
    double right = plot->box.x + plot->box.width;
    const mtmi_point line[2] = {{plot->box.x, y}, {right, y}};

    mtmi_placer_block(placer, (mtmi_box){right - 4 - extent.width, y - extent.height - 1,
                                         extent.width, 2 * extent.height + 2});
    mtmi_placer_avoid(placer, line, 2);
}

/* What is plotted, and behind it the names that found no room; list may be NULL. */
static void write_heading(const struct work *work, mtmi_box box, const mtmi_panel *panel,
                          const char *list)
{
    mtmi_canvas *c = work->canvas;
    const mtmi_type heading = {.bold = true, .width = work->right - box.x};
    double used = mtmi_words(c, box.x, box.y, &heading, panel->heading).width + 12;
    const mtmi_type quiet = {.ink = MTMI_INK_QUIET, .width = work->right - box.x - used};

    if (list != NULL && quiet.width > 40)
        (void)mtmi_words(c, box.x + used, box.y, &quiet, list);
}

static mtm_result draw_panel(const struct work *work, mtmi_box box, const mtmi_panel *panel,
                             bool last, mtm_error *error)
{
    mtmi_canvas *c = work->canvas;
    mtmi_text list = {0};
    mtmi_axis x = work->time;
    mtmi_plot plot = {.box = {work->left, box.y, work->right - work->left, box.height}};

    double above = mtmi_line_height(c, MTMI_TYPE_SMALL) + GAP_HEADING;
    plot.box.y += above;
    plot.box.height = fmax(1, plot.box.height - above);
    const mtmi_axis y = values_of(work, panel, plot.box.height);
    plot.x = (mtmi_scale){x.from, x.to, work->left, work->right, false};
    plot.y = (mtmi_scale){y.from, y.to, plot.box.y + plot.box.height, plot.box.y, false};
    x.no_figures = !last;
    x.name = last ? x.name : NULL;
    mtmi_placer *placer = mtmi_placer_create(plot.box);
    if (placer == NULL)
        return mtmi_fail_memory(error);
    mtmi_plot_axes(c, &plot, &x, &y);
    if (panel->limit_name != NULL) {
        mtmi_mark_limit(c, &plot, panel->limit, true, panel->limit_name);
        block_limit(c, &plot, panel, placer);
    }
    draw_lines(work, &plot, panel, placer, &list);
    mtmi_placer_free(placer);
    write_heading(work, box, panel, list.data);
    if (list.failed)
        mtmi_canvas_lack_memory(c);
    mtmi_text_free(&list);
    return MTM_OK;
}

/* What figures of all panels need to the left. */
static void lay_out(struct work *work, mtmi_box box, double height, const mtmi_panel *panel,
                    size_t panels)
{
    work->left = box.x;
    work->right = box.x + box.width - mtmi_line_height(work->canvas, MTMI_TYPE_SMALL);
    for (size_t i = 0; i < panels; i++) {
        const mtmi_axis y = values_of(work, &panel[i], height);
        const mtmi_box one = {box.x, box.y, box.width, height};
        mtmi_plot plot = mtmi_plot_layout(work->canvas, one, &work->time, &y, false);
        work->left = fmax(work->left, plot.box.x);
    }
}

mtm_result mtmi_panels_draw(mtmi_canvas *c, mtmi_box box, const mtmi_panel_times *times,
                            const mtmi_panel *panel, size_t panels, mtm_error *error)
{
    struct work work = {.canvas = c, .times = times};
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    double below = 2 * line + 12; /* figures and name of the time */
    double height = (box.height - below - (double)(panels - 1) * GAP_PANELS) / (double)panels;
    mtm_result result = MTM_OK;

    work.point = malloc((2 * times->count + 2) * sizeof *work.point);
    if (work.point == NULL)
        return mtmi_fail_memory(error);
    choose_time(&work);
    lay_out(&work, box, height, panel, panels);
    for (size_t i = 0; result == MTM_OK && i < panels; i++) {
        const mtmi_box one = {box.x, box.y + (double)i * (height + GAP_PANELS), box.width, height};
        result = draw_panel(&work, one, &panel[i], i + 1 == panels, error);
    }
    free(work.point);
    return result;
}
