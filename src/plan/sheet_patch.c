/* SPDX-License-Identifier: MIT */
/* Sheets: the patch as text, by supply and port or by universe and address, and as CSV. */
#include "plan/sheet.h"

#include <metamer/demand.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

/* "1/45-54": universe, first and last slot; "open". */
static void print_slots(const mtm_unit *unit, char *text, size_t room)
{
    if (unit->address > 0)
        (void)snprintf(text, room, "%d/%d-%d", unit->universe, unit->address,
                       mtmi_sheet_last(unit));
    else if (unit->universe > 0)
        (void)snprintf(text, room, "%d/open", unit->universe);
    else
        (void)snprintf(text, room, "open");
}

/* "stage/7": supply and port; "open". */
static void print_port(const mtm_rig *rig, const mtm_unit *unit, char *text, size_t room)
{
    if (unit->supply < 0)
        (void)snprintf(text, room, "%s", mtm_rig_supply_count(rig) > 0 ? "open" : "-");
    else if (unit->port > 0)
        (void)snprintf(text, room, "%s/%d", mtm_rig_supply(rig, (size_t)unit->supply)->name,
                       unit->port);
    else
        (void)snprintf(text, room, "%s/open", mtm_rig_supply(rig, (size_t)unit->supply)->name);
}

/* A name too long for its column stands whole on lines of its own. */
static void add_name(const mtmi_sheet *sheet, const char *name, int indent, mtmi_text *text)
{
    int most = MTMI_SHEET_WIDTH - indent;

    if (mtmi_text_letters(name) <= sheet->name_width) {
        mtmi_text_add_column(text, name, sheet->name_width);
        return;
    }
    while (*name != '\0') {
        int letters = 0;
        size_t bytes = 0;
        while (name[bytes] != '\0' &&
               (letters < most || ((unsigned char)name[bytes] & 0xc0) == 0x80))
            letters += ((unsigned char)name[bytes++] & 0xc0) != 0x80;
        mtmi_text_add_bytes(text, name, bytes);
        mtmi_text_add(text, "\n%*s", indent, "");
        name += bytes;
    }
    mtmi_text_add(text, "%*s", sheet->name_width, "");
}

static void trim_end(mtmi_text *text)
{
    while (text->length > 0 && text->data[text->length - 1] == ' ')
        text->data[--text->length] = '\0';
}

/* Lines of their own below a unit. */
static void add_stated(const char *before, const char *stated, int indent, mtmi_text *text)
{
    mtmi_text whole = {0};

    mtmi_text_add(&whole, "%s%s", before, stated);
    mtmi_sheet_wrap(whole.data != NULL ? whole.data : "", indent, text);
    text->failed = text->failed || whole.failed;
    mtmi_text_free(&whole);
}

/* "[ ] left  name  fixture  mode  bits  watts  right" */
static void add_row(mtmi_sheet *sheet, const mtm_unit *unit, const char *left, int left_width,
                    const char *right)
{
    mtmi_text *text = &sheet->body;
    char bits[MTMI_BITS_ROOM];

    mtmi_sheet_bits(unit, bits);
    mtmi_text_add(text, "[ ] ");
    mtmi_text_add_column(text, left, left_width);
    mtmi_text_add(text, " ");
    add_name(sheet, unit->name, left_width + 5, text);
    mtmi_text_add(text, " ");
    if (sheet->fixture_width > 0) {
        mtmi_text_add_column(text, mtm_fixture_name(unit->fixture), sheet->fixture_width);
        mtmi_text_add(text, " ");
    }
    mtmi_text_add_column(text, unit->mode->name, 7);
    double watts = mtm_demand_full_w(unit);
    if (isnan(watts)) /* it mixes by itself, and its file does not say */
        mtmi_text_add(text, " %4s %6s %s\n", bits, "-", right);
    else
        mtmi_text_add(text, " %4s %6.4g %s\n", bits, watts, right);
    if (unit->follows >= 0) {
        mtmi_text_add(text, "    %*s follows ", left_width, "");
        mtmi_text_add_column(text, mtm_rig_unit(sheet->rig, (size_t)unit->follows)->name, 50);
        trim_end(text);
        mtmi_text_add(text, "\n");
    }
    if (unit->position != NULL && sheet->request->type != MTM_SHEET_POSITION)
        add_stated("at ", unit->position, left_width + 5, text);
    if (unit->remark != NULL)
        add_stated("remark: ", unit->remark, left_width + 5, text);
    mtmi_sheet_end(sheet, false, unit);
}

