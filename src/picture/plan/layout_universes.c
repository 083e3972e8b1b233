/* SPDX-License-Identifier: MIT */
/* Universes of a layout: grids of 512 slots, or a line each where they are many. */
#include "picture/plan/layout_plan.h"

#include <math.h>
#include <stdio.h>

enum { ROWS = MTM_ADDRESS_MAX / MTMI_SLOTS_IN_ROW };
/* Between grids, and beside the slot numbers of rows. */
#define APART 14.0
#define GAP 4.0
/* Least width of a slot in a grid, and most height of one beside its width. */
#define SLOT_MIN 3.0
#define SLOT_TALL 1.7
/* Room in a slot's box about words. */
#define INSET 2.0

/* One grid, or the place of one. */
struct grid {
    mtmi_box box; /* of the slots */
    double slot_width, slot_height;
};

/* How many grids stand beside each other, and their size. */
struct tiling {
    size_t columns, rows;
    double width, height; /* of a tile: head and grid */
};

static mtmi_ink unit_ink(const mtmi_canvas *c, const mtmi_layout_plan *plan, size_t unit,
                         size_t order)
{
    return mtmi_ink_covering(mtmi_canvas_series(c, (unsigned)(plan->kind[unit] % MTMI_INK_SERIES)),
                             order % 2 == 0 ? 0.22 : 0.34);
}

static struct tiling tile(mtmi_box box, size_t count, double head, double beside)
{
    struct tiling best = {1, count, box.width, box.height};
    double best_slot = -1;

    for (size_t columns = 1; columns <= count && columns <= 64; columns++) {
        size_t rows = (count + columns - 1) / columns;
        double width = (box.width - (double)(columns - 1) * APART) / (double)columns;
        double height = (box.height - (double)(rows - 1) * APART) / (double)rows;
        double slot = fmin((width - beside) / MTMI_SLOTS_IN_ROW, (height - head) / ROWS);
        if (slot > best_slot + 1e-9) {
            best_slot = slot;
            best = (struct tiling){columns, rows, width, height};
        }
    }
    return best;
}

/* The piece of a unit that lies in one row; false for none. */
static bool piece_of(const struct grid *grid, int address, int count, int row, mtmi_box *piece)
{
    int first = row * MTMI_SLOTS_IN_ROW, end = first + MTMI_SLOTS_IN_ROW;
    int from = address - 1 > first ? address - 1 : first;
    int to = address - 1 + count < end ? address - 1 + count : end;

    if (to <= from)
        return false;
    *piece = (mtmi_box){grid->box.x + (from - first) * grid->slot_width,
                        grid->box.y + row * grid->slot_height, (to - from) * grid->slot_width,
                        grid->slot_height};
    return true;
}

/* Number and name, or the number alone, where there is room. */
static void write_in(mtmi_canvas *c, const mtmi_box *piece, size_t number, const char *name,
                     size_t more)
{
    const mtmi_type type = {.bold = false};
    double room = piece->width - 2 * INSET;
    char text[1100];

    if (fmax(1, mtmi_line_height(c, MTMI_TYPE_SMALL)) > piece->height + 1)
        return;
    if (more > 0)
        (void)snprintf(text, sizeof text, "%zu %.1000s and %zu on its slots", number, name, more);
    else
        (void)snprintf(text, sizeof text, "%zu %.1000s", number, name);
    if (mtmi_words_extent(c, &type, text).width > room) {
        int length = snprintf(text, sizeof text, "%zu", number);
        if (more > 0)
            (void)snprintf(text + length, sizeof text - (size_t)length, " +%zu", more);
        if (mtmi_words_extent(c, &type, text).width > room)
            return;
    }
    mtmi_words_middle(c, piece->x + INSET, piece->y + piece->height / 2, &type, text);
}

static void draw_unit(mtmi_canvas *c, const struct grid *grid, const mtmi_layout_plan *plan,
                      size_t unit, size_t order, size_t more)
{
    const mtm_unit *of = mtm_rig_unit(plan->of->rig, unit);
    const mtm_place *place = &plan->of->place[unit];
    bool fine = grid->slot_width < 2 * SLOT_MIN;
    mtmi_pen pen = {mtmi_canvas_ink(c, MTMI_INK_QUIET), fine ? 0.4 : 0.75, MTMI_DASH_NONE};

    if (mtmi_plan_readdressed(plan->of, unit))
        pen = (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), fine ? 0.75 : 2, MTMI_DASH_NONE};
    for (int row = 0; row < ROWS; row++) {
        mtmi_box piece;
        if (!piece_of(grid, place->address, (int)of->mode->slot_count, row, &piece))
            continue;
        mtmi_rectangle(c, piece);
        mtmi_fill(c, unit_ink(c, plan, unit, order));
        mtmi_box inner = {piece.x + pen.width / 2, piece.y + pen.width / 2,
                          fmax(0.1, piece.width - pen.width), fmax(0.1, piece.height - pen.width)};
        mtmi_rectangle(c, inner);
        mtmi_stroke(c, pen);
        if (!fine)
            write_in(c, &piece, unit + 1, of->name, more);
    }
}

