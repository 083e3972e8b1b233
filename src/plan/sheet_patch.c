/* SPDX-License-Identifier: MIT */
/* Sheets: the patch as text, by supply and port or by universe and address, and as CSV. */
#include "plan/sheet.h"

#include <math.h>
#include <metamer/demand.h>

#include <stdio.h>

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

/* "[ ] left  name  fixture  mode  bits  watts  right" */
static void add_row(const mtmi_sheet *sheet, const mtm_unit *unit, const char *left, int left_width,
                    const char *right, mtmi_text *text)
{
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
        while (text->length > 0 && text->data[text->length - 1] == ' ')
            text->data[--text->length] = '\0';
        mtmi_text_add(text, "\n");
    }
}

static void add_head(const mtmi_sheet *sheet, const char *left, int left_width, const char *right,
                     mtmi_text *text)
{
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
}

static void add_title(const char *title, const mtmi_sheet *sheet, mtmi_text *text)
{
    mtmi_text_add(text, "%s: ", title);
    mtmi_text_add_column(text, mtm_rig_name(sheet->rig), 44);
    while (text->length > 0 && text->data[text->length - 1] == ' ')
        text->data[--text->length] = '\0';
    mtmi_text_add(text, "\n");
}

static void add_supply_line(const mtmi_sheet *sheet, size_t from, size_t to, mtmi_text *text)
{
    const mtm_unit *first = mtm_rig_unit(sheet->rig, sheet->order[from]);
    size_t unknown = 0;
    double watts = 0;

    for (size_t i = from; i < to; i++) {
        double one = mtm_demand_full_w(mtm_rig_unit(sheet->rig, sheet->order[i]));
        unknown += isnan(one) ? 1 : 0;
        watts += isnan(one) ? 0 : one;
    }
    const char *more = unknown > 0 ? ", and what is not known" : "";
    mtmi_text_add(text, "\n");
    if (first->supply < 0) {
        mtmi_text_add(text, "No supply: %zu unit%s, %.6g W%s\n", to - from,
                      to - from == 1 ? "" : "s", watts, more);
        return;
    }
    const mtm_supply *supply = mtm_rig_supply(sheet->rig, (size_t)first->supply);
    mtmi_text_add(text, "Supply ");
    mtmi_text_add_column(text, supply->name, 72);
    while (text->length > 0 && text->data[text->length - 1] == ' ')
        text->data[--text->length] = '\0';
    mtmi_text_add(text, "\n%d ports of %.6g W, %.6g W in all; carries %zu unit%s, %.6g W%s\n",
                  supply->ports, supply->port_w, supply->total_w, to - from,
                  to - from == 1 ? "" : "s", watts, more);
}

void mtmi_sheet_by_supply(const mtmi_sheet *sheet, mtmi_text *text)
{
    add_title("Patch by supply and port", sheet, text);
    for (size_t from = 0, to; from < sheet->count; from = to) {
        int supply = mtm_rig_unit(sheet->rig, sheet->order[from])->supply;
        for (to = from; to < sheet->count; to++) {
            if (mtm_rig_unit(sheet->rig, sheet->order[to])->supply != supply)
                break;
        }
        add_supply_line(sheet, from, to, text);
        add_head(sheet, "port", 4, "universe/slots", text);
        for (size_t i = from; i < to; i++) {
            const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
            char port[16] = "open";
            char slots[40];
            if (unit->port > 0)
                (void)snprintf(port, sizeof port, "%d", unit->port);
            print_slots(unit, slots, sizeof slots);
            add_row(sheet, unit, port, 4, slots, text);
        }
    }
    mtmi_text_add(text, "\nWatts are those of all emitters full, within the fixture's limit.\n"
                        "Ratings on the equipment and the local electrical code decide.\n");
}

static void add_free(int from, int to, mtmi_text *text)
{
    char slots[24];

    if (from > to)
        return;
    (void)snprintf(slots, sizeof slots, "%d-%d", from, to);
    mtmi_text_add(text, "    %-7s free: %d slot%s\n", slots, to - from + 1, to == from ? "" : "s");
}

/* One universe's units, in the order of their addresses, with what is free between them. */
static void add_universe(const mtmi_sheet *sheet, size_t from, size_t to, mtmi_text *text)
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
        mtmi_text_add(text, "\nUniverse %d: %d of %d slots in use\n", universe, used,
                      MTM_ADDRESS_MAX);
    else
        mtmi_text_add(text, "\nNo universe yet\n");
    add_head(sheet, "slots", 7, "supply/port", text);
    for (size_t i = from; i < to; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
        char slots[40] = "open";
        char port[MTM_ADDRESS_MAX];
        mtmi_text right = {0};
        if (unit->address > 0) {
            add_free(next, unit->address - 1, text);
            (void)snprintf(slots, sizeof slots, "%d-%d", unit->address, mtmi_sheet_last(unit));
            next = mtmi_sheet_last(unit) + 1;
        }
        print_port(sheet->rig, unit, port, sizeof port);
        mtmi_text_add_column(&right, port,
                             mtmi_text_letters(port) > 14 ? 14 : mtmi_text_letters(port));
        text->failed = text->failed || right.failed;
        add_row(sheet, unit, slots, 7, right.data != NULL ? right.data : "", text);
        mtmi_text_free(&right);
    }
    if (universe > 0)
        add_free(next, MTM_ADDRESS_MAX, text);
}

void mtmi_sheet_by_address(const mtmi_sheet *sheet, mtmi_text *text)
{
    add_title("Patch by universe and address", sheet, text);
    for (size_t from = 0, to; from < sheet->count; from = to) {
        int universe = mtm_rig_unit(sheet->rig, sheet->order[from])->universe;
        for (to = from; to < sheet->count; to++) {
            if (mtm_rig_unit(sheet->rig, sheet->order[to])->universe != universe)
                break;
        }
        add_universe(sheet, from, to, text);
    }
}

static void add_csv_number(mtmi_text *text, int value)
{
    if (value > 0)
        mtmi_text_add(text, "%d", value);
    mtmi_text_add(text, ",");
}

void mtmi_sheet_csv(const mtmi_sheet *sheet, mtmi_text *text)
{
    mtmi_text_add(text, "done,unit,fixture,mode,bits,slots,universe,start,end,supply,port,watts,"
                        "follows\r\n");
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
        mtmi_text_add(text, "\r\n");
    }
}
