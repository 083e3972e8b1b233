/* SPDX-License-Identifier: MIT */
/* The picture of filters: arrows from a light to what they make of it, and what they let through.
 */
#include <metamer/filter_picture.h>

#include "base/error.h"
#include "base/number.h"
#include "picture/make.h"
#include "picture/mark.h"
#include "picture/plane.h"

#include <math.h>
#include <stdio.h>

/* Filters that are told apart by arrows, dashes and names of their curves. */
#define TOLD_APART 8
/* The curves' part, nm and its words. */
#define FIRST_NM 380
#define LAST_NM 780
#define COUNT_NM (LAST_NM - FIRST_NM + 1)
/* Half a side of a neighbourhood, in the diagram's units, and what is left about the outermost. */
#define NEAR_LEAST 0.01
#define NEAR_MOST 0.09
#define AROUND 1.4
/* Where the first curve's name is wanted, and how much farther the next. */
#define NAME_FIRST_NM 440
#define NAME_STEP_NM 40

static mtm_xy xy_of(mtm_xyz xyz)
{
    return mtm_xy_from_xyz(xyz);
}

static bool is_lit(const mtm_shown_filter *shown)
{
    return shown->made.xyz.y > 0;
}

static mtmi_ink ink_of(mtmi_canvas *c, const mtm_filter_view *view, size_t i)
{
    return view->count > TOLD_APART ? mtmi_canvas_ink(c, MTMI_INK_QUIET)
                                    : mtmi_canvas_series(c, (unsigned)i);
}

static mtmi_shape shape_of(const mtm_filter_view *view, size_t i)
{
    return view->count > TOLD_APART ? MTMI_SHAPE_DISC : (mtmi_shape)(i % MTMI_SHAPE_COUNT);
}

static void block(mtmi_plane *plane, mtmi_point at, double reach)
{
    mtmi_placer_block(plane->placer, (mtmi_box){at.x - reach, at.y - reach, 2 * reach, 2 * reach});
}

static void draw_marks(mtmi_canvas *c, mtmi_plane *plane, const mtm_filter_view *view)
{
    mtmi_point light = mtmi_plane_at(plane, xy_of(view->filter[0].made.light_xyz));

    block(plane, light, MTMI_DOT_REACH);
    if (view->target != NULL) {
        mtmi_point at = mtmi_plane_at(plane, view->target->xy);
        mtmi_mark_target(c, at);
        block(plane, at, MTMI_TARGET_REACH);
    }
    for (size_t i = 0; i < view->count; i++) {
        if (!is_lit(&view->filter[i]))
            continue;
        mtmi_point at = mtmi_plane_at(plane, xy_of(view->filter[i].made.xyz));
        if (view->count <= TOLD_APART) {
            mtmi_mark_arrow(c, light, at);
            mtmi_placer_avoid(plane->placer, (mtmi_point[]){light, at}, 2);
        }
        mtmi_mark_dot(c, at, shape_of(view, i), ink_of(c, view, i));
        block(plane, at, MTMI_DOT_REACH);
    }
    mtmi_mark_hollow(c, light, MTMI_SHAPE_DISC, mtmi_canvas_ink(c, MTMI_INK_TEXT));
}

/* What found no room, in a corner where a diagram has nothing. */
static void count_nameless(mtmi_canvas *c, const mtmi_plane *plane, size_t count)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .align = MTMI_ALIGN_RIGHT};
    const mtmi_box *box = &plane->plot.box;
    char text[80];

    (void)snprintf(text, sizeof text, "%zu more names in the table", count);
    if (count > 0)
        (void)mtmi_words(c, box->x + box->width - 6,
                         box->y + box->height - mtmi_line_height(c, MTMI_TYPE_SMALL) - 4, &type,
                         text);
}

/* Names beside the marks; of many, those that have room. */
static void write_names(mtmi_canvas *c, mtmi_plane *plane, const mtm_filter_view *view)
{
    const mtmi_type bold = {.bold = true, .halo = true};
    const mtmi_type plain = {.halo = true};
    mtm_xy light = xy_of(view->filter[0].made.light_xyz);
    size_t nameless = 0;

    (void)mtmi_label_draw(c, plane->placer, mtmi_plane_at(plane, light), MTMI_DOT_REACH, &bold,
                          view->light->name);
    if (view->target != NULL)
        (void)mtmi_label_draw(c, plane->placer, mtmi_plane_at(plane, view->target->xy),
                              MTMI_TARGET_REACH, &bold, view->target->description);
    for (size_t i = 0; i < view->count; i++) {
        if (is_lit(&view->filter[i]))
            nameless += !mtmi_label_draw(c, plane->placer,
                                         mtmi_plane_at(plane, xy_of(view->filter[i].made.xyz)),
                                         MTMI_DOT_REACH, &plain, view->filter[i].filter->name);
    }
    count_nameless(c, plane, nameless);
}

