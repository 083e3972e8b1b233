/* SPDX-License-Identifier: MIT */
/* Riser of a layout: under each supply its ports, and on each the units that hang there. */
#include "picture/plan/layout_plan.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>

/* Between columns, and least width of one. */
#define APART 16.0
#define COLUMN_MIN 230.0
/* From a trunk to the words of its ports, and the tick between. */
#define TICK 6.0
#define GAP 5.0
/* Most lines of a port's units, and most of them that are written out. */
#define LINES_MAX 3
#define NAMED_MAX 24
/* Most of a column that figures take. */
#define FIGURES_SHARE 0.72
/* Above a supply, in heights of a line of words. */
#define ABOVE 0.5

/* Where the next thing goes, down columns. */
struct flow {
    mtmi_canvas *c;
    const mtmi_layout_plan *plan;
    mtmi_box box;
    int columns, column;
    double width, line, y;
    double number, watts; /* widths */
    double trunk;         /* where the trunk of the supply begins in this column */
    bool draws;           /* or measures only */
};

static double column_x(const struct flow *f)
{
    return f->box.x + f->column * (f->width + APART);
}

static double bottom_of(const struct flow *f)
{
    return f->box.y + f->box.height;
}

/* Makes room of a height, in the next column if it must; false where there is none. */
static bool make_room(struct flow *f, double height)
{
    if (f->y + height <= bottom_of(f) + 0.01)
        return true;
    f->column++;
    f->y = f->box.y;
    f->trunk = f->y;
    return f->column < f->columns && f->y + height <= bottom_of(f) + 0.01;
}

static void add_units(const mtmi_layout_plan *plan, const mtmi_plan_run *run, mtmi_text *text)
{
    for (size_t i = 0; i < run->count; i++) {
        size_t unit = plan->by_port[run->first + i];
        if (i == NAMED_MAX) {
            mtmi_text_add(text, " and %zu more", run->count - i);
            return;
        }
        mtmi_text_add(text, "%s%zu %.200s%s", i > 0 ? ", " : "", unit + 1,
                      mtm_rig_unit(plan->of->rig, unit)->name,
                      mtmi_plan_replugged(plan->of, unit) ? " (to plug)" : "");
    }
}

static bool flow_port(struct flow *f, const mtmi_plan_run *run)
{
    mtmi_text text = {0};
    char figure[32];
    double left = TICK + f->number + 3 * GAP;
    mtmi_type type = {.width = fmax(20, f->width - left - f->watts - GAP), .lines = LINES_MAX};

    add_units(f->plan, run, &text);
    const char *words = text.data != NULL ? text.data : "";
    double height = fmax(f->line, mtmi_words_extent(f->c, &type, words).height) + 1;
    bool fits = make_room(f, height);
    if (fits && f->draws) {
        double x = column_x(f), middle = f->y + f->line / 2;
        mtmi_pen pen = {mtmi_canvas_ink(f->c, MTMI_INK_QUIET), 1, MTMI_DASH_NONE};
        mtmi_type right = {.align = MTMI_ALIGN_RIGHT};
        mtmi_rule(f->c, x + 1, f->trunk, x + 1, middle, pen);
        mtmi_rule(f->c, x + 1, middle, x + TICK, middle, pen);
        f->trunk = middle;
        (void)snprintf(figure, sizeof figure, "%d", run->port);
        right.bold = true;
        (void)mtmi_words(f->c, x + TICK + GAP + f->number, f->y, &right,
                         run->port > 0 ? figure : "?");
        right.bold = false;
        (void)mtmi_words(f->c, x + left, f->y, &type, words);
        right.ink = MTMI_INK_QUIET;
        (void)snprintf(figure, sizeof figure, "%.5g\u2009W", run->watts);
        (void)mtmi_words(f->c, x + f->width, f->y, &right, figure);
    }
    if (text.failed)
        mtmi_canvas_lack_memory(f->c);
    mtmi_text_free(&text);
    f->y += height;
    return fits;
}

/* What all ports of a supply carry: runs first up to end. */
static double watts_of(const mtmi_layout_plan *plan, size_t first, size_t end)
{
    double watts = 0;

    for (size_t i = first; i < end; i++)
        watts += plan->port[i].watts;
    return watts;
}

static bool flow_supply(struct flow *f, size_t first, size_t end)
{
    int index = f->plan->port[first].supply;
    double watts = watts_of(f->plan, first, end);
    char text[80];

    f->y += f->y > f->box.y ? ABOVE * f->line : 0;
    if (!make_room(f, 2 * f->line + 1))
        return false;
    if (index >= 0) {
        double rated = mtm_rig_supply(f->plan->of->rig, (size_t)index)->total_w;
        (void)snprintf(text, sizeof text, "%.5g of %.6g\u2009W, %.0f\u2009%%%s", watts, rated,
                       100 * watts / rated, watts > rated * (1 + 1e-9) ? ", over" : "");
    } else {
        (void)snprintf(text, sizeof text, "%.5g\u2009W", watts);
    }
    if (f->draws) {
        mtmi_type type = {.align = MTMI_ALIGN_RIGHT, .width = FIGURES_SHARE * f->width};
        double right = mtmi_words(f->c, column_x(f) + f->width, f->y, &type, text).width;
        type = (mtmi_type){.bold = true, .width = fmax(20, f->width - right - 2 * GAP)};
        (void)mtmi_words(f->c, column_x(f), f->y, &type,
                         index >= 0 ? mtm_rig_supply(f->plan->of->rig, (size_t)index)->name
                                    : "On no supply");
    }
    f->y += f->line + 1;
    f->trunk = f->y;
    return true;
}

