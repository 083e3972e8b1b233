/* SPDX-License-Identifier: MIT */
/* Sheets: what a technician takes up the ladder: the patch, and labels for the units. */
#include "plan/sheet.h"

#include <metamer/demand.h>

#include "base/error.h"
#include "fixture/slot.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
    const char *position; /* "" where no order goes by it; NULL: not stated, stands last */
    int first, second;    /* supply and port, or universe and address; INT_MAX where open */
    size_t unit;
} place;

static int by_place(const void *a, const void *b)
{
    const place *p = a;
    const place *q = b;

    if ((p->position == NULL) != (q->position == NULL))
        return p->position == NULL ? 1 : -1;
    int order = p->position != NULL ? strcmp(p->position, q->position) : 0;
    if (order != 0)
        return order;
    if (p->first != q->first)
        return p->first < q->first ? -1 : 1;
    if (p->second != q->second)
        return p->second < q->second ? -1 : 1;
    return p->unit < q->unit ? -1 : p->unit > q->unit;
}

static place place_of(const mtm_unit *unit, mtm_sheet_type type, size_t index)
{
    if (type == MTM_SHEET_ADDRESS || type == MTM_SHEET_POSITION)
        return (place){type == MTM_SHEET_POSITION ? unit->position : "",
                       unit->universe > 0 ? unit->universe : INT_MAX,
                       unit->address > 0 ? unit->address : INT_MAX, index};
    return (place){"", unit->supply >= 0 ? unit->supply : INT_MAX,
                   unit->port > 0 ? unit->port : INT_MAX, index};
}

/* Readings stay in the order in which the units were asked for. */
static bool sort_units(mtmi_sheet *sheet)
{
    const mtm_sheet_request *request = sheet->request;
    place *places = calloc(sheet->count + 1, sizeof *places);

    if (places == NULL)
        return false;
    for (size_t i = 0; i < sheet->count; i++) {
        size_t unit = request->unit != NULL ? request->unit[i] : i;
        places[i] = place_of(mtm_rig_unit(sheet->rig, unit), request->type, unit);
    }
    if (request->type != MTM_SHEET_READINGS)
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
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
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

static mtm_result check(const mtm_rig *rig, const mtm_sheet_request *request, mtm_error *error)
{
    if ((unsigned)request->type > MTM_SHEET_READINGS || (unsigned)request->format > MTM_SHEET_CSV)
        return mtmi_fail(error, MTM_INVALID, "a kind of sheet and a format are needed");
    if (request->page_lines != 0 &&
        (request->page_lines < MTM_SHEET_PAGE_LEAST || request->page_lines > MTM_SHEET_PAGE_MOST))
        return mtmi_fail(error, MTM_INVALID, "a page of %d lines: allowed are 0 and %d to %d",
                         request->page_lines, MTM_SHEET_PAGE_LEAST, MTM_SHEET_PAGE_MOST);
    for (size_t i = 0; request->unit != NULL && i < request->unit_count; i++) {
        if (request->unit[i] >= mtm_rig_unit_count(rig))
            return mtmi_fail(error, MTM_INVALID, "there is no unit number %zu", request->unit[i]);
    }
    if (request->share_count > MTM_SHEET_SHARES_MAX ||
        (request->share_count > 0 && request->share == NULL))
        return mtmi_fail(error, MTM_INVALID, "%zu codes below full: allowed are %d at most",
                         request->share_count, MTM_SHEET_SHARES_MAX);
    for (size_t i = 0; i < request->share_count; i++) {
        if (!(request->share[i] > 0 && request->share[i] < 1))
            return mtmi_fail(error, MTM_INVALID,
                             "a code of %g of full: allowed is above 0 and below 1",
                             request->share[i]);
    }
    return MTM_OK;
}

static void write_csv(const mtmi_sheet *sheet, mtmi_text *text)
{
    if (sheet->request->type == MTM_SHEET_READINGS)
        mtmi_sheet_readings_csv(sheet, text);
    else
        mtmi_sheet_csv(sheet, text);
}

static void write_text(mtmi_sheet *sheet, mtmi_text *text)
{
    static const struct {
        const char *title;
        void (*write)(mtmi_sheet *sheet);
    } forms[] = {
        [MTM_SHEET_SUPPLY] = {"Patch by supply and port", mtmi_sheet_by_supply},
        [MTM_SHEET_ADDRESS] = {"Patch by universe and address", mtmi_sheet_by_address},
        [MTM_SHEET_POSITION] = {"Patch by position", mtmi_sheet_by_position},
        [MTM_SHEET_LABELS] = {NULL, mtmi_sheet_labels},
        [MTM_SHEET_READINGS] = {"Readings", mtmi_sheet_readings},
    };

    forms[sheet->request->type].write(sheet);
    mtmi_sheet_pages(sheet, forms[sheet->request->type].title, text);
}

mtm_result mtm_sheet_write(const mtm_rig *rig, const mtm_sheet_request *request, char **text,
                           size_t *length, mtm_error *error)
{
    mtmi_sheet sheet = {.rig = rig, .request = request};
    mtmi_text made = {0};

    if (rig == NULL || request == NULL || text == NULL || length == NULL)
        return mtmi_fail(error, MTM_INVALID, "a rig, a request and places for the text are needed");
    mtm_result result = check(rig, request, error);
    if (result != MTM_OK)
        return result;
    sheet.count = request->unit != NULL ? request->unit_count : mtm_rig_unit_count(rig);
    sheet.order = calloc(sheet.count + 1, sizeof *sheet.order);
    if (sheet.order == NULL || !sort_units(&sheet)) {
        free(sheet.order);
        return mtmi_fail_memory(error);
    }
    set_widths(&sheet);
    if (request->format == MTM_SHEET_CSV)
        write_csv(&sheet, &made);
    else
        write_text(&sheet, &made);
    free(sheet.order);
    free(sheet.piece);
    mtmi_text_free(&sheet.body);
    if (made.failed || made.data == NULL) {
        mtmi_text_free(&made);
        return mtmi_fail_memory(error);
    }
    *text = made.data; /* the caller's now */
    *length = made.length;
    return MTM_OK;
}
