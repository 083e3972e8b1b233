/* SPDX-License-Identifier: MIT */
/* Key of a match: number, name, distance from the target, and why it comes no closer. */
#include "picture/match_key.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>

/* Px of the columns for mark and number. */
#define MARK_WIDTH 14.0
#define NUMBER_DIGITS 3
/* Decimals of distances, as in the table. */
#define DECIMALS 4

/* The columns of a key, px from the left; distances end at the right. */
struct columns {
    mtmi_box box;
    double number, name, distance; /* number: its right end */
    double line;
};

static struct columns lay_out(mtmi_canvas *c, mtmi_box box)
{
    const mtmi_type type = {.size = MTMI_TYPE_SMALL};
    double digits = mtmi_words_extent(c, &type, "000").width;

    return (struct columns){
        .box = box,
        .number = box.x + MARK_WIDTH + digits,
        .name = box.x + MARK_WIDTH + digits + 6,
        .distance = mtmi_words_extent(c, &type, "0.0000–0.0000").width,
        .line = mtmi_line_height(c, MTMI_TYPE_SMALL),
    };
}

static size_t lines_of_groups(const mtmi_view *view)
{
    size_t lines = 1;

    for (size_t i = 0; i < view->group_count; i++)
        lines += view->group[i].reason[0] != '\0' ? 2 : 1;
    return lines;
}

double mtmi_key_height(mtmi_canvas *c, const mtmi_view *view)
{
    return (double)lines_of_groups(view) * mtmi_line_height(c, MTMI_TYPE_SMALL);
}

static void write_head(mtmi_canvas *c, const struct columns *at, const char *name)
{
    mtmi_type type = {.bold = true, .width = at->box.width - at->distance - 40};

    (void)mtmi_words(c, at->name, at->box.y, &type, name);
    type = (mtmi_type){.bold = true, .align = MTMI_ALIGN_RIGHT};
    (void)mtmi_words(c, at->box.x + at->box.width, at->box.y, &type, "Δu'v'");
}

/* One line: mark, number (0: none), name, distance. */
static void write_row(mtmi_canvas *c, const struct columns *at, double y, size_t kind,
                      size_t number, const char *name, const char *distance)
{
    mtmi_type type = {.align = MTMI_ALIGN_RIGHT};
    char figure[24];

    mtmi_mark_dot(c, (mtmi_point){at->box.x + MTMI_DOT_REACH + 1, y + at->line / 2},
                  mtmi_view_shape(kind), mtmi_view_ink(c, kind));
    (void)snprintf(figure, sizeof figure, "%zu", number);
    if (number > 0)
        (void)mtmi_words(c, at->number, y, &type, figure);
    mtmi_extent wide = mtmi_words(c, at->box.x + at->box.width, y, &type, distance);
    type = (mtmi_type){.width = fmax(20, at->box.x + at->box.width - wide.width - 8 - at->name)};
    (void)mtmi_words(c, at->name, y, &type, name);
}

static void write_quiet(mtmi_canvas *c, const struct columns *at, double y, const char *words)
{
    mtmi_type type = {.ink = MTMI_INK_QUIET, .width = at->box.x + at->box.width - at->name};

    (void)mtmi_words(c, at->name, y, &type, words);
}

/* "wash-1", "wash-1 and wash-2", "wash-1 … wash-9, 9 units". */
static void name_group(const mtmi_view *view, const mtmi_view_group *group, mtmi_text *name)
{
    const char *first = mtmi_view_unit(view, group->first)->name;
    const char *last = mtmi_view_unit(view, group->last)->name;

    if (group->count == 1)
        mtmi_text_add(name, "%s", first);
    else if (group->count == 2)
        mtmi_text_add(name, "%s and %s", first, last);
    else
        mtmi_text_add(name, "%zu units: %s … %s", group->count, first, last);
}

