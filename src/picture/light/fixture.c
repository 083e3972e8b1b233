/* SPDX-License-Identifier: MIT */
/* The picture of a fixture: gamut, whites, spectra and dimming curves. */
#include <metamer/fixture_picture.h>

#include "base/error.h"
#include "fixture/dims.h"
#include "picture/light/fixture.h"
#include "picture/make.h"
#include "picture/mark.h"
#include "picture/plane.h"
#include "picture/white_lines.h"

#include <metamer/whites.h>

#include <math.h>

#define APART 16.0
/* Of the height, what the upper two panels take of four. */
#define UPPER 0.56
/* Height to width from which panels go full width, and from which all do. */
#define UPRIGHT 1.2
#define COLUMN 1.7

/* Each emitter with its name, the corners joined. */
static void draw_gamut(mtmi_canvas *c, mtmi_plane *plane, const mtmi_fixture_view *view)
{
    const mtmi_type type = {.bold = true, .halo = true};
    mtmi_point corner[MTM_EMITTERS_MAX + 1];

    for (size_t i = 0; i <= view->corner_count; i++)
        corner[i] = mtmi_plane_at(plane, view->corner[i % view->corner_count]);
    mtmi_lay_points(c, corner, view->corner_count, true);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1.75, MTMI_DASH_NONE});
    mtmi_placer_avoid(plane->placer, corner, view->corner_count + 1);
    for (size_t k = 0; k < mtm_fixture_emitter_count(view->light); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(view->light, k);
        mtm_xyz xyz = emitter->xyz[view->observer];
        if (!(xyz.x + xyz.y + xyz.z > 0))
            continue;
        mtmi_point at = mtmi_plane_at(plane, mtm_xy_from_xyz(xyz));
        mtmi_mark_dot(c, at, MTMI_SHAPE_DISC, mtmi_canvas_ink(c, MTMI_INK_TEXT));
        (void)mtmi_label_draw(c, plane->placer, at, MTMI_DOT_REACH, &type, emitter->name);
    }
}

/* Of a unit whose colour goes with its output: the way it goes, from full down. */
static void draw_way(mtmi_canvas *c, mtmi_plane *plane, const mtmi_fixture_view *view)
{
    const mtmi_type type = {.bold = true, .halo = true};
    mtmi_point way[MTMI_DIMS_POINTS];

    for (int i = 0; i < MTMI_DIMS_POINTS; i++) {
        mtm_white white = mtmi_dims_white(view->dims, mtmi_dims_share(view->dims, i));
        way[i] =
            mtmi_plane_at(plane, mtmi_white_beside(view->observer, 1e6 / white.cct_k, white.duv));
    }
    mtmi_lay_points(c, way, MTMI_DIMS_POINTS, false);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 3, MTMI_DASH_NONE});
    mtmi_placer_avoid(plane->placer, way, MTMI_DIMS_POINTS);
    for (int end = 0; end < 2; end++) {
        const mtmi_point at = way[end * (MTMI_DIMS_POINTS - 1)];
        mtmi_mark_dot(c, at, MTMI_SHAPE_DISC, mtmi_canvas_ink(c, MTMI_INK_TEXT));
        (void)mtmi_label_draw(c, plane->placer, at, MTMI_DOT_REACH, &type,
                              end == 0 ? "at full" : "dimmed");
    }
}

static mtm_result draw_plane(mtmi_canvas *c, mtmi_box box, const mtmi_fixture_view *view,
                             mtm_diagram diagram, mtm_error *error)
{
    mtmi_plane plane = {0};
    mtm_result result = mtmi_plane_open(c, box, diagram, view->observer, &plane, error);

    if (result == MTM_OK) {
        mtmi_plane_draw_ground(c, &plane);
        if (view->dims != NULL)
            draw_way(c, &plane, view);
        else if (view->corner_count > 0)
            draw_gamut(c, &plane, view);
        mtmi_plane_draw_words(c, &plane);
    }
    mtmi_plane_close(&plane);
    return result;
}

/* What a panel shows, above it; returns what is left of its box. */
static mtmi_box title_panel(mtmi_canvas *c, mtmi_box box, const char *title)
{
    const mtmi_type type = {.bold = true, .width = box.width};
    double height = mtmi_words(c, box.x, box.y, &type, title).height + 2;

    return (mtmi_box){box.x, box.y + height, box.width, fmax(1, box.height - height)};
}

/* Gamut, whites, spectra, curves. */
struct layout {
    mtmi_box panel[4];
};

/* One below the other. */
static struct layout in_column(mtmi_box box)
{
    static const double shares[4] = {0.37, 0.23, 0.2, 0.2};
    double y = box.y, all = box.height - 3 * APART;
    struct layout layout;

    for (int i = 0; i < 4; i++) {
        layout.panel[i] = (mtmi_box){box.x, y, box.width, shares[i] * all};
        y += shares[i] * all + APART;
    }
    return layout;
}

