/* SPDX-License-Identifier: MIT */
/* Points of a match: what the units give beside what was asked, in a chromaticity diagram. */
#include "picture/match_points.h"

#include "picture/mark.h"

#include <metamer/tolerance.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Nearer to the target than this, in u', v', a unit is in its neighbourhood. */
#define NEAR_UV 0.03
/* The least and most of half a side, and what is left around the outermost. */
#define HALF_MIN 0.0035
#define HALF_MAX 0.04
#define AROUND 1.35

mtmi_near mtmi_near_of(const mtmi_view *view, mtm_diagram diagram)
{
    mtmi_point target = mtmi_plane_coordinates(diagram, view->of->target->xy);
    mtmi_near near = {.half = HALF_MIN};

    for (size_t i = 0; i < view->group_count; i++) {
        const mtmi_view_group *group = &view->group[i];
        if (!group->lit || group->match->delta_uv > NEAR_UV)
            continue;
        mtmi_point at = mtmi_plane_coordinates(diagram, group->match->xy);
        near.exists = true;
        near.half = fmax(near.half, AROUND * fmax(fabs(at.x - target.x), fabs(at.y - target.y)));
    }
    near.half = fmin(HALF_MAX, fmax(near.half, AROUND * view->of->tolerance_uv));
    return near;
}

/* Places where a dot stands already, one bit of each px for each of eight kinds: of thousands of
 * units most lie over each other. */
struct drawn {
    uint8_t *px;
    int columns, rows;
    mtmi_box box;
};

static bool is_new(struct drawn *drawn, mtmi_point at, size_t kind)
{
    int column = (int)floor(at.x - drawn->box.x), row = (int)floor(at.y - drawn->box.y);
    uint8_t bit = (uint8_t)(1U << kind % 8);

    if (drawn->px == NULL || column < 0 || row < 0 || column >= drawn->columns ||
        row >= drawn->rows)
        return true;
    uint8_t *px = &drawn->px[(size_t)row * (size_t)drawn->columns + (size_t)column];
    bool fresh = (*px & bit) == 0;
    *px |= bit;
    return fresh;
}

static struct drawn nothing_drawn(mtmi_canvas *c, const mtmi_plane *plane)
{
    struct drawn drawn = {.columns = (int)ceil(plane->plot.box.width),
                          .rows = (int)ceil(plane->plot.box.height),
                          .box = plane->plot.box};

    drawn.px = calloc((size_t)drawn.columns * (size_t)drawn.rows, 1);
    if (drawn.px == NULL)
        mtmi_canvas_lack_memory(c);
    return drawn;
}

static void block_mark(mtmi_plane *plane, mtmi_point at, double reach)
{
    mtmi_placer_block(plane->placer, (mtmi_box){at.x - reach, at.y - reach, 2 * reach, 2 * reach});
}

static void draw_tolerance(mtmi_canvas *c, const mtmi_plane *plane, const mtmi_view *view)
{
    double radius = view->of->tolerance_uv > 0 ? view->of->tolerance_uv : MTM_STEP_UV;

    if (!plane->enlarged && !(view->of->tolerance_uv > 0))
        return;
    mtmi_plane_lay_circle(c, plane, view->of->target->xy, radius);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1, MTMI_DASH_DOTS});
}

void mtmi_points_draw(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view *view)
{
    mtmi_point target = mtmi_plane_at(plane, view->of->target->xy);
    struct drawn misses = nothing_drawn(c, plane), dots = nothing_drawn(c, plane);

    mtmi_plot_clip(c, &plane->plot);
    draw_tolerance(c, plane, view);
    for (size_t i = 0; i < view->group_count; i++) {
        const mtmi_view_group *group = &view->group[i];
        mtmi_point at = mtmi_plane_at(plane, group->match->xy);
        if (group->lit && group->match->delta_uv > MTM_ON_TARGET_UV && is_new(&misses, at, 0))
            mtmi_mark_miss(c, at, target);
    }
    for (size_t i = 0; i < view->group_count; i++) {
        const mtmi_view_group *group = &view->group[i];
        mtmi_point at = mtmi_plane_at(plane, group->match->xy);
        if (!group->lit || !is_new(&dots, at, group->kind))
            continue;
        mtmi_mark_dot(c, at, mtmi_view_shape(group->kind), mtmi_view_ink(c, group->kind));
        block_mark(plane, at, MTMI_DOT_REACH);
    }
    mtmi_mark_target(c, target);
    mtmi_unclip(c);
    block_mark(plane, target, MTMI_TARGET_REACH);
    free(misses.px);
    free(dots.px);
}

/* Groups that lie on one place, as good as, share a label. */
static bool lies_with(const mtmi_plane *plane, const mtmi_view_group *a, const mtmi_view_group *b)
{
    mtmi_point at_a = mtmi_plane_at(plane, a->match->xy), at_b = mtmi_plane_at(plane, b->match->xy);

    return a->lit && b->lit && hypot(at_a.x - at_b.x, at_a.y - at_b.y) < MTMI_DOT_REACH;
}

