/* SPDX-License-Identifier: MIT */
/* Sheets inside: units in the order of a sheet, and the columns that sheets share. */
#ifndef METAMER_PLAN_SHEET_H
#define METAMER_PLAN_SHEET_H

#include <metamer/sheet.h>

#include "base/text.h"

/** Widest line of a text sheet. */
#define MTMI_SHEET_WIDTH 80

/** A rig's units in the order of a sheet. */
typedef struct mtmi_sheet {
    const mtm_rig *rig;
    size_t *order;
    size_t count;
    int name_width;    /**< of the column of unit names */
    int fixture_width; /**< of the column of fixtures; 0: none */
} mtmi_sheet;

/** Letters that the bits of a mode's emitters take at most. */
#define MTMI_BITS_ROOM 8
/** "8", "16" or "8+16": bits of a mode's emitters. */
void mtmi_sheet_bits(const mtm_unit *unit, char text[MTMI_BITS_ROOM]);
/** Last slot of a unit; 0 where the address is open. */
int mtmi_sheet_last(const mtm_unit *unit);

void mtmi_sheet_by_supply(const mtmi_sheet *sheet, mtmi_text *text);
void mtmi_sheet_by_address(const mtmi_sheet *sheet, mtmi_text *text);
void mtmi_sheet_labels(const mtmi_sheet *sheet, mtmi_text *text);
void mtmi_sheet_csv(const mtmi_sheet *sheet, mtmi_text *text);

#endif
