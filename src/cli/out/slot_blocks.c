/* SPDX-License-Identifier: MIT */
/* Slot blocks: what units are sent, a table for each fixture kind and mode, its channels as heads.
 */
#include "cli/out/slot_rows.h"
#include "cli/out/text.h"

#include <string.h>

/* Letters of a word of a head; longer ones are cut. */
#define WORD_MAX 12
/* Columns of a unit's name, or a run's; longer ones stand in a line of their own. */
#define NAME_MAX_WIDTH 48
#define NAME_LEAST 12
/* Columns that values have at least. */
#define VALUES_LEAST 30
/* Two universes and addresses: "63999/512 to 63999/512". */
#define ADDRESS_ROOM 48

/* One table while it is written. */
struct block {
    const struct slot_source *source;
    const struct slot_kinds *kinds;
    size_t kind;
    const mtm_unit *unit; /* the first of the kind */
    int name_width, address_width, way_width;
    int line_width;
    int gap; /* blanks before a column */
};

static const mtm_unit *unit_at(const struct block *block, size_t row)
{
    return block->source->unit(block->source->context, row);
}

/* The same slots in every way. */
static bool same_values(const struct block *block, size_t a, size_t b)
{
    const struct slot_source *source = block->source;
    size_t count = block->unit->mode->slot_count;
    uint8_t slot[2][MTM_SLOTS_MAX];

    for (size_t way = 0; way < source->ways; way++) {
        mtm_codes_to_slots(unit_at(block, a)->mode, source->codes(source->context, a, way),
                           slot[0]);
        mtm_codes_to_slots(unit_at(block, b)->mode, source->codes(source->context, b, way),
                           slot[1]);
        if (memcmp(slot[0], slot[1], count) != 0)
            return false;
    }
    return true;
}

/* The next row of the block's kind behind a row, or the first from it on. */
static size_t next_row(const struct block *block, size_t row)
{
    while (row < block->source->rows && block->kinds->of_row[row] != block->kind)
        row++;
    return row;
}

/* The last row of a run that begins at a row: names that follow, values that are equal. */
static size_t run_end(const struct block *block, size_t first)
{
    size_t last = first;

    for (;;) {
        size_t next = next_row(block, last + 1);
        if (next == block->source->rows ||
            !(block->source->by_kind ||
              names_follow(unit_at(block, last)->name, unit_at(block, next)->name)) ||
            (unit_at(block, last)->address > 0) != (unit_at(block, next)->address > 0) ||
            !same_values(block, first, next))
            return last;
        last = next;
    }
}

/* "1/13", "open", "1/13 to 1/49". */
static void put_address(const mtm_unit *first, const mtm_unit *last, char text[ADDRESS_ROOM])
{
    if (first->address < 1)
        (void)snprintf(text, ADDRESS_ROOM, "open");
    else if (first == last ||
             (first->universe == last->universe && first->address == last->address))
        (void)snprintf(text, ADDRESS_ROOM, "%d/%d", first->universe, first->address);
    else
        (void)snprintf(text, ADDRESS_ROOM, "%d/%d to %d/%d", first->universe, first->address,
                       last->universe, last->address);
}

/* A unit's name, or that of a run; of a table by kinds, how many units a line is for. */
static void name_run(const struct block *block, size_t first, size_t last, char *text, size_t room)
{
    size_t count = 0;

    for (size_t row = first; row <= last; row = next_row(block, row + 1))
        count++;
    if (block->source->by_kind && count > 1 && next_row(block, 0) == first &&
        next_row(block, last + 1) == block->source->rows)
        (void)snprintf(text, room, "all %zu units", count);
    else if (block->source->by_kind && count > 1)
        (void)snprintf(text, room, "%s and %zu more", unit_at(block, first)->name, count - 1);
    else
        put_run_name(unit_at(block, first)->name, unit_at(block, last)->name, text, room);
}

static int before_values(const struct block *block)
{
    return block->name_width + 2 + block->address_width +
           (block->way_width > 0 ? 2 + block->way_width : 0);
}

/* Widths of what stands before the values. */
static void measure(struct block *block)
{
    const struct slot_source *source = block->source;

    block->name_width = 4;
    block->address_width = 7;
    block->way_width = source->way_head != NULL ? text_width(source->way_head) : 0;
    for (size_t row = next_row(block, 0); row < source->rows;) {
        size_t last = run_end(block, row);
        char text[RUN_NAME_ROOM];
        name_run(block, row, last, text, sizeof text);
        block->name_width = text_widest(block->name_width, text);
        put_address(unit_at(block, row), unit_at(block, last), text);
        block->address_width = text_widest(block->address_width, text);
        row = next_row(block, last + 1);
    }
    for (size_t way = 0; source->way_head != NULL && way < source->ways; way++)
        block->way_width = text_widest(block->way_width, source->way_name(source->context, way));
    int longest = block->name_width < NAME_MAX_WIDTH ? block->name_width : NAME_MAX_WIDTH;
    block->name_width = 0;
    int room = block->line_width - before_values(block) - VALUES_LEAST;
    room = room > NAME_LEAST ? room : NAME_LEAST;
    block->name_width = longest < room ? longest : room;
}

static void head_of(const struct block *block, size_t slot, int line, char text[SLOT_NAME_ROOM])
{
    char name[SLOT_NAME_ROOM];

    slot_name(block->unit->fixture, block->unit->mode, &block->unit->mode->slots[slot], ' ', name,
              sizeof name);
    text_word(name, line, text, SLOT_NAME_ROOM);
}