/* The last port of a supply, and one more. */
static size_t end_of(const mtmi_layout_plan *plan, size_t first)
{
    size_t end = first;

    while (end < plan->port_count && plan->port[end].supply == plan->port[first].supply)
        end++;
    return end;
}

static bool flow_all(struct flow *f)
{
    f->column = 0;
    f->y = f->box.y;
    for (size_t first = 0; first < f->plan->port_count;) {
        size_t end = end_of(f->plan, first);
        if (!flow_supply(f, first, end))
            return false;
        for (size_t i = first; i < end; i++) {
            if (!flow_port(f, &f->plan->port[i]))
                return false;
        }
        first = end;
    }
    return true;
}

static size_t count_supplies(const mtmi_layout_plan *plan)
{
    size_t count = 0;

    for (size_t first = 0; first < plan->port_count; first = end_of(plan, first))
        count++;
    return count;
}

static void write_supply(const struct flow *f, size_t first, size_t end)
{
    const mtmi_layout_plan *plan = f->plan;
    int index = plan->port[first].supply;
    mtmi_type type = {.align = MTMI_ALIGN_RIGHT, .width = FIGURES_SHARE * f->width};
    size_t units = 0, ports = 0;
    char text[120];

    for (size_t i = first; i < end; i++) {
        units += plan->port[i].count;
        ports += plan->port[i].port > 0;
    }
    if (index >= 0) {
        const mtm_supply *supply = mtm_rig_supply(plan->of->rig, (size_t)index);
        (void)snprintf(text, sizeof text, "%zu of %d ports, %zu units, %.0f\u2009%%", ports,
                       supply->ports, units, 100 * watts_of(plan, first, end) / supply->total_w);
    } else {
        (void)snprintf(text, sizeof text, "%zu units", units);
    }
    double right = mtmi_words(f->c, column_x(f) + f->width, f->y, &type, text).width;
    type = (mtmi_type){.width = fmax(12, f->width - right - 2 * GAP)};
    (void)mtmi_words(f->c, column_x(f), f->y, &type,
                     index >= 0 ? mtm_rig_supply(plan->of->rig, (size_t)index)->name
                                : "On no supply");
}

/* A line for each supply, and one for those that have none. */
static void write_supplies(struct flow *f)
{
    size_t supplies = count_supplies(f->plan), at = 0;
    size_t lines = (size_t)fmax(1, floor(f->box.height / f->line)) * (size_t)f->columns;
    size_t shown = supplies <= lines ? supplies : lines - 1;
    const mtmi_type quiet = {.ink = MTMI_INK_QUIET, .width = f->width};
    char text[64];

    f->column = 0;
    f->y = f->box.y;
    for (size_t first = 0; at < shown; at++) {
        size_t end = end_of(f->plan, first);
        (void)make_room(f, f->line);
        write_supply(f, first, end);
        f->y += f->line;
        first = end;
    }
    if (shown == supplies)
        return;
    (void)make_room(f, f->line);
    (void)snprintf(text, sizeof text, "%zu more, with %zu ports in use in all", supplies - shown,
                   f->plan->port_count);
    (void)mtmi_words(f->c, column_x(f), f->y, &quiet, text);
}

void mtmi_riser_draw(mtmi_canvas *c, mtmi_box box, const mtmi_layout_plan *plan)
{
    const mtmi_type bold = {.bold = true, .width = box.width}, plain = {.bold = false};
    struct flow f = {.c = c,
                     .plan = plan,
                     .box = box,
                     .line = fmax(1, mtmi_line_height(c, MTMI_TYPE_SMALL)),
                     .number = mtmi_words_extent(c, &plain, "00").width,
                     .watts = mtmi_words_extent(c, &plain, "0000\u2009W").width};
    double column = COLUMN_MIN * mtmi_type_height(c, MTMI_TYPE_SMALL) / 12;

    if (box.height < f.line)
        return;
    f.box.y += 1.4 * f.line;
    f.box.height = box.height - 1.4 * f.line;
    int most = (int)fmax(1, floor((box.width + APART) / (column + APART)));
    double needed = (double)(plan->port_count + count_supplies(plan)) * f.line;
    bool whole = false;
    for (f.columns = 1; f.columns <= most && !whole; f.columns++) {
        f.width = (box.width - (f.columns - 1) * APART) / f.columns;
        /* what cannot fit is not even measured */
        whole = needed <= f.box.height * f.columns && flow_all(&f);
    }
    f.columns--;
    (void)mtmi_words(c, box.x, box.y, &bold,
                     whole ? "Riser: supply, port, unit"
                           : "Riser: supplies and their ports in use");
    f.draws = whole;
    if (whole)
        (void)flow_all(&f);
    else if (f.box.height >= f.line)
        write_supplies(&f);
}
