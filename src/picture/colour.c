/* SPDX-License-Identifier: MIT */
/* The picture of one colour: where it lies, and its neighbourhood. */
#include <metamer/diagram.h>

#include "base/error.h"
#include "picture/make.h"
#include "picture/mark.h"
#include "picture/plane.h"

#include <metamer/tolerance.h>
#include <metamer/white.h>

#include <math.h>
#include <stdio.h>

/* Half a side of the neighbourhood, in the diagram's units. */
#define NEAR 0.02
/* Steps whose circles are drawn about the colour. */
#define STEPS_SHOWN 3

struct colour {
    const mtm_target *target;
    const char *coordinates; /* words beside the mark */
};

static void draw_near(mtmi_canvas *c, mtmi_plane *plane, const struct colour *colour)
{
    const mtmi_type type = {.bold = true, .halo = true};
    const mtmi_type quiet = {.ink = MTMI_INK_QUIET, .halo = true};
    mtmi_point at = mtmi_plane_at(plane, colour->target->xy);
    mtmi_pen dots = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 1, MTMI_DASH_DOTS};

    mtmi_plane_draw_ground(c, plane);
    mtmi_plane_lay_circle(c, plane, colour->target->xy, STEPS_SHOWN * MTM_STEP_UV);
    mtmi_stroke(c, dots);
    mtmi_mark_target(c, at);
    double radius = hypot(plane->plot.box.width, 0) * STEPS_SHOWN * MTM_STEP_UV / (2 * NEAR);
    mtmi_placer_block(plane->placer, (mtmi_box){at.x - MTMI_TARGET_REACH, at.y - MTMI_TARGET_REACH,
                                                2 * MTMI_TARGET_REACH, 2 * MTMI_TARGET_REACH});
    (void)mtmi_label_draw_close(c, plane->placer, at, fmax(radius, MTMI_TARGET_REACH), &type,
                                colour->coordinates);
    (void)mtmi_label_draw_close(c, plane->placer, at, fmax(radius, MTMI_TARGET_REACH), &quiet,
                                "dotted: 3 steps of 0.0011");
    mtmi_plane_draw_words(c, plane);
}

static void draw_whole(mtmi_canvas *c, mtmi_plane *plane, const mtmi_plane *near,
                       const struct colour *colour)
{
    const mtmi_type type = {.bold = true, .halo = true};
    mtmi_point at = mtmi_plane_at(plane, colour->target->xy);

    mtmi_plane_draw_ground(c, plane);
    mtmi_plane_draw_frame(c, plane, near);
    mtmi_mark_target(c, at);
    mtmi_placer_block(plane->placer, (mtmi_box){at.x - MTMI_TARGET_REACH, at.y - MTMI_TARGET_REACH,
                                                2 * MTMI_TARGET_REACH, 2 * MTMI_TARGET_REACH});
    mtmi_plane_draw_words(c, plane);
    (void)mtmi_label_draw(c, plane->placer, at, MTMI_TARGET_REACH, &type,
                          colour->target->description);
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const struct colour *colour = subject;
    mtm_observer observer = colour->target->observer;
    mtmi_parts parts = mtmi_parts_of(box);
    mtmi_plane whole = {0}, near = {0};
    mtm_result result = mtmi_plane_open(c, parts.large, options->diagram, observer, &whole, error);

    if (result == MTM_OK)
        result = mtmi_plane_open_near(c, parts.small, options->diagram, observer,
                                      colour->target->xy, NEAR, &near, error);
    if (result == MTM_OK) {
        draw_whole(c, &whole, &near, colour);
        draw_near(c, &near, colour);
    }
    mtmi_plane_close(&whole);
    mtmi_plane_close(&near);
    return result;
}

/* What the colour is, in a sentence. */
static void say(const mtm_target *target, mtmi_text *text, mtmi_text *beside)
{
    mtm_uv uv = mtm_uv_from_xy(target->xy);
    mtm_white white;
    char figure[MTMI_FIGURE_ROOM];

    mtmi_text_add(text, "x %.4f, y %.4f; u' %.4f, v' %.4f", target->xy.x, target->xy.y, uv.u, uv.v);
    if (target->observer == MTM_OBSERVER_2 &&
        mtm_white_from_xy(target->xy, &white, NULL) == MTM_OK) {
        const char *sign = white.duv >= 0.00005 ? "+" : "";
        mtmi_text_add(beside, "%.0f K, Duv %s%s", white.cct_k, sign,
                      mtmi_figure(figure, white.duv, 4, NULL));
        mtmi_text_add(text, "; correlated colour temperature %.0f K, Duv %s%s", white.cct_k, sign,
                      figure);
    } else {
        mtmi_text_add(beside, "u' %.4f, v' %.4f", uv.u, uv.v);
    }
    mtmi_text_add(text, ".");
}

mtm_result mtm_picture_of_colour(const mtm_target *target, const mtm_picture_options *options,
                                 mtm_picture **out, mtm_error *error)
{
    static const mtmi_picture_kind kind = {draw, 0.66, 1.6};
    mtmi_text title = {0}, subtitle = {0}, sources = {0}, beside = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (target == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no colour, or no place for the picture, was given");
    if (result != MTM_OK)
        return result;
    if (!mtm_xy_valid(target->xy) || (unsigned)target->observer >= MTM_OBSERVER_COUNT)
        return mtmi_fail(error, MTM_INVALID, "x %g, y %g is no chromaticity", target->xy.x,
                         target->xy.y);
    mtmi_text_add(&title, "%s", target->description);
    say(target, &subtitle, &beside);
    mtmi_plane_add_sources(&sources, options != NULL ? options->diagram : MTM_DIAGRAM_UV,
                           target->observer);
    if (title.failed || subtitle.failed || sources.failed || beside.failed) {
        result = mtmi_fail_memory(error);
    } else {
        struct colour colour = {target, beside.data};
        mtmi_captions captions = {title.data != NULL ? title.data : "", subtitle.data,
                                  sources.data};
        result = mtmi_picture_make(&kind, &colour, &captions, options, out, error);
    }
    mtmi_text_free(&title);
    mtmi_text_free(&subtitle);
    mtmi_text_free(&sources);
    mtmi_text_free(&beside);
    return result;
}
