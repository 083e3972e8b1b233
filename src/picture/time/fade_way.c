/* SPDX-License-Identifier: MIT */
/* Fade way: ways of units through a chromaticity diagram. */
#include "picture/time/fade_way.h"

#include "base/error.h"
#include "picture/make.h"
#include "picture/mark.h"
#include "picture/time/panels.h"

#include <math.h>
#include <stdlib.h>

/* Least half side of an enlarged part, and from which on the whole diagram is drawn instead; in the
 * diagram's units. */
#define HALF_LEAST 0.01
#define HALF_MOST 0.22
/* Of the ways' own extent, what is shown. */
#define ROOM 1.25
/* Points nearer than this to the last are left out, px. */
#define NEAR_PX 0.7
#define APART 12.0

/* What of the diagram holds all ways. */
struct extent {
    double x0, x1, y0, y1; /* NaN: nothing */
};

static void widen(struct extent *extent, mtm_diagram diagram, const mtm_xy *xy, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        if (!isfinite(xy[k].x))
            continue;
        mtmi_point at = mtmi_plane_coordinates(diagram, xy[k]);
        extent->x0 = fmin(extent->x0, at.x);
        extent->x1 = fmax(extent->x1, at.x);
        extent->y0 = fmin(extent->y0, at.y);
        extent->y1 = fmax(extent->y1, at.y);
    }
}

/* The colour at the middle of an extent. */
static mtm_xy middle_of(const struct extent *extent, mtm_diagram diagram)
{
    double x = (extent->x0 + extent->x1) / 2, y = (extent->y0 + extent->y1) / 2;

    return diagram == MTM_DIAGRAM_XY ? (mtm_xy){x, y} : mtm_xy_from_uv((mtm_uv){x, y});
}

static double half_of(const struct extent *extent)
{
    double half = fmax(extent->x1 - extent->x0, extent->y1 - extent->y0) / 2;

    return fmax(HALF_LEAST, half * ROOM);
}

/* Points of colours, those left out that are as good as the one before. A gap ends the line. */
static size_t lay_way(mtmi_canvas *c, const mtmi_plane *plane, const mtm_xy *xy, size_t count,
                      mtmi_point *point)
{
    size_t kept = 0;
    bool open = false;

    for (size_t k = 0; k < count; k++) {
        if (!isfinite(xy[k].x)) {
            open = false;
            continue;
        }
        mtmi_point at = mtmi_plane_at(plane, xy[k]);
        bool ends = k + 1 == count || !isfinite(xy[k + 1].x);
        if (open && !ends && hypot(at.x - point[kept - 1].x, at.y - point[kept - 1].y) < NEAR_PX)
            continue;
        if (open)
            mtmi_line(c, at.x, at.y);
        else
            mtmi_move(c, at.x, at.y);
        open = true;
        point[kept++] = at;
    }
    return kept;
}

/* Where a way begins and ends; false where nothing of it is seen. */
struct ends {
    mtmi_point first, last;
};

static bool find_ends(const mtmi_plane *plane, const mtmi_way *way, struct ends *ends)
{
    size_t first = 0, last = way->count;

    while (first < last && !isfinite(way->sent[first].x))
        first++;
    while (last > first && !isfinite(way->sent[last - 1].x))
        last--;
    if (first == last)
        return false;
    ends->first = mtmi_plane_at(plane, way->sent[first]);
    ends->last = mtmi_plane_at(plane, way->sent[last - 1]);
    return true;
}

static void draw_ways(mtmi_canvas *c, mtmi_plane *plane, const mtmi_way *way, size_t ways,
                      mtmi_point *point)
{
    const mtmi_pen quiet = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.6, MTMI_DASH_NONE};

    mtmi_plot_clip(c, &plane->plot);
    for (size_t i = 0; i < ways; i++) {
        (void)lay_way(c, plane, way[i].wanted, way[i].count, point);
        mtmi_stroke(c, quiet);
    }
    for (size_t i = ways; i-- > 0;) { /* the first on top, as over time */
        size_t count = lay_way(c, plane, way[i].sent, way[i].count, point);
        mtmi_stroke(c, mtmi_panel_pen(c, way[i].index));
        mtmi_placer_avoid(plane->placer, point, count);
    }
    for (size_t i = ways; i-- > 0;) {
        mtmi_shape shape = (mtmi_shape)(way[i].index % MTMI_SHAPE_COUNT);
        struct ends ends;
        if (!find_ends(plane, &way[i], &ends))
            continue;
        mtmi_mark_hollow(c, ends.first, shape, mtmi_canvas_series(c, way[i].index));
        mtmi_mark_dot(c, ends.last, shape, mtmi_canvas_series(c, way[i].index));
    }
    mtmi_unclip(c);
}

