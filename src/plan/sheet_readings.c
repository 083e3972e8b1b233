/* SPDX-License-Identifier: MIT */
/* Sheets: forms for readings: what is to be lit, and room for what the meter shows. The order is
 * judged by the doubt that it leaves (tests/calibrate/reading_order_test.c). */
#include "plan/sheet.h"

#include "unit/table.h"

#include <metamer/codes.h>

#include <math.h>

#define ALL MTM_EMITTERS_MAX /* every emitter, in place of one */

/* One reading. */
struct step {
    const mtm_unit *unit;
    size_t emitter; /* or ALL */
    double share;   /* of the full code */
};

typedef void put_step(mtmi_sheet *sheet, const struct step *step, mtmi_text *text);

static uint32_t code_at(int bits, double share)
{
    return (uint32_t)fmax(1, round(share * mtmi_code_max(bits)));
}

static mtm_codes codes_of(const struct step *step)
{
    const mtm_mode *mode = step->unit->mode;
    mtm_codes codes = {0};

    if (mode->dimmer_bits > 0)
        codes.dimmer = code_at(mode->dimmer_bits, 1);
    for (size_t k = 0; k < mtm_fixture_emitter_count(step->unit->fixture); k++) {
        if (step->emitter == ALL || step->emitter == k)
            codes.emitter[k] = code_at(mode->emitter_bits[k], step->share);
    }
    return codes;
}

static const char *lit_name(const struct step *step)
{
    return step->emitter == ALL ? "all"
                                : mtm_fixture_emitter(step->unit->fixture, step->emitter)->name;
}

/* A unit's emitters: all of them where the share is full, then each alone at that share. */
static void each_emitter(mtmi_sheet *sheet, const mtm_unit *unit, double share, put_step *put,
                         mtmi_text *text)
{
    size_t emitters = mtm_fixture_emitter_count(unit->fixture);

    if (!(share < 1) && emitters > 1)
        put(sheet, &(struct step){unit, ALL, 1}, text);
    for (size_t k = 0; k < emitters; k++)
        put(sheet, &(struct step){unit, k, share}, text);
}

/* Why a unit is not in the form; NULL where it is. */
static const char *why_not(const mtm_unit *unit)
{
    if (unit->follows >= 0)
        return "lights with the unit that it follows";
    if (mtm_fixture_dims(unit->fixture))
        return "its colour goes with its output: it is not trimmed";
    return mtm_fixture_mixes(unit->fixture) ? "mixes by itself: no emitter can be lit alone" : NULL;
}

static void put_csv(mtmi_sheet *sheet, const struct step *step, mtmi_text *text)
{
    (void)sheet;
    mtmi_text_add_cell(text, step->unit->name);
    mtmi_text_add(text, ",");
    mtmi_text_add_cell(text, lit_name(step));
    if (step->share < 1)
        mtmi_text_add(text, ",%u,,,\r\n", (unsigned)codes_of(step).emitter[step->emitter]);
    else
        mtmi_text_add(text, ",full,,,\r\n");
}

void mtmi_sheet_readings_csv(const mtmi_sheet *sheet, mtmi_text *text)
{
    const mtm_sheet_request *request = sheet->request;

    mtmi_text_add(text, "# Readings to be taken. Fill in x, y and lux from the meter; rows that "
                        "stay empty are passed over.\r\n");
    for (size_t i = 0; i < sheet->count; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
        if (why_not(unit) != NULL)
            mtmi_text_add(text, "# %s %s\r\n", unit->name, why_not(unit));
    }
    mtmi_text_add(text, "unit,emitter,code,x,y,lux\r\n,dark,,,,\r\n");
    for (size_t round = 0; round <= request->share_count; round++) {
        for (size_t i = 0; i < sheet->count; i++) {
            const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
            if (why_not(unit) == NULL)
                each_emitter(NULL, unit, round == 0 ? 1 : request->share[round - 1], put_csv, text);
        }
    }
}

/* "3=255 5-6=128": the slots of a unit that are not 0, as they stand in its universe, or counted
 * from 1 where it has no address yet. */