/* Rows by the number of their first slot, where they are high enough for it. */
static void write_rows(mtmi_canvas *c, const struct grid *grid)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .align = MTMI_ALIGN_RIGHT};
    double line = fmax(1, mtmi_line_height(c, MTMI_TYPE_SMALL));
    int each = grid->slot_height > 0 ? (int)ceil(line / grid->slot_height) : ROWS;
    char text[16];

    for (int row = 0; row < ROWS; row += each) {
        double middle = grid->box.y + (row + 0.5) * grid->slot_height;
        (void)snprintf(text, sizeof text, "%d", row * MTMI_SLOTS_IN_ROW + 1);
        mtmi_words_middle(c, grid->box.x - GAP, middle, &type, text);
    }
}

/* How many units from the i-th on share its address, and which of them the others follow. */
static size_t same_slots(const mtmi_layout_plan *plan, const mtmi_plan_run *universe, size_t i,
                         size_t *leader)
{
    const size_t *unit = plan->by_slot + universe->first;
    size_t end = i;

    for (; end < universe->count &&
           plan->of->place[unit[end]].address == plan->of->place[unit[i]].address;
         end++) {
        if (mtm_rig_unit(plan->of->rig, unit[end])->follows < 0)
            *leader = end;
    }
    return end - i;
}

static void draw_grid(mtmi_canvas *c, mtmi_box tile, double head, double beside,
                      const mtmi_layout_plan *plan, const mtmi_plan_run *universe)
{
    struct grid grid = {{tile.x + beside, tile.y + head, 0, 0}, 0, 0};
    mtmi_type type = {.bold = true, .width = tile.width};
    mtmi_pen rule = {mtmi_canvas_ink(c, MTMI_INK_RULE), 0.5, MTMI_DASH_NONE};
    char text[64];

    grid.slot_width = (tile.width - beside) / MTMI_SLOTS_IN_ROW;
    grid.slot_height = fmin((tile.height - head) / ROWS, SLOT_TALL * grid.slot_width);
    grid.box.width = grid.slot_width * MTMI_SLOTS_IN_ROW;
    grid.box.height = grid.slot_height * ROWS;
    (void)snprintf(text, sizeof text, "Universe %d, %zu slots", universe->universe,
                   universe->slots);
    if (mtmi_words_extent(c, &type, text).width > tile.width)
        (void)snprintf(text, sizeof text, "%d", universe->universe);
    (void)mtmi_words(c, tile.x, tile.y, &type, text);
    for (int row = 0; row <= ROWS && grid.slot_height > 4; row++)
        mtmi_rule(c, grid.box.x, grid.box.y + row * grid.slot_height, grid.box.x + grid.box.width,
                  grid.box.y + row * grid.slot_height, rule);
    for (int k = 0; k <= MTMI_SLOTS_IN_ROW && grid.slot_height > 8; k++)
        mtmi_rule(c, grid.box.x + k * grid.slot_width, grid.box.y, grid.box.x + k * grid.slot_width,
                  grid.box.y + grid.box.height, rule);
    for (size_t i = 0, order = 0; i < universe->count; order++) {
        size_t leader = i, count = same_slots(plan, universe, i, &leader);
        draw_unit(c, &grid, plan, plan->by_slot[universe->first + leader], order, count - 1);
        i += count;
    }
    mtmi_rectangle(c, grid.box);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_QUIET), 1, MTMI_DASH_NONE});
    if (beside > 0)
        write_rows(c, &grid);
}

/* A universe as one line: what is used of it, pieces without a gap joined. */
static void draw_line(mtmi_canvas *c, mtmi_box box, const mtmi_layout_plan *plan,
                      const mtmi_plan_run *universe)
{
    double slot = box.width / MTM_ADDRESS_MAX;
    int from = 0, to = 0;

    for (size_t i = 0; i <= universe->count; i++) {
        size_t unit = i < universe->count ? plan->by_slot[universe->first + i] : 0;
        int address = i < universe->count ? plan->of->place[unit].address : MTM_ADDRESS_MAX + 2;
        if (address > to + 1 && to > from) {
            mtmi_rectangle(c,
                           (mtmi_box){box.x + from * slot, box.y, (to - from) * slot, box.height});
            mtmi_fill(c, mtmi_canvas_series(c, 0));
        }
        if (address > to + 1 || i == 0)
            from = address - 1;
        if (i < universe->count) {
            int end = address - 1 + (int)mtm_rig_unit(plan->of->rig, unit)->mode->slot_count;
            to = i == 0 || end > to ? end : to;
        }
    }
    mtmi_rectangle(c, box);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.75, MTMI_DASH_NONE});
}

