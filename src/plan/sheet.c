/* SPDX-License-Identifier: MIT */
/* Sheets: what a technician takes up the ladder: the patch, and labels for the units. */
#include "plan/sheet.h"

#include <metamer/demand.h>

#include "base/error.h"
#include "fixture/slot.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>

enum {
    NAME_LENGTH_MAX = 40, /* letters of a unit's name that its column has room for */
    FIXTURE_MIN = 8,      /* narrower, the column of fixtures is left out */
    /* box, two places at the left, mode, bits, watts and one more place, with blanks */
    OTHER_COLUMNS = 47
};

void mtmi_sheet_bits(const mtm_unit *unit, char text[MTMI_BITS_ROOM])
{
    size_t used = 0;

    text[0] = '\0';
    for (int bits = 8; bits <= 24; bits += 8) {
        size_t i = 0, count = mtmi_channel_count(unit->fixture, unit->mode);
        while (i < count && unit->mode->emitter_bits[i] != bits)
            i++;
        if (i < count)
            used += (size_t)snprintf(text + used, MTMI_BITS_ROOM - used, "%s%d",
                                     used > 0 ? "+" : "", bits);
    }
}

int mtmi_sheet_last(const mtm_unit *unit)
{
    return unit->address > 0 ? unit->address + (int)unit->mode->slot_count - 1 : 0;
}

/* A unit and what a sheet is sorted by. */
typedef struct place {
    int first, second; /* supply and port, or universe and address; INT_MAX where open */
    size_t unit;
} place;

static int by_place(const void *a, const void *b)
{
    const place *p = a;
    const place *q = b;

    if (p->first != q->first)
        return p->first < q->first ? -1 : 1;
    if (p->second != q->second)
        return p->second < q->second ? -1 : 1;
    return p->unit < q->unit ? -1 : p->unit > q->unit;
}

static place place_of(const mtm_unit *unit, mtm_sheet_type type, size_t index)
{
    if (type == MTM_SHEET_ADDRESS)
        return (place){unit->universe > 0 ? unit->universe : INT_MAX,
                       unit->address > 0 ? unit->address : INT_MAX, index};
    return (place){unit->supply >= 0 ? unit->supply : INT_MAX,
                   unit->port > 0 ? unit->port : INT_MAX, index};
}

static bool sort_units(mtmi_sheet *sheet, mtm_sheet_type type)
{
    place *places = calloc(sheet->count + 1, sizeof *places);

    if (places == NULL)
        return false;
    for (size_t i = 0; i < sheet->count; i++)
        places[i] = place_of(mtm_rig_unit(sheet->rig, i), type, i);
    qsort(places, sheet->count, sizeof *places, by_place);
    for (size_t i = 0; i < sheet->count; i++)
        sheet->order[i] = places[i].unit;
    free(places);
    return true;
}

/* Names get what they need, fixtures what is left. */
static void set_widths(mtmi_sheet *sheet)
{
    int room = MTMI_SHEET_WIDTH - OTHER_COLUMNS;
    int name = 4;
    int fixture = 7;

    for (size_t i = 0; i < sheet->count; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, i);
        int letters = mtmi_text_letters(unit->name);
        name = letters > name ? letters : name;
        letters = mtmi_text_letters(mtm_fixture_name(unit->fixture));
        fixture = letters > fixture ? letters : fixture;
    }
    name = name > NAME_LENGTH_MAX ? NAME_LENGTH_MAX : name;
    sheet->name_width = name < room ? name : room;
    room -= sheet->name_width + 1;
    sheet->fixture_width = fixture < room ? fixture : room;
    if (sheet->fixture_width < FIXTURE_MIN)
        sheet->fixture_width = 0;
}

mtm_result mtm_sheet_write(const mtm_rig *rig, mtm_sheet_type type, mtm_sheet_format format,
                           char **text, size_t *length, mtm_error *error)
{
    mtmi_sheet sheet = {.rig = rig};
    mtmi_text made = {0};

    if (rig == NULL || text == NULL || length == NULL || (unsigned)type > MTM_SHEET_LABELS ||
        (unsigned)format > MTM_SHEET_CSV)
        return mtmi_fail(error, MTM_INVALID, "a rig, a kind of sheet and a format are needed");
    sheet.count = mtm_rig_unit_count(rig);
    sheet.order = calloc(sheet.count + 1, sizeof *sheet.order);
    if (sheet.order == NULL || !sort_units(&sheet, type)) {
        free(sheet.order);
        return mtmi_fail_memory(error);
    }
    set_widths(&sheet);
    if (format == MTM_SHEET_CSV)
        mtmi_sheet_csv(&sheet, &made);
    else if (type == MTM_SHEET_SUPPLY)
        mtmi_sheet_by_supply(&sheet, &made);
    else if (type == MTM_SHEET_ADDRESS)
        mtmi_sheet_by_address(&sheet, &made);
    else
        mtmi_sheet_labels(&sheet, &made);
    free(sheet.order);
    if (made.failed || made.data == NULL) {
        mtmi_text_free(&made);
        return mtmi_fail_memory(error);
    }
    *text = made.data; /* the caller's now */
    *length = made.length;
    return MTM_OK;
}
