/* SPDX-License-Identifier: MIT */
/* Gamuts of a match's kinds in the chromaticity diagram, and what they have in common. */
#include "picture/match_gamut.h"

#include <math.h>
#include <string.h>

/* Kinds whose gamuts are drawn; with more, the lines say nothing any longer. */
#define KINDS_DRAWN 12
#define HATCH_APART 7.0
/* A corner is an emitter's where they agree to this, in x, y. */
#define SAME_XY 1e-6
/* Px within which emitters of one name are named once. */
#define NAMED_APART 40.0

static size_t kinds_drawn(const mtmi_view *view)
{
    return view->kind_count < KINDS_DRAWN ? view->kind_count : KINDS_DRAWN;
}

static void lay_gamut(mtmi_canvas *c, const mtmi_plane *plane, const mtm_xy *corner, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        mtmi_point at = mtmi_plane_at(plane, corner[i]);
        if (i == 0)
            mtmi_move(c, at.x, at.y);
        else
            mtmi_line(c, at.x, at.y);
    }
    mtmi_close(c);
}

void mtmi_gamuts_draw(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view *view)
{
    mtmi_pen hatch = {mtmi_ink_covering(mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.35), 0.6,
                      MTMI_DASH_NONE};

    mtmi_plot_clip(c, &plane->plot);
    if (view->common_count > 2 && view->kind_count > 1) {
        lay_gamut(c, plane, view->common, view->common_count);
        mtmi_hatch(c, hatch, HATCH_APART);
    }
    for (size_t k = 0; k < kinds_drawn(view); k++) {
        const mtmi_view_kind *kind = &view->kind[k];
        mtmi_point corner[MTM_EMITTERS_MAX + 1];
        lay_gamut(c, plane, kind->corner, kind->corner_count);
        mtmi_stroke(c, (mtmi_pen){mtmi_view_ink(c, k), 1.25, MTMI_DASH_NONE});
        for (size_t i = 0; i <= kind->corner_count && kind->corner_count > 0; i++)
            corner[i] = mtmi_plane_at(plane, kind->corner[i % kind->corner_count]);
        if (kind->corner_count > 1)
            mtmi_placer_avoid(plane->placer, corner, kind->corner_count + 1);
    }
    mtmi_unclip(c);
}

/* A side of a gamut on the canvas, from left to right. */
struct side {
    mtmi_point from, to;
    double length;
};

/* The longest of a gamut's sides that is not among those before it; a length of 0 past the last. */
static struct side next_side(const mtmi_plane *plane, const mtmi_view_kind *kind, double below)
{
    struct side longest = {.length = 0};

    for (size_t i = 0; i < kind->corner_count; i++) {
        mtmi_point a = mtmi_plane_at(plane, kind->corner[i]);
        mtmi_point b = mtmi_plane_at(plane, kind->corner[(i + 1) % kind->corner_count]);
        double length = hypot(b.x - a.x, b.y - a.y);
        if (length >= below - 1e-6 || length <= longest.length)
            continue;
        longest = a.x <= b.x ? (struct side){a, b, length} : (struct side){b, a, length};
    }
    return longest;
}

/* Writes words along a side, above or below it, if there is room. */
static bool write_along(mtmi_canvas *c, mtmi_plane *plane, const struct side *side, int below,
                        const mtmi_type *type, const char *words)
{
    mtmi_extent extent = mtmi_words_extent(c, type, words);
    double x = (side->to.x - side->from.x) / side->length;
    double y = (side->to.y - side->from.y) / side->length;
    double away = below * (extent.height / 2 + 1.5);
    mtmi_point middle = {(side->from.x + side->to.x) / 2 - y * away,
                         (side->from.y + side->to.y) / 2 + x * away};
    mtmi_point start = {middle.x - x * extent.width / 2, middle.y - y * extent.width / 2};
    mtmi_point end = {middle.x + x * extent.width / 2, middle.y + y * extent.width / 2};
    mtmi_type set = *type;

    if (extent.width > side->length ||
        !mtmi_placer_take_along(plane->placer, start, end, extent.height))
        return false;
    set.align = MTMI_ALIGN_MIDDLE;
    set.angle = atan2(y, x);
    mtmi_words_middle(c, middle.x, middle.y, &set, words);
    return true;
}

static void write_kind(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view_kind *kind, size_t index)
{
    const char *name = mtm_fixture_name(kind->unit->fixture);
    const mtmi_type type = {.coloured = true,
                            .halo = true,
                            .colour = mtmi_view_ink(c, index),
                            .width = plane->plot.box.width / 2};
    struct side side = next_side(plane, kind, INFINITY);
    double longest = side.length;

    for (; side.length > longest / 3; side = next_side(plane, kind, side.length)) {
        if (write_along(c, plane, &side, -1, &type, name) ||
            write_along(c, plane, &side, 1, &type, name))
            return;
    }
    if (kind->corner_count > 0)
        (void)mtmi_label_draw(c, plane->placer, mtmi_plane_at(plane, kind->corner[0]), 3, &type,
                              name);
}

/* Emitters that are named already: those of one name side by side are named once. */
struct named {
    const char *name[KINDS_DRAWN * MTM_EMITTERS_MAX];
    mtmi_point at[KINDS_DRAWN * MTM_EMITTERS_MAX];
    size_t count;
};

static bool is_named(const struct named *named, const char *name, mtmi_point at)
{
    for (size_t i = 0; i < named->count; i++) {
        if (hypot(named->at[i].x - at.x, named->at[i].y - at.y) < NAMED_APART &&
            strcmp(named->name[i], name) == 0)
            return true;
    }
    return false;
}

/* The emitter that stands at a corner; NULL for none. */
static const char *emitter_at(const mtmi_plane *plane, const mtmi_view_kind *kind, mtm_xy corner)
{
    const mtm_fixture *fixture = mtm_fixture_of_mode(kind->unit->fixture, kind->unit->mode);

    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
        mtm_xy xy = mtm_xy_from_xyz(emitter->xyz[plane->observer]);
        if (fabs(xy.x - corner.x) <= SAME_XY && fabs(xy.y - corner.y) <= SAME_XY)
            return emitter->name;
    }
    return NULL;
}

static void write_corners(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view_kind *kind,
                          struct named *named)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .width = 90, .halo = true};

    for (size_t i = 0; i < kind->corner_count; i++) {
        const char *name = emitter_at(plane, kind, kind->corner[i]);
        mtmi_point at = mtmi_plane_at(plane, kind->corner[i]);
        if (name == NULL || is_named(named, name, at))
            continue;
        if (mtmi_label_draw(c, plane->placer, at, 2, &type, name)) {
            named->name[named->count] = name;
            named->at[named->count++] = at;
        }
    }
}

void mtmi_gamuts_write(mtmi_canvas *c, mtmi_plane *plane, const mtmi_view *view)
{
    struct named named = {.count = 0};

    for (size_t k = 0; k < kinds_drawn(view); k++)
        write_kind(c, plane, &view->kind[k], k);
    for (size_t k = 0; k < kinds_drawn(view); k++)
        write_corners(c, plane, &view->kind[k], &named);
}