static void draw_lines(mtmi_canvas *c, mtmi_box box, const mtmi_layout_plan *plan)
{
    const mtmi_type right = {.align = MTMI_ALIGN_RIGHT}, quiet = {.ink = MTMI_INK_QUIET};
    double line = 1.2 * fmax(1, mtmi_line_height(c, MTMI_TYPE_SMALL));
    double label = mtmi_words_extent(c, &right, "00000").width;
    double slots = mtmi_words_extent(c, &right, "000 of 512").width;
    size_t fit = (size_t)fmax(1, floor(box.height / line));
    size_t columns = (size_t)fmax(1, floor(box.width / (label + slots + 80)));
    size_t all = plan->universe_count;
    size_t shown = all <= fit * columns ? all : fit * columns - 1;
    columns = (shown + fit - 1) / fit > 0 ? (shown + fit - 1) / fit : 1;
    double width = (box.width - (double)(columns - 1) * APART) / (double)columns;
    bool tells = width > label + slots + 40;
    char text[80];

    if (box.height < line)
        return;
    for (size_t i = 0; i < shown; i++) {
        const mtmi_plan_run *universe = &plan->universe[i];
        size_t column = i / fit;
        double x = box.x + (double)column * (width + APART);
        double middle = box.y + ((double)(i % fit) + 0.5) * line;
        (void)snprintf(text, sizeof text, "%d", universe->universe);
        mtmi_words_middle(c, x + label, middle, &right, text);
        (void)snprintf(text, sizeof text, "%zu of 512", universe->slots);
        if (tells)
            mtmi_words_middle(c, x + width, middle, &right, text);
        draw_line(c,
                  (mtmi_box){x + label + GAP, middle - 0.3 * line,
                             fmax(1, width - label - (tells ? slots : 0) - 3 * GAP), 0.6 * line},
                  plan, universe);
    }
    if (shown == all)
        return;
    (void)snprintf(text, sizeof text, "%zu more", all - shown);
    size_t last = shown / fit;
    mtmi_words_middle(c, box.x + (double)last * (width + APART) + GAP,
                      box.y + ((double)(shown % fit) + 0.5) * line, &quiet, text);
}

void mtmi_universes_draw(mtmi_canvas *c, mtmi_box box, const mtmi_layout_plan *plan)
{
    const mtmi_type bold = {.bold = true, .width = box.width};
    const mtmi_type quiet = {.ink = MTMI_INK_QUIET, .width = box.width};
    double line = fmax(1, mtmi_line_height(c, MTMI_TYPE_SMALL)), head = line + 3;
    double beside = mtmi_words_extent(c, &quiet, "481").width + GAP + 1;
    size_t count = plan->universe_count;

    if (count == 0) {
        (void)mtmi_words(c, box.x, box.y, &quiet, "No unit has an address.");
        return;
    }
    struct tiling tiling = tile(box, count, head, beside);
    double slot = fmin((tiling.width - beside) / MTMI_SLOTS_IN_ROW, (tiling.height - head) / ROWS);
    if (slot < 2 * SLOT_MIN) { /* too small for the slots of rows */
        beside = 0;
        tiling = tile(box, count, head, beside);
        slot = fmin(tiling.width / MTMI_SLOTS_IN_ROW, (tiling.height - head) / ROWS);
    }
    if (slot < SLOT_MIN) {
        (void)mtmi_words(c, box.x, box.y, &bold, "Universes, and their slots in use");
        box.y += 1.4 * line;
        box.height = fmax(1, box.height - 1.4 * line);
        draw_lines(c, box, plan);
        return;
    }
    /* grids one below the other follow closely where they are lower than their tiles */
    double used = head + ROWS * fmin((tiling.height - head) / ROWS,
                                     SLOT_TALL * (tiling.width - beside) / MTMI_SLOTS_IN_ROW);
    for (size_t i = 0; i < count; i++) {
        double x = box.x + (double)(i % tiling.columns) * (tiling.width + APART);
        size_t row = i / tiling.columns;
        double y = box.y + (double)row * (used + APART);
        draw_grid(c, (mtmi_box){x, y, tiling.width, used}, head, beside, plan, &plan->universe[i]);
    }
}