void mtmi_points_own(const mtmi_plane *plane, const mtmi_view *view, size_t *owner)
{
    for (size_t i = 0; i < view->group_count; i++) {
        owner[i] = i;
        for (size_t k = 0; k < i && owner[i] == i; k++) {
            if (owner[k] == k && lies_with(plane, &view->group[k], &view->group[i]))
                owner[i] = k;
        }
    }
}

/* "3", "1, 4", "1–3, 7": the numbers of those that a group's label names. */
static void add_numbers(const mtmi_view *view, const size_t *owner, size_t first, mtmi_text *words)
{
    for (size_t i = first; i < view->group_count; i++) {
        size_t last = i;
        if (owner[i] != first)
            continue;
        while (last + 1 < view->group_count && owner[last + 1] == first)
            last++;
        mtmi_text_add(words, "%s%zu", i > first ? ", " : "", i + 1);
        if (last > i)
            mtmi_text_add(words, "%s%zu", last > i + 1 ? "–" : ", ", last + 1);
        i = last;
    }
}

static void write_number(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view *view,
                         const size_t *owner, size_t i)
{
    const mtmi_type type = {.bold = true, .halo = true, .width = 110};
    mtmi_text words = {0};

    if (view->by_kind)
        mtmi_text_add(&words, "%s", mtmi_view_unit(view, view->group[i].first)->name);
    else
        add_numbers(view, owner, i, &words);
    mtmi_point at = mtmi_plane_at(plane, view->group[i].match->xy);
    mtmi_point target = mtmi_plane_at(plane, view->of->target->xy);
    bool in_ring = hypot(at.x - target.x, at.y - target.y) < MTMI_TARGET_REACH + MTMI_DOT_REACH;
    if (words.data != NULL)
        (void)mtmi_label_draw_close(c, plane->placer, in_ring ? target : at,
                                    in_ring ? MTMI_TARGET_REACH : MTMI_DOT_REACH, &type,
                                    words.data);
    if (words.failed)
        mtmi_canvas_lack_memory(c);
    mtmi_text_free(&words);
}

/* The length of a miss at its line, where it is above one step. */
static void write_miss(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view *view, size_t i)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .halo = true};
    mtmi_point at = mtmi_plane_at(plane, view->group[i].match->xy);
    mtmi_point target = mtmi_plane_at(plane, view->of->target->xy);
    char figure[MTMI_FIGURE_ROOM];

    if (!(view->group[i].match->delta_uv > MTM_STEP_UV) ||
        hypot(at.x - target.x, at.y - target.y) < 4 * MTMI_TARGET_REACH)
        return;
    (void)mtmi_figure(figure, view->group[i].match->delta_uv, 4, NULL);
    mtmi_point middle = {(at.x + target.x) / 2, (at.y + target.y) / 2};
    (void)mtmi_label_draw_close(c, plane->placer, middle, 1, &type, figure);
}

/* Of a list of kinds, those that it names: the farthest of each. */
static bool is_named(const mtmi_view *view, const mtmi_view_group *group)
{
    return !view->by_kind || view->kind[group->kind].worst == group->match;
}

static void write_tolerance(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view *view)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .halo = true};
    char words[64];

    if (!plane->enlarged)
        return;
    if (view->of->tolerance_uv > 0)
        (void)snprintf(words, sizeof words, "dotted: tolerance %.4f", view->of->tolerance_uv);
    else
        (void)snprintf(words, sizeof words, "dotted: one step, %.4f", MTM_STEP_UV);
    mtmi_extent extent = mtmi_words_extent(c, &type, words);
    const mtmi_box *box = &plane->plot.box;
    (void)mtmi_label_draw_at(
        c, plane->placer,
        (mtmi_point){box->x + 4 + extent.width / 2, box->y + 4 + extent.height / 2}, true, &type,
        words);
}

void mtmi_points_write(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view *view,
                       const mtmi_plane *inside)
{
    size_t *owner = calloc(view->group_count, sizeof *owner);

    if (owner == NULL) {
        mtmi_canvas_lack_memory(c);
        return;
    }
    if (!view->by_kind)
        mtmi_points_own(plane, view, owner);
    write_tolerance(c, plane, view);
    for (size_t i = 0; i < view->group_count; i++) {
        const mtmi_view_group *group = &view->group[i];
        mtmi_point at = mtmi_plane_at(plane, group->match->xy);
        bool shown_there =
            inside != NULL &&
            mtmi_plot_holds(&inside->plot, mtmi_plane_at(inside, group->match->xy), 0);
        if (!group->lit || shown_there || !mtmi_plot_holds(&plane->plot, at, 0) ||
            !is_named(view, group) || (!view->by_kind && owner[i] != i))
            continue;
        write_number(c, plane, view, owner, i);
        write_miss(c, plane, view, i);
    }
    free(owner);
}