static mtmi_point curve_at(const mtmi_plot *plot, const mtm_filter *filter, int nm)
{
    return mtmi_plot_at(plot, nm, 100 * filter->transmittance.value[nm - MTM_SPECTRUM_FIRST_NM]);
}

static void draw_curve(mtmi_canvas *c, const mtmi_plot *plot, mtmi_placer *placer,
                       const mtm_filter_view *view, size_t i)
{
    mtmi_point point[COUNT_NM];
    mtmi_dash dash = view->count > TOLD_APART ? MTMI_DASH_NONE : (mtmi_dash)(i % MTMI_DASH_COUNT);

    for (int k = 0; k < COUNT_NM; k++)
        point[k] = curve_at(plot, view->filter[i].filter, FIRST_NM + k);
    mtmi_lay_points(c, point, COUNT_NM, false);
    mtmi_stroke(c, (mtmi_pen){ink_of(c, view, i), view->count > TOLD_APART ? 0.5 : 1.5, dash});
    mtmi_placer_avoid(placer, point, COUNT_NM);
}

static mtm_result draw_curves(mtmi_canvas *c, mtmi_box box, const mtm_filter_view *view,
                              mtm_error *error)
{
    static const mtmi_axis x = {.from = FIRST_NM, .to = LAST_NM, .name = "Wavelength, nm"};
    static const mtmi_axis y = {.from = 0, .to = 100, .name = "Transmittance, %"};
    const mtmi_type type = {.halo = true};
    mtmi_plot plot = mtmi_plot_layout(c, box, &x, &y, false);
    mtmi_placer *placer = mtmi_placer_create(plot.box);

    if (placer == NULL)
        return mtmi_fail_memory(error);
    mtmi_plot_axes(c, &plot, &x, &y);
    mtmi_plot_clip(c, &plot);
    for (size_t i = 0; i < view->count; i++)
        draw_curve(c, &plot, placer, view, i);
    mtmi_unclip(c);
    for (size_t i = 0; view->count <= TOLD_APART && i < view->count; i++)
        (void)mtmi_label_draw(
            c, placer,
            curve_at(&plot, view->filter[i].filter, NAME_FIRST_NM + (int)i * NAME_STEP_NM), 2,
            &type, view->filter[i].filter->name);
    mtmi_placer_free(placer);
    return MTM_OK;
}

/* Half the side of a square about all colours, in the diagram's units; and its middle. */
static double half_of(const mtm_filter_view *view, mtm_diagram diagram, mtmi_point *middle)
{
    mtmi_point light = mtmi_plane_coordinates(diagram, xy_of(view->filter[0].made.light_xyz));
    double left = light.x, right = light.x, low = light.y, high = light.y;

    for (size_t i = 0; i <= view->count; i++) {
        mtmi_point at = light;
        if (i < view->count && is_lit(&view->filter[i]))
            at = mtmi_plane_coordinates(diagram, xy_of(view->filter[i].made.xyz));
        else if (i == view->count && view->target != NULL)
            at = mtmi_plane_coordinates(diagram, view->target->xy);
        left = fmin(left, at.x);
        right = fmax(right, at.x);
        low = fmin(low, at.y);
        high = fmax(high, at.y);
    }
    *middle = (mtmi_point){(left + right) / 2, (low + high) / 2};
    return fmax(right - left, high - low) / 2;
}

/* The whole diagram, or where all lies close together its neighbourhood. */
static mtm_result open_plane(mtmi_canvas *c, mtmi_box box, const mtm_filter_view *view,
                             mtm_diagram diagram, mtmi_plane *plane, mtm_error *error)
{
    mtmi_point middle;
    double half = AROUND * half_of(view, diagram, &middle);

    if (half > NEAR_MOST)
        return mtmi_plane_open(c, box, diagram, view->observer, plane, error);
    mtm_xy xy = diagram == MTM_DIAGRAM_UV ? mtm_xy_from_uv((mtm_uv){middle.x, middle.y})
                                          : (mtm_xy){middle.x, middle.y};
    return mtmi_plane_open_near(c, box, diagram, view->observer, xy, fmax(half, NEAR_LEAST), plane,
                                error);
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const mtm_filter_view *view = subject;
    mtmi_parts parts = mtmi_parts_of(box);
    mtmi_plane plane = {0};
    mtm_result result = open_plane(c, parts.large, view, options->diagram, &plane, error);

    if (result == MTM_OK) {
        mtmi_plane_draw_ground(c, &plane);
        draw_marks(c, &plane, view);
        if (view->count <= TOLD_APART)
            write_names(c, &plane, view);
        mtmi_plane_draw_words(c, &plane);
        if (view->count > TOLD_APART)
            write_names(c, &plane, view);
        result = draw_curves(c, parts.small, view, error);
    }
    mtmi_plane_close(&plane);
    return result;
}