static void add_slots(const struct step *step, mtmi_text *text)
{
    const mtm_mode *mode = step->unit->mode;
    const size_t first = step->unit->address > 0 ? (size_t)step->unit->address : 1;
    const mtm_codes codes = codes_of(step);
    uint8_t slot[MTM_SLOTS_MAX];

    mtm_codes_to_slots(mode, &codes, slot);
    for (size_t from = 0, to; from < mode->slot_count; from = to) {
        for (to = from + 1; to < mode->slot_count && slot[to] == slot[from];)
            to++;
        if (slot[from] == 0)
            continue;
        mtmi_text_add(text, "%s%zu", text->length > 0 ? " " : "", first + from);
        if (to - from > 1)
            mtmi_text_add(text, "-%zu", first + to - 1);
        mtmi_text_add(text, "=%d", slot[from]);
    }
}

#define BLANKS "x 0.______  y 0.______  lux ________"

static void put_row(mtmi_sheet *sheet, const struct step *step, mtmi_text *text)
{
    mtmi_text slots = {0};

    add_slots(step, &slots);
    const char *sent = slots.data != NULL ? slots.data : "";
    mtmi_text_add(text, "[ ] ");
    mtmi_text_add_column(text, lit_name(step), 10);
    mtmi_text_add(text, " ");
    if (mtmi_text_letters(sent) <= 26) {
        mtmi_text_add_column(text, sent, 26);
        mtmi_text_add(text, "  " BLANKS "\n");
    } else {
        mtmi_text_add(text, "%28s" BLANKS "\n", "");
        mtmi_sheet_wrap(sent, 15, text);
    }
    text->failed = text->failed || slots.failed;
    mtmi_text_free(&slots);
    mtmi_sheet_end(sheet, false, NULL);
}

/* "left-wash: five-colour wash, 16-bit, universe 1 from slot 13". */
static void add_unit_head(mtmi_sheet *sheet, const mtm_unit *unit, double share)
{
    mtmi_text head = {0};

    mtmi_text_add(&head, "%s: %s, %s", unit->name, mtm_fixture_name(unit->fixture),
                  unit->mode->name);
    if (unit->address > 0)
        mtmi_text_add(&head, ", universe %d from slot %d", unit->universe, unit->address);
    else
        mtmi_text_add(&head, ", no address yet: slots are counted from its first");
    if (unit->position != NULL)
        mtmi_text_add(&head, ", at %s", unit->position);
    if (share < 1)
        mtmi_text_add(&head, "; codes at %.3g %%", share * 100);
    mtmi_text_add(&sheet->body, "\n");
    mtmi_sheet_wrap(head.data != NULL ? head.data : "", 0, &sheet->body);
    sheet->body.failed = sheet->body.failed || head.failed;
    mtmi_text_free(&head);
    mtmi_sheet_end(sheet, true, NULL);
}

void mtmi_sheet_readings(mtmi_sheet *sheet)
{
    const mtm_sheet_request *request = sheet->request;

    mtmi_text_add(&sheet->body,
                  "meter ____________________  by ____________________  date ______________\n\n"
                  "[ ] dark: nothing lit, the room as it is   " BLANKS "\n");
    mtmi_sheet_end(sheet, false, NULL);
    for (size_t round = 0; round <= request->share_count; round++) {
        double share = round == 0 ? 1 : request->share[round - 1];
        for (size_t i = 0; i < sheet->count; i++) {
            const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
            if (why_not(unit) != NULL)
                continue;
            add_unit_head(sheet, unit, share);
            each_emitter(sheet, unit, share, put_row, &sheet->body);
        }
    }
    mtmi_text_add(&sheet->body, "\n");
    for (size_t i = 0; i < sheet->count; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
        if (why_not(unit) != NULL)
            mtmi_text_add(&sheet->body, "%s %s\n", unit->name, why_not(unit));
    }
    mtmi_text_add(&sheet->body,
                  "The meter stays where it is while a unit is read, and units of one kind are\n"
                  "read at the same distance. Strong light, above all blue and ultraviolet, harms\n"
                  "the eye: look at the meter, not into the light.\n");
    mtmi_sheet_end(sheet, false, NULL);
}
