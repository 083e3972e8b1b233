/* SPDX-License-Identifier: MIT */
/* Match view: what a picture of a match shows, gathered. */
#include "picture/match_view.h"

#include "base/error.h"
#include "base/number.h"
#include "numeric/convex.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Colours nearer than this in x, y are drawn as one: a hundredth of a step. */
#define SAME_XY 1e-5
/* Corners that the common gamut may come to. */
#define COMMON_ROOM 512

const mtm_unit *mtmi_view_unit(const mtmi_view *view, size_t match)
{
    return mtm_rig_unit(view->of->rig, view->of->match[match].unit);
}

mtmi_shape mtmi_view_shape(size_t kind)
{
    return (mtmi_shape)(kind % MTMI_SHAPE_COUNT);
}

mtmi_ink mtmi_view_ink(const mtmi_canvas *c, size_t kind)
{
    return mtmi_canvas_series(c, (unsigned)((kind + kind / MTMI_SHAPE_COUNT) % MTMI_INK_SERIES));
}

static bool same_kind(const mtm_unit *a, const mtm_unit *b)
{
    bool mixes = a->mode->mixing != NULL || b->mode->mixing != NULL;

    return (a->fixture == b->fixture ||
            strcmp(mtm_fixture_name(a->fixture), mtm_fixture_name(b->fixture)) == 0) &&
           (!mixes || strcmp(a->mode->name, b->mode->name) == 0);
}

static size_t kind_of(mtmi_view *view, size_t match)
{
    const mtm_unit *unit = mtmi_view_unit(view, match);
    size_t kind = 0;

    while (kind < view->kind_count &&
           !same_kind(mtmi_view_unit(view, view->kind[kind].first), unit))
        kind++;
    if (kind < view->kind_count)
        return kind;
    mtmi_view_kind *made = &view->kind[view->kind_count++];
    *made = (mtmi_view_kind){.unit = unit, .first = match, .least_uv = INFINITY};
    mtm_solver *solver = mtm_matcher_solver(view->of->matcher, view->of->match[match].unit);
    made->corner_count = solver != NULL ? mtm_solver_gamut(solver, made->corner) : 0;
    return kind;
}

static void count_in_kind(mtmi_view_kind *kind, const mtm_match *match)
{
    kind->count++;
    if (!(match->xyz.y > 0))
        return;
    kind->least_uv = fmin(kind->least_uv, match->delta_uv);
    if (kind->worst == NULL || mtmi_exceeds(match->delta_uv, kind->worst->delta_uv))
        kind->worst = match;
}

static const char *reason_of(const mtmi_view *view, size_t match)
{
    return view->of->reason != NULL ? view->of->reason[match] : "";
}

static bool gives_same(const mtm_match *a, const mtm_match *b)
{
    return (a->xyz.y > 0) == (b->xyz.y > 0) && fabs(a->xy.x - b->xy.x) < SAME_XY &&
           fabs(a->xy.y - b->xy.y) < SAME_XY;
}

static void put_in_group(mtmi_view *view, size_t kind, size_t at)
{
    const mtm_match *match = &view->of->match[at];
    const char *reason = reason_of(view, at);

    for (size_t i = 0; i < view->group_count; i++) {
        mtmi_view_group *group = &view->group[i];
        if (group->kind != kind || !gives_same(&view->of->match[group->first], match) ||
            strcmp(reason_of(view, group->first), reason) != 0)
            continue;
        group->last = at;
        group->count++;
        return;
    }
    view->group[view->group_count++] = (mtmi_view_group){.kind = kind,
                                                         .first = at,
                                                         .last = at,
                                                         .count = 1,
                                                         .match = match,
                                                         .reason = reason,
                                                         .lit = match->xyz.y > 0};
}

/* What all the units reach: each gamut cuts from that of the first. */
static void cut_common(mtmi_view *view)
{
    mtmi_point corner[COMMON_ROOM], scratch[COMMON_ROOM];
    mtmi_polygon common = {.corner = corner, .room = COMMON_ROOM};
    const mtm_fixture *last = NULL;

    for (size_t i = 0; i < view->of->count; i++) {
        const mtm_unit *unit = mtmi_view_unit(view, i);
        mtm_solver *solver = mtm_matcher_solver(view->of->matcher, view->of->match[i].unit);
        mtm_xy gamut[MTM_EMITTERS_MAX];
        mtmi_point by[MTM_EMITTERS_MAX];
        if (solver == NULL || unit->fixture == last)
            continue;
        size_t count = mtm_solver_gamut(solver, gamut);
        for (size_t k = 0; k < count; k++)
            by[k] = (mtmi_point){gamut[k].x, gamut[k].y};
        if (last == NULL) {
            memcpy(corner, by, count * sizeof *by);
            common.count = count;
        } else if (common.count + MTMI_POLYGON_GROWTH(count) <= COMMON_ROOM) {
            mtmi_polygon_clip(&common, by, count, scratch);
        }
        last = unit->fixture;
    }
    for (size_t k = 0; k < common.count; k++)
        view->common[k] = (mtm_xy){corner[k].x, corner[k].y};
    view->common_count = common.count;
}

mtm_result mtmi_view_gather(const mtm_match_view *of, mtmi_view *view, mtm_error *error)
{
    *view = (mtmi_view){.of = of};
    view->kind = calloc(of->count, sizeof *view->kind);
    view->group = calloc(of->count, sizeof *view->group);
    view->common = calloc(COMMON_ROOM, sizeof *view->common);
    if (view->kind == NULL || view->group == NULL || view->common == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < of->count; i++) {
        size_t kind = kind_of(view, i);
        count_in_kind(&view->kind[kind], &of->match[i]);
        put_in_group(view, kind, i);
    }
    cut_common(view);
    return MTM_OK;
}

void mtmi_view_free(mtmi_view *view)
{
    free(view->kind);
    free(view->group);
    free(view->common);
}