static void block_mark(mtmi_plane *plane, mtmi_point at)
{
    const double reach = MTMI_DOT_REACH;

    mtmi_placer_block(plane->placer, (mtmi_box){at.x - reach, at.y - reach, 2 * reach, 2 * reach});
}

static void write_ways(mtmi_canvas *c, mtmi_plane *plane, const mtmi_way *way, size_t ways)
{
    const mtmi_type type = {.bold = true, .halo = true, .width = plane->plot.box.width * 0.6};

    struct ends ends;

    for (size_t i = 0; i < ways; i++) { /* all marks before the first name */
        if (!find_ends(plane, &way[i], &ends))
            continue;
        block_mark(plane, ends.first);
        block_mark(plane, ends.last);
    }
    for (size_t i = 0; i < ways; i++) {
        if (way[i].name != NULL && find_ends(plane, &way[i], &ends))
            (void)mtmi_label_draw_close(c, plane->placer, ends.last, MTMI_DOT_REACH + 1, &type,
                                        way[i].name);
    }
}

static void draw_plane(mtmi_canvas *c, mtmi_plane *plane, const mtmi_way *way, size_t ways,
                       mtmi_point *point)
{
    mtmi_plane_draw_ground(c, plane);
    draw_ways(c, plane, way, ways, point);
    write_ways(c, plane, way, ways);
    mtmi_plane_draw_words(c, plane);
}

/* A square for the enlarged part, and what is left for the whole diagram. */
static mtmi_parts part(mtmi_box box)
{
    mtmi_parts parts = {box, box};

    if (box.width > box.height) {
        parts.large.width = fmin(box.height, (box.width - APART) / 2);
        parts.small.x += parts.large.width + APART;
        parts.small.width -= parts.large.width + APART;
    } else {
        parts.large.height = fmin(box.width, (box.height - APART) * 0.55);
        parts.small.y += parts.large.height + APART;
        parts.small.height -= parts.large.height + APART;
    }
    return parts;
}

static mtm_result draw_both(mtmi_canvas *c, mtmi_box box, mtm_diagram diagram,
                            mtm_observer observer, const struct extent *extent, const mtmi_way *way,
                            size_t ways, mtmi_point *point, mtm_error *error)
{
    mtmi_parts parts = part(box);
    mtmi_plane near = {0}, whole = {0};
    mtm_result result =
        mtmi_plane_open_near(c, parts.large, diagram, observer, middle_of(extent, diagram),
                             half_of(extent), &near, error);

    if (result == MTM_OK)
        result = mtmi_plane_open(c, parts.small, diagram, observer, &whole, error);
    if (result == MTM_OK) {
        draw_plane(c, &near, way, ways, point);
        mtmi_plane_draw_ground(c, &whole);
        mtmi_plane_draw_frame(c, &whole, &near);
        mtmi_plane_draw_words(c, &whole);
    }
    mtmi_plane_close(&near);
    mtmi_plane_close(&whole);
    return result;
}

mtm_result mtmi_ways_draw(mtmi_canvas *c, mtmi_box box, mtm_diagram diagram, mtm_observer observer,
                          const mtmi_way *way, size_t ways, mtm_error *error)
{
    struct extent extent = {NAN, NAN, NAN, NAN};
    mtmi_plane whole = {0};
    mtm_result result;
    size_t most = 1;

    for (size_t i = 0; i < ways; i++) {
        widen(&extent, diagram, way[i].sent, way[i].count);
        widen(&extent, diagram, way[i].wanted, way[i].count);
        most = way[i].count > most ? way[i].count : most;
    }
    mtmi_point *point = malloc(most * sizeof *point);
    if (point == NULL)
        return mtmi_fail_memory(error);
    if (isfinite(extent.x0) && half_of(&extent) <= HALF_MOST) {
        result = draw_both(c, box, diagram, observer, &extent, way, ways, point, error);
    } else {
        result = mtmi_plane_open(c, box, diagram, observer, &whole, error);
        if (result == MTM_OK)
            draw_plane(c, &whole, way, ways, point);
        mtmi_plane_close(&whole);
    }
    free(point);
    return result;
}