/* The planes beside each other; below them the rest, beside each other too, or full width. */
static struct layout in_rows(mtmi_box box, bool upright)
{
    double width = (box.width - APART) / 2;
    double upper = upright ? width : UPPER * (box.height - APART);
    double lower = box.height - APART - upper, x = box.x + width + APART, y = box.y + upper + APART;
    struct layout layout = {{{box.x, box.y, width, upper}, {x, box.y, width, upper}}};

    if (upright) {
        double half = (lower - APART) / 2;
        layout.panel[2] = (mtmi_box){box.x, y, box.width, half};
        layout.panel[3] = (mtmi_box){box.x, y + half + APART, box.width, half};
    } else {
        layout.panel[2] = (mtmi_box){box.x, y, width, lower};
        layout.panel[3] = (mtmi_box){x, y, width, lower};
    }
    return layout;
}

static struct layout lay_out(mtmi_box box)
{
    return box.height > COLUMN * box.width ? in_column(box)
                                           : in_rows(box, box.height > UPRIGHT * box.width);
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    const mtmi_fixture_view *view = subject;
    struct layout layout = lay_out(box);

    mtm_result result =
        draw_plane(c, title_panel(c, layout.panel[0], "Gamut"), view, options->diagram, error);
    if (result == MTM_OK)
        result = mtmi_fixture_whites_draw(
            c, title_panel(c, layout.panel[1], "Whites it makes, and the most light there"), view,
            error);
    if (result == MTM_OK)
        result = mtmi_fixture_spectra_draw(c, title_panel(c, layout.panel[2], "Spectra at full"),
                                           view, error);
    if (result == MTM_OK)
        result = mtmi_fixture_curves_draw(
            c, title_panel(c, layout.panel[3], "Dimming: light by code"), view, error);
    return result;
}

/* The whites in a sentence, as the command has it. */
static mtm_result say(const mtmi_fixture_view *view, mtmi_text *text, mtm_error *error)
{
    const double some_k = 4000;
    mtm_fixture_white white;
    mtm_white_range range;
    mtm_result result =
        mtm_fixture_whites(view->light, view->observer, &some_k, 1, &white, &range, error);

    if (result != MTM_OK)
        return result;
    if (mtm_fixture_emitter_count(view->light) == 1)
        mtmi_text_add(text, "One emitter has one colour: only its light can be matched.");
    else if (range.warmest_k > 0)
        mtmi_text_add(text, "Whites from %.0f K to %.0f K, within Δu'v' %.4f of the locus.",
                      range.warmest_k, range.coolest_k, range.farthest_uv);
    else
        mtmi_text_add(text, "No white from 1000 K to 25000 K lies within Δu'v' %.3f.",
                      MTM_WHITE_NEAR_UV);
    return MTM_OK;
}

static void say_title(const mtmi_fixture_view *view, mtmi_text *text)
{
    mtmi_text_add(text, "%s", mtm_fixture_name(view->fixture));
    if (view->light != view->fixture)
        mtmi_text_add(text, ", mode %s", mtm_fixture_mode(view->fixture, 0)->name);
}

static mtm_result make(const mtmi_fixture_view *view, const mtm_picture_options *options,
                       mtm_picture **out, mtm_error *error)
{
    static const mtmi_picture_kind kind = {draw, 0.92, 2.7};
    mtmi_text title = {0}, subtitle = {0}, sources = {0};
    mtm_result result = say(view, &subtitle, error);

    say_title(view, &title);
    mtmi_plane_add_sources(&sources, options != NULL ? options->diagram : MTM_DIAGRAM_UV,
                           view->observer);
    mtmi_text_add(&sources, " Light: the most that any mix gives, before codes are chosen.");
    if (result == MTM_OK && (title.failed || subtitle.failed || sources.failed))
        result = mtmi_fail_memory(error);
    if (result == MTM_OK) {
        mtmi_captions captions = {title.data, subtitle.data, sources.data};
        result = mtmi_picture_make(&kind, view, &captions, options, out, error);
    }
    mtmi_text_free(&title);
    mtmi_text_free(&subtitle);
    mtmi_text_free(&sources);
    return result;
}

mtm_result mtm_picture_of_fixture(const mtm_fixture *fixture, mtm_observer observer,
                                  const mtm_picture_options *options, mtm_picture **out,
                                  mtm_error *error)
{
    mtm_result result = mtmi_picture_check(options, error);

    if (fixture == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no fixture, or no place for the picture, was given");
    if (result != MTM_OK)
        return result;
    if ((unsigned)observer >= MTM_OBSERVER_COUNT)
        return mtmi_fail(error, MTM_INVALID, "there is no such observer: %d", (int)observer);
    mtmi_fixture_view view = {.fixture = fixture, .light = fixture, .observer = observer};
    if (mtm_fixture_emitter_count(fixture) == 0)
        view.light = mtm_fixture_of_mode(fixture, mtm_fixture_mode(fixture, 0));
    view.dims = mtmi_fixture_dims(view.light);
    result = mtm_solver_create_for(view.light, observer, &view.solver, error);
    if (result == MTM_OK) {
        view.corner_count = mtm_solver_gamut(view.solver, view.corner);
        result = make(&view, options, out, error);
    }
    mtm_solver_free(view.solver);
    return result;
}