/* Ends the head of the rows that follow. */
static void add_head(mtmi_sheet *sheet, const char *left, int left_width, const char *right)
{
    mtmi_text *text = &sheet->body;

    mtmi_text_add(text, "    ");
    mtmi_text_add_column(text, left, left_width);
    mtmi_text_add(text, " ");
    mtmi_text_add_column(text, "unit", sheet->name_width);
    mtmi_text_add(text, " ");
    if (sheet->fixture_width > 0) {
        mtmi_text_add_column(text, "fixture", sheet->fixture_width);
        mtmi_text_add(text, " ");
    }
    mtmi_text_add(text, "mode    bits  watts %s\n", right);
    mtmi_sheet_end(sheet, true, NULL);
}

/* Adds at most so many letters, without blanks behind them. */
static void add_cut(mtmi_text *text, const char *letters, int most)
{
    mtmi_text_add_column(text, letters, most);
    trim_end(text);
}

/* "circuit C1, 16 A, breaker panel A 4". */
static void add_circuit(const mtm_circuit *circuit, mtmi_text *text)
{
    mtmi_text_add(text, "circuit ");
    add_cut(text, circuit->name, 30);
    mtmi_text_add(text, ", %.6g A", circuit->rated_a);
    if (circuit->breaker != NULL) {
        mtmi_text_add(text, ", breaker ");
        add_cut(text, circuit->breaker, 20);
    }
}

static mtmi_sum sum_of(const mtmi_sheet *sheet, size_t from, size_t to)
{
    mtmi_sum sum = {0};

    for (size_t i = from; i < to; i++)
        mtmi_sheet_count(&sum, mtm_rig_unit(sheet->rig, sheet->order[i]));
    return sum;
}

/* One circuit's units. */
static void add_circuit_total(mtmi_sheet *sheet, size_t index)
{
    mtmi_sum sum = {0};

    for (size_t i = 0; i < sheet->count; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
        if (unit->supply < 0 ||
            mtm_rig_supply(sheet->rig, (size_t)unit->supply)->circuit != (int)index)
            continue;
        mtmi_sheet_count(&sum, unit);
    }
    if (sum.units == 0)
        return;
    mtmi_text_add(&sheet->body, "  on ");
    add_circuit(mtm_rig_circuit(sheet->rig, index), &sheet->body);
    mtmi_text_add(&sheet->body, ": ");
    mtmi_sheet_put_sum(&sum, &sheet->body);
}

/* What all of it comes to, at the end. */
static void add_totals(mtmi_sheet *sheet)
{
    mtmi_text *text = &sheet->body;
    const mtmi_sum sum = sum_of(sheet, 0, sheet->count);

    mtmi_text_add(text, "\nIn all: ");
    mtmi_sheet_put_sum(&sum, text);
    for (size_t i = 0; i < mtm_rig_circuit_count(sheet->rig); i++)
        add_circuit_total(sheet, i);
    mtmi_text_add(text,
                  "Watts are those of all emitters full, within the fixture's limit, and of its\n"
                  "standby; \"metamer load\" tells what is drawn from the mains.\n"
                  "Ratings on the equipment and the local electrical code decide.\n");
    mtmi_sheet_end(sheet, false, NULL);
}