static void draw_groups(mtmi_canvas *c, const struct columns *at, const mtmi_view *view)
{
    double y = at->box.y + at->line;

    write_head(c, at, "Unit");
    for (size_t i = 0; i < view->group_count; i++) {
        const mtmi_view_group *group = &view->group[i];
        char distance[MTMI_FIGURE_ROOM];
        mtmi_text name = {0};
        name_group(view, group, &name);
        (void)mtmi_figure(distance, group->match->delta_uv, DECIMALS, NULL);
        write_row(c, at, y, group->kind, i + 1, name.data != NULL ? name.data : "",
                  group->lit ? distance : "dark");
        if (name.failed)
            mtmi_canvas_lack_memory(c);
        mtmi_text_free(&name);
        y += at->line;
        if (group->reason[0] == '\0')
            continue;
        write_quiet(c, at, y, group->reason);
        y += at->line;
    }
}

/* A kind's range of distances: "0.0001–0.0034". */
static void put_range(const mtmi_view_kind *kind, char *text, size_t room)
{
    char least[MTMI_FIGURE_ROOM], most[MTMI_FIGURE_ROOM];

    if (kind->worst == NULL) {
        (void)snprintf(text, room, "dark");
        return;
    }
    (void)mtmi_figure(least, kind->least_uv, DECIMALS, NULL);
    (void)mtmi_figure(most, kind->worst->delta_uv, DECIMALS, NULL);
    if (kind->count == 1)
        (void)snprintf(text, room, "%s", most);
    else
        (void)snprintf(text, room, "%s–%s", least, most);
}

/* "12 × five-colour wash", or of one: its name. */
static void name_kind(const mtmi_view *view, const mtmi_view_kind *kind, mtmi_text *name)
{
    if (kind->count == 1)
        mtmi_text_add(name, "%s", mtmi_view_unit(view, kind->first)->name);
    else
        mtmi_text_add(name, "%zu × %s", kind->count, mtm_fixture_name(kind->unit->fixture));
}

/* Who is farthest, and why; of one unit why only. */
static void name_worst(const mtmi_view *view, const mtmi_view_kind *kind, mtmi_text *words)
{
    if (kind->worst == NULL)
        return;
    size_t worst = (size_t)(kind->worst - view->of->match);
    const char *reason = view->of->reason != NULL ? view->of->reason[worst] : "";
    if (kind->count == 1)
        mtmi_text_add(words, "%s", reason);
    else
        mtmi_text_add(words, "farthest: %s%s%s", mtmi_view_unit(view, worst)->name,
                      reason[0] != '\0' ? ", " : "", reason);
}

static void draw_kind(mtmi_canvas *c, const struct columns *at, double y, const mtmi_view *view,
                      size_t k)
{
    const mtmi_view_kind *kind = &view->kind[k];
    char range[2 * MTMI_FIGURE_ROOM + 8];
    mtmi_text name = {0}, worst = {0};

    name_kind(view, kind, &name);
    name_worst(view, kind, &worst);
    put_range(kind, range, sizeof range);
    if (name.failed || worst.failed)
        mtmi_canvas_lack_memory(c);
    write_row(c, at, y, k, 0, name.data != NULL ? name.data : "", range);
    if (worst.length > 0)
        write_quiet(c, at, y + at->line, worst.data);
    mtmi_text_free(&name);
    mtmi_text_free(&worst);
}

static void draw_kinds(mtmi_canvas *c, const struct columns *at, const mtmi_view *view)
{
    double y = at->box.y + at->line, bottom = at->box.y + at->box.height;

    write_head(c, at, "Kind of unit");
    for (size_t k = 0; k < view->kind_count; k++) {
        bool last = k + 1 == view->kind_count;
        if (y + (last ? 2 : 3) * at->line > bottom) {
            char more[80];
            (void)snprintf(more, sizeof more, "and %zu more kinds, which the table lists",
                           view->kind_count - k);
            write_quiet(c, at, y, more);
            return;
        }
        draw_kind(c, at, y, view, k);
        y += 2 * at->line;
    }
}

void mtmi_key_draw(mtmi_canvas *c, mtmi_box box, const mtmi_view *view)
{
    const struct columns at = lay_out(c, box);

    if (view->by_kind)
        draw_kinds(c, &at, view);
    else
        draw_groups(c, &at, view);
}
