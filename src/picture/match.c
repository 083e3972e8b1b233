/* SPDX-License-Identifier: MIT */
/* The picture of a match: gamuts, target, what each unit gives, and their key. */
#include <metamer/diagram.h>

#include "base/error.h"
#include "base/number.h"
#include "picture/make.h"
#include "picture/match_gamut.h"
#include "picture/match_key.h"
#include "picture/match_points.h"

#include <metamer/agreement.h>
#include <metamer/tolerance.h>

#include <math.h>

/* Px between neighbourhood and key. */
#define APART 16.0
/* Of the small part's longer side, what the neighbourhood takes: the least, so that a long key
 * becomes one of kinds, and the most. */
#define NEAR_LEAST 0.45
#define NEAR_MOST 0.7

/* Where the small part holds the neighbourhood, and where the key. */
struct layout {
    mtmi_box near, key;
};

static struct layout lay_out(mtmi_box small, bool upright, bool near_exists, double key_height)
{
    struct layout layout = {.key = small};

    if (!near_exists)
        return layout;
    layout.near = small;
    if (upright) {
        layout.near.width = fmin(small.height, small.width * NEAR_LEAST);
        layout.key.x += layout.near.width + APART;
        layout.key.width -= layout.near.width + APART;
    } else {
        double left = fmax(NEAR_LEAST * small.height, small.height - key_height - APART);
        layout.near.height = fmin(small.width, fmin(left, NEAR_MOST * small.height));
        layout.key.y += layout.near.height + APART;
        layout.key.height -= layout.near.height + APART;
    }
    return layout;
}

/* The planes that a picture has. */
struct planes {
    mtmi_plane whole, near;
    bool near_exists;
};

static void draw_planes(mtmi_canvas *c, struct planes *planes, const mtmi_view *view)
{
    mtmi_plane *whole = &planes->whole, *near = &planes->near;

    mtmi_plane_draw_ground(c, whole);
    mtmi_gamuts_draw(c, whole, view);
    if (planes->near_exists)
        mtmi_plane_draw_frame(c, whole, near);
    mtmi_points_draw(c, whole, view);
    mtmi_points_write(c, whole, view, planes->near_exists ? near : NULL);
    mtmi_plane_draw_words(c, whole);
    mtmi_gamuts_write(c, whole, view);
    if (!planes->near_exists)
        return;
    mtmi_plane_draw_ground(c, near);
    mtmi_gamuts_draw(c, near, view);
    mtmi_points_draw(c, near, view);
    mtmi_points_write(c, near, view, NULL);
    mtmi_plane_draw_words(c, near);
}

static mtm_result draw(mtmi_canvas *c, mtmi_box box, const void *subject,
                       const mtm_picture_options *options, mtm_error *error)
{
    mtmi_view view;
    struct planes planes = {.near_exists = false};
    mtm_result result = mtmi_view_gather(subject, &view, error);

    if (result == MTM_OK) {
        const mtm_target *target = view.of->target;
        mtmi_parts parts = mtmi_parts_of(box);
        mtmi_near near = mtmi_near_of(&view, options->diagram);
        double key_height = mtmi_key_height(c, &view);
        struct layout layout =
            lay_out(parts.small, box.height > box.width, near.exists, key_height);
        planes.near_exists = near.exists;
        view.by_kind = key_height > layout.key.height;
        result = mtmi_plane_open(c, parts.large, options->diagram, target->observer, &planes.whole,
                                 error);
        if (result == MTM_OK && near.exists)
            result = mtmi_plane_open_near(c, layout.near, options->diagram, target->observer,
                                          target->xy, near.half, &planes.near, error);
        if (result == MTM_OK) {
            draw_planes(c, &planes, &view);
            mtmi_key_draw(c, layout.key, &view);
        }
    }
    mtmi_plane_close(&planes.whole);
    mtmi_plane_close(&planes.near);
    mtmi_view_free(&view);
    return result;
}

/* How many units agree with the target, and who is farthest. */
static void say(const mtm_match_view *view, mtmi_text *text)
{
    const mtm_match *farthest = mtm_match_farthest(view->match, view->count);
    size_t lit = 0, within = 0;

    for (size_t i = 0; i < view->count; i++) {
        bool shines = view->match[i].xyz.y > 0;
        lit += shines;
        within += shines && !mtmi_exceeds(view->match[i].delta_uv, MTM_STEP_UV);
    }
    mtmi_text_add(text, "%zu of %zu units agree with the target within one step (Δu'v' %.4f)",
                  within, view->count, MTM_STEP_UV);
    if (lit < view->count)
        mtmi_text_add(text, "; %zu dark", view->count - lit);
    if (lit > 0 && farthest->delta_uv > MTM_ON_TARGET_UV)
        mtmi_text_add(text, "; %s is farthest, by Δu'v' %.4f",
                      mtm_rig_unit(view->rig, farthest->unit)->name, farthest->delta_uv);
    mtmi_text_add(text, ".");
}

static mtm_result check(const mtm_match_view *view, mtm_error *error)
{
    if (view == NULL || view->rig == NULL || view->matcher == NULL || view->target == NULL ||
        view->match == NULL || view->count == 0)
        return mtmi_fail(error, MTM_INVALID,
                         "a picture of a match needs its rig, matcher, target and a match");
    if (!(view->tolerance_uv >= 0 && view->tolerance_uv <= 1))
        return mtmi_fail(error, MTM_INVALID, "a tolerance in u', v' is 0 to 1, not %g",
                         view->tolerance_uv);
    if (!mtm_xy_valid(view->target->xy) || (unsigned)view->target->observer >= MTM_OBSERVER_COUNT)
        return mtmi_fail(error, MTM_INVALID, "the target x %g, y %g is no chromaticity",
                         view->target->xy.x, view->target->xy.y);
    for (size_t i = 0; i < view->count; i++) {
        if (view->match[i].unit >= mtm_rig_unit_count(view->rig) ||
            mtm_matcher_solver(view->matcher, view->match[i].unit) == NULL)
            return mtmi_fail(error, MTM_INVALID, "the rig or the matcher has no unit %zu",
                             view->match[i].unit);
    }
    return MTM_OK;
}

mtm_result mtm_picture_of_match(const mtm_match_view *view, const mtm_picture_options *options,
                                mtm_picture **out, mtm_error *error)
{
    static const mtmi_picture_kind kind = {draw, 0.72, 1.6};
    mtmi_text title = {0}, subtitle = {0}, sources = {0};
    mtm_result result = mtmi_picture_check(options, error);

    if (result == MTM_OK)
        result = check(view, error);
    if (result == MTM_OK && out == NULL)
        result = mtmi_fail(error, MTM_INVALID, "no place for the picture was given");
    if (result != MTM_OK)
        return result;
    mtmi_text_add(&title, "%s: %zu unit%s, target %s", mtm_rig_name(view->rig), view->count,
                  view->count == 1 ? "" : "s", view->target->description);
    say(view, &subtitle);
    mtmi_plane_add_sources(&sources, options != NULL ? options->diagram : MTM_DIAGRAM_UV,
                           view->target->observer);
    mtmi_text_add(&sources, " What the units give is predicted for their codes, rounding "
                            "included.");
    return mtmi_picture_make_said(&kind, view, (mtmi_text *[]){&title, &subtitle, &sources},
                                  options, out, error);
}