/* What passes, and of one filter what it does. */
static void say(const mtm_filter_view *view, mtmi_text *text)
{
    const mtm_shown_filter *least = &view->filter[0], *most = least;

    for (size_t i = 1; i < view->count; i++) {
        const mtm_shown_filter *one = &view->filter[i];
        least = mtmi_exceeds(least->made.transmittance_y, one->made.transmittance_y) ? one : least;
        most = mtmi_exceeds(one->made.transmittance_y, most->made.transmittance_y) ? one : most;
    }
    if (view->count > 1) {
        mtmi_text_add(text, "%.1f %% (%s) to %.1f %% (%s) of the light pass.",
                      100 * least->made.transmittance_y, least->filter->name,
                      100 * most->made.transmittance_y, most->filter->name);
        return;
    }
    mtmi_text_add(text, "%.1f %% of the light pass", 100 * most->made.transmittance_y);
    if (most->made.has_shift)
        mtmi_text_add(text, "; %.0f K becomes %.0f K, %+.1f mired, Duv %+.4f",
                      most->made.before.cct_k, most->made.after.cct_k, most->made.mired_shift,
                      most->made.duv_shift);
    mtmi_text_add(text, ".");
}

static void name_all(const mtm_filter_view *view, mtmi_text *title)
{
    if (view->target != NULL)
        mtmi_text_add(title, "Nearest to %s", view->target->description);
    else if (view->count > TOLD_APART)
        mtmi_text_add(title, "%zu filters", view->count);
    for (size_t i = 0; view->target == NULL && view->count <= TOLD_APART && i < view->count; i++)
        mtmi_text_add(title, "%s%s", i > 0 ? ", " : "", view->filter[i].filter->name);
    mtmi_text_add(title, " over %s", view->light->name);
}

static void add_sources(const mtm_filter_view *view, const mtm_picture_options *options,
                        mtmi_text *sources)
{
    bool computed = false;

    for (size_t i = 0; i < view->count; i++)
        computed = computed || view->filter[i].filter->computed;
    mtmi_plane_add_sources(sources, options != NULL ? options->diagram : MTM_DIAGRAM_UV,
                           view->observer);
    mtmi_text_add(sources, " Hollow: the bare light; filled: behind a filter.");
    if (computed)
        mtmi_text_add(sources, " Filters stated by their shift are a smooth model.");
}

static mtm_result check(const mtm_filter_view *view, mtm_picture **out, mtm_error *error)
{
    if (view == NULL || out == NULL || view->light == NULL || view->filter == NULL ||
        view->count == 0 || view->count > MTM_FILTERS_MAX ||
        (unsigned)view->observer >= MTM_OBSERVER_COUNT)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of filters needs a light, an observer, 1 to %d filters and a "
                         "place",
                         MTM_FILTERS_MAX);
    for (size_t i = 0; i < view->count; i++) {
        if (view->filter[i].filter == NULL || !(view->filter[i].made.light_xyz.y > 0))
            return mtmi_fail(error, MTM_INVALID, "filter %zu is none, or its light is dark", i);
    }
    if (view->target != NULL && !mtm_xy_valid(view->target->xy))
        return mtmi_fail(error, MTM_INVALID, "the target x %g, y %g is no chromaticity",
                         view->target->xy.x, view->target->xy.y);
    return MTM_OK;
}

mtm_result mtm_picture_of_filters(const mtm_filter_view *view, const mtm_picture_options *options,
                                  mtm_picture **out, mtm_error *error)
{
    static const mtmi_picture_kind kind = {draw, 0.66, 1.6};
    mtmi_text title = {0}, subtitle = {0}, sources = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK)
        result = check(view, out, error);
    if (result != MTM_OK)
        return result;
    name_all(view, &title);
    say(view, &subtitle);
    add_sources(view, options, &sources);
    return mtmi_picture_make_said(&kind, view, (mtmi_text *[]){&title, &subtitle, &sources},
                                  options, out, error);
}