/* The widest of a column's heads and of the value at full. */
static int column_width(const struct block *block, size_t slot)
{
    char text[SLOT_NAME_ROOM];
    mtm_codes most;

    memset(&most, 0xff, sizeof most);
    slot_cell(block->kinds->view, block->unit->mode, &most, slot, text);
    int width = text_width(text);
    for (int line = 0;; line++) {
        head_of(block, slot, line, text);
        if (text[0] == '\0')
            return width;
        int word = text_width(text);
        word = word < WORD_MAX ? word : WORD_MAX;
        width = word > width ? word : width;
    }
}

/* The slot behind the last that a line has room for from one on; at least one column is taken. */
static size_t fit(const struct block *block, size_t from)
{
    const mtm_mode *mode = block->unit->mode;
    int used = before_values(block);
    bool any = false;
    size_t k = from;

    for (; k < mode->slot_count; k++) {
        if (!slot_is_shown(block->kinds->view, &mode->slots[k]))
            continue;
        used += block->gap + column_width(block, k);
        if (any && used > block->line_width)
            break;
        any = true;
    }
    return k;
}

static void put_right(const char *text, int width, FILE *out)
{
    int blank = width - text_width(text);

    if (blank > 0)
        (void)fprintf(out, "%*s", blank, "");
    text_put_cut(text, width, out);
}

/* One line of heads from a slot to another; false if there is nothing in it. */
static bool put_heads(const struct block *block, size_t from, size_t to, int line, FILE *out)
{
    char text[SLOT_NAME_ROOM];
    int pending = before_values(block); /* blanks are put before words only */
    bool any = line == 0;

    for (size_t k = from; !any && k < to; k++) {
        head_of(block, k, line, text);
        any = text[0] != '\0' && slot_is_shown(block->kinds->view, &block->unit->mode->slots[k]);
    }
    if (!any)
        return false;
    if (line == 0) {
        text_put("Unit", block->name_width + 2, out);
        text_put("Address", block->address_width, out);
        if (block->way_width > 0)
            (void)fputs("  ", out);
        if (block->way_width > 0)
            text_put(block->source->way_head, block->way_width, out);
        pending = 0;
    }
    for (size_t k = from; k < to; k++) {
        if (!slot_is_shown(block->kinds->view, &block->unit->mode->slots[k]))
            continue;
        int width = column_width(block, k);
        head_of(block, k, line, text);
        pending += block->gap;
        if (text[0] == '\0') {
            pending += width;
            continue;
        }
        (void)fprintf(out, "%*s", pending, "");
        put_right(text, width, out);
        pending = 0;
    }
    (void)fputc('\n', out);
    return true;
}

static void put_line(const struct block *block, size_t first, size_t last, size_t way, size_t from,
                     size_t to, FILE *out)
{
    const struct slot_source *source = block->source;
    char text[RUN_NAME_ROOM];

    name_run(block, first, last, text, sizeof text);
    text_put_name(way == 0 ? text : "", 0, block->name_width, out);
    (void)fputs("  ", out);
    put_address(unit_at(block, first), unit_at(block, last), text);
    text_put(way == 0 ? text : "", block->address_width, out);
    if (block->way_width > 0) {
        (void)fputs("  ", out);
        text_put(source->way_name(source->context, way), block->way_width, out);
    }
    for (size_t k = from; k < to; k++) {
        if (!slot_is_shown(block->kinds->view, &block->unit->mode->slots[k]))
            continue;
        slot_cell(block->kinds->view, unit_at(block, first)->mode,
                  source->codes(source->context, first, way), k, text);
        if (block->kinds->dimmer_apart && slot_is_dimmer(&block->unit->mode->slots[k]))
            (void)snprintf(text, sizeof text, "-");
        (void)fprintf(out, "%*s", block->gap, "");
        put_right(text, column_width(block, k), out);
    }
    (void)fputc('\n', out);
}

/* So many columns as a line has room for, and the rows below them. */
static void put_part(const struct block *block, size_t from, size_t to, FILE *out)
{
    for (int line = 0; put_heads(block, from, to, line, out);)
        line++;
    for (size_t row = next_row(block, 0); row < block->source->rows;) {
        size_t last = run_end(block, row);
        for (size_t way = 0; way < block->source->ways; way++)
            put_line(block, row, last, way, from, to, out);
        row = next_row(block, last + 1);
    }
}

static void put_block(struct block *block, FILE *out)
{
    const mtm_mode *mode = block->unit->mode;

    measure(block);
    block->gap = 2;
    if (fit(block, 0) < mode->slot_count)
        block->gap = 1; /* rather narrow than in two */
    if (fit(block, 0) < mode->slot_count)
        block->gap = 2;
    (void)fprintf(out, "\n%s, mode %s: %s\n", mtm_fixture_name(block->unit->fixture), mode->name,
                  block->kinds->view->title);
    for (size_t from = 0; from < mode->slot_count;) {
        size_t to = fit(block, from);
        if (from > 0)
            (void)fputc('\n', out);
        put_part(block, from, to, out);
        from = to;
    }
}

void put_slot_blocks(const struct slot_source *source, const struct slot_kinds *kinds,
                     int line_width, FILE *out)
{
    for (size_t kind = 0; kind < kinds->count; kind++) {
        struct block block = {
            .source = source,
            .kinds = kinds,
            .kind = kind,
            .unit = source->unit(source->context, kinds->first[kind]),
            .line_width = line_width,
        };
        put_block(&block, out);
    }
}