static void add_supply_line(mtmi_sheet *sheet, size_t from, size_t to)
{
    const mtm_unit *first = mtm_rig_unit(sheet->rig, sheet->order[from]);
    mtmi_text *text = &sheet->body;
    const mtmi_sum sum = sum_of(sheet, from, to);

    mtmi_text_add(text, "\n");
    if (first->supply < 0) {
        mtmi_text_add(text, "No supply: ");
        mtmi_sheet_put_sum(&sum, text);
        return;
    }
    const mtm_supply *supply = mtm_rig_supply(sheet->rig, (size_t)first->supply);
    mtmi_text_add(text, "Supply ");
    add_cut(text, supply->name, 72);
    if (supply->circuit >= 0) {
        mtmi_text_add(text, "\non ");
        add_circuit(mtm_rig_circuit(sheet->rig, (size_t)supply->circuit), text);
    }
    mtmi_text_add(text, "\n%d ports of %.6g W, %.6g W in all; carries ", supply->ports,
                  supply->port_w, supply->total_w);
    mtmi_sheet_put_sum(&sum, text);
}

void mtmi_sheet_by_supply(mtmi_sheet *sheet)
{
    for (size_t from = 0, to; from < sheet->count; from = to) {
        int supply = mtm_rig_unit(sheet->rig, sheet->order[from])->supply;
        for (to = from; to < sheet->count; to++) {
            if (mtm_rig_unit(sheet->rig, sheet->order[to])->supply != supply)
                break;
        }
        add_supply_line(sheet, from, to);
        add_head(sheet, "port", 4, "universe/slots");
        for (size_t i = from; i < to; i++) {
            const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
            char port[16] = "open";
            char slots[40];
            if (unit->port > 0)
                (void)snprintf(port, sizeof port, "%d", unit->port);
            print_slots(unit, slots, sizeof slots);
            add_row(sheet, unit, port, 4, slots);
        }
    }
    add_totals(sheet);
}

static void add_free(int from, int to, mtmi_text *text)
{
    char slots[24];

    if (from > to)
        return;
    (void)snprintf(slots, sizeof slots, "%d-%d", from, to);
    mtmi_text_add(text, "    %-7s free: %d slot%s\n", slots, to - from + 1, to == from ? "" : "s");
}

/* A unit, with its supply and port at the right. */
static void add_row_by_slots(mtmi_sheet *sheet, const mtm_unit *unit, const char *slots, int width)
{
    char port[MTM_ADDRESS_MAX];
    mtmi_text right = {0};

    print_port(sheet->rig, unit, port, sizeof port);
    add_cut(&right, port, 14);
    sheet->body.failed = sheet->body.failed || right.failed;
    add_row(sheet, unit, slots, width, right.data != NULL ? right.data : "");
    mtmi_text_free(&right);
}

/* One universe's units, in the order of their addresses, with what is free between them. */
static void add_universe(mtmi_sheet *sheet, size_t from, size_t to)
{
    int next = 1;
    int used = 0;

    for (size_t i = from; i < to; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
        if (unit->follows < 0 && unit->address > 0)
            used += (int)unit->mode->slot_count;
    }
    int universe = mtm_rig_unit(sheet->rig, sheet->order[from])->universe;
    if (universe > 0)
        mtmi_text_add(&sheet->body, "\nUniverse %d: %d of %d slots in use\n", universe, used,
                      MTM_ADDRESS_MAX);
    else
        mtmi_text_add(&sheet->body, "\nNo universe yet\n");
    add_head(sheet, "slots", 7, "supply/port");
    for (size_t i = from; i < to; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
        char slots[40] = "open";
        if (unit->address > 0) {
            if (sheet->request->unit == NULL) /* of some units, nobody knows what is free */
                add_free(next, unit->address - 1, &sheet->body);
            (void)snprintf(slots, sizeof slots, "%d-%d", unit->address, mtmi_sheet_last(unit));
            next = mtmi_sheet_last(unit) + 1;
        }
        add_row_by_slots(sheet, unit, slots, 7);
    }
    if (universe > 0 && sheet->request->unit == NULL)
        add_free(next, MTM_ADDRESS_MAX, &sheet->body);
    mtmi_sheet_end(sheet, false, NULL);
}

void mtmi_sheet_by_address(mtmi_sheet *sheet)
{
    for (size_t from = 0, to; from < sheet->count; from = to) {
        int universe = mtm_rig_unit(sheet->rig, sheet->order[from])->universe;
        for (to = from; to < sheet->count; to++) {
            if (mtm_rig_unit(sheet->rig, sheet->order[to])->universe != universe)
                break;
        }
        add_universe(sheet, from, to);
    }
    add_totals(sheet);
}

