/* SPDX-License-Identifier: MIT */
/* Sheets: start-address labels, two beside each other, to be cut out. */
#include "plan/sheet.h"

#include <stdio.h>

enum { LABEL_WIDTH = 38, LABEL_LINES = 4 };

static void add_rule(size_t labels, mtmi_text *text)
{
    for (size_t i = 0; i < labels; i++) {
        mtmi_text_add(text, i > 0 ? "-" : "+-");
        for (int k = 0; k < LABEL_WIDTH - 2; k++)
            mtmi_text_add(text, "-");
        mtmi_text_add(text, "-+");
    }
    mtmi_text_add(text, "\n");
}

static void line_of(const mtm_rig *rig, const mtm_unit *unit, int line, mtmi_text *made)
{
    char bits[MTMI_BITS_ROOM];

    mtmi_sheet_bits(unit, bits);
    switch (line) {
    case 0:
        mtmi_text_add(made, "%s", unit->name);
        break;
    case 1:
        if (unit->address > 0)
            mtmi_text_add(made, "universe %d   address %03d", unit->universe, unit->address);
        else
            mtmi_text_add(made, "universe ____   address ____");
        break;
    case 2:
        mtmi_text_add(made, "mode %s: %zu slots, %s bit", unit->mode->name, unit->mode->slot_count,
                      bits);
        break;
    case 3:
        if (unit->supply >= 0 && unit->port > 0)
            mtmi_text_add(made, "port %d of %s", unit->port,
                          mtm_rig_supply(rig, (size_t)unit->supply)->name);
        break;
    default:
        if (unit->follows >= 0)
            mtmi_text_add(made, "follows %s", mtm_rig_unit(rig, (size_t)unit->follows)->name);
        else if (unit->position != NULL)
            mtmi_text_add(made, "at %s", unit->position);
        break;
    }
}

/* Labels are of one size; the last line is for those that follow, and for positions. */
static int lines_of(const mtmi_sheet *sheet)
{
    for (size_t i = 0; i < sheet->count; i++) {
        const mtm_unit *unit = mtm_rig_unit(sheet->rig, sheet->order[i]);
        if (unit->follows >= 0 || unit->position != NULL)
            return LABEL_LINES + 1;
    }
    return LABEL_LINES;
}

void mtmi_sheet_labels(mtmi_sheet *sheet)
{
    mtmi_text *text = &sheet->body;
    int lines = lines_of(sheet);

    for (size_t from = 0; from < sheet->count; from += 2) {
        size_t labels = sheet->count - from < 2 ? 1 : 2;
        add_rule(labels, text);
        for (int line = 0; line < lines; line++) {
            mtmi_text_add(text, "|");
            for (size_t i = 0; i < labels; i++) {
                mtmi_text made = {0};
                line_of(sheet->rig, mtm_rig_unit(sheet->rig, sheet->order[from + i]), line, &made);
                mtmi_text_add(text, " ");
                mtmi_text_add_column(text, made.data != NULL ? made.data : "", LABEL_WIDTH - 2);
                mtmi_text_add(text, " |");
                text->failed = text->failed || made.failed;
                mtmi_text_free(&made);
            }
            mtmi_text_add(text, "\n");
        }
        if (from + 2 >= sheet->count || labels == 1)
            add_rule(labels, text);
        mtmi_sheet_end(sheet, false, NULL);
    }
}