static bool same_position(const mtm_unit *a, const mtm_unit *b)
{
    if (a->position == NULL || b->position == NULL)
        return a->position == b->position;
    return strcmp(a->position, b->position) == 0;
}

void mtmi_sheet_by_position(mtmi_sheet *sheet)
{
    for (size_t from = 0, to; from < sheet->count; from = to) {
        const mtm_unit *first = mtm_rig_unit(sheet->rig, sheet->order[from]);
        for (to = from; to < sheet->count; to++) {
            if (!same_position(mtm_rig_unit(sheet->rig, sheet->order[to]), first))
                break;
        }
        mtmi_text_add(&sheet->body, "\n");
        mtmi_sheet_wrap(first->position != NULL ? first->position : "No position yet", 0,
                        &sheet->body);
        const mtmi_sum sum = sum_of(sheet, from, to);
        mtmi_sheet_put_sum(&sum, &sheet->body);
        add_head(sheet, "slots", 11, "supply/port");
        for (size_t i = from; i < to; i++) {
            char slots[40];
            const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
            print_slots(unit, slots, sizeof slots);
            add_row_by_slots(sheet, unit, slots, 11);
        }
    }
    add_totals(sheet);
}

static void add_csv_number(mtmi_text *text, int value)
{
    if (value > 0)
        mtmi_text_add(text, "%d", value);
    mtmi_text_add(text, ",");
}

/* Nothing in the cell for NULL. */
static void add_csv_text(mtmi_text *text, const char *cell)
{
    mtmi_text_add(text, ",");
    if (cell != NULL)
        mtmi_text_add_cell(text, cell);
}

static void add_csv_circuit(const mtm_rig *rig, const mtm_unit *unit, mtmi_text *text)
{
    int index = unit->supply >= 0 ? mtm_rig_supply(rig, (size_t)unit->supply)->circuit : -1;
    const mtm_circuit *circuit = index >= 0 ? mtm_rig_circuit(rig, (size_t)index) : NULL;

    add_csv_text(text, circuit != NULL ? circuit->name : NULL);
    add_csv_text(text, circuit != NULL ? circuit->breaker : NULL);
}

void mtmi_sheet_csv(const mtmi_sheet *sheet, mtmi_text *text)
{
    mtmi_text_add(text, "done,unit,fixture,mode,bits,slots,universe,start,end,supply,port,watts,"
                        "follows,circuit,breaker,position,remark\r\n");
    for (size_t i = 0; i < sheet->count; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
        char bits[MTMI_BITS_ROOM];
        mtmi_sheet_bits(unit, bits);
        mtmi_text_add(text, ",");
        mtmi_text_add_cell(text, unit->name);
        mtmi_text_add(text, ",");
        mtmi_text_add_cell(text, mtm_fixture_name(unit->fixture));
        mtmi_text_add(text, ",");
        mtmi_text_add_cell(text, unit->mode->name);
        mtmi_text_add(text, ",%s,%zu,", bits, unit->mode->slot_count);
        add_csv_number(text, unit->universe);
        add_csv_number(text, unit->address);
        add_csv_number(text, mtmi_sheet_last(unit));
        if (unit->supply >= 0)
            mtmi_text_add_cell(text, mtm_rig_supply(sheet->rig, (size_t)unit->supply)->name);
        mtmi_text_add(text, ",");
        add_csv_number(text, unit->port);
        if (!isnan(mtm_demand_full_w(unit)))
            mtmi_text_add(text, "%.6g", mtm_demand_full_w(unit));
        mtmi_text_add(text, ",");
        if (unit->follows >= 0)
            mtmi_text_add_cell(text, mtm_rig_unit(sheet->rig, (size_t)unit->follows)->name);
        add_csv_circuit(sheet->rig, unit, text);
        add_csv_text(text, unit->position);
        add_csv_text(text, unit->remark);
        mtmi_text_add(text, "\r\n");
    }
}
