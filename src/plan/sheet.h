/* SPDX-License-Identifier: MIT */
/* Sheets inside: units in the order of a sheet, the columns that sheets share, and pages. */
#ifndef METAMER_PLAN_SHEET_H
#define METAMER_PLAN_SHEET_H

#include <metamer/sheet.h>

#include "base/text.h"

/** Widest line of a text sheet. */
#define MTMI_SHEET_WIDTH 80

/** What units come to. Zeroed is none. */
typedef struct mtmi_sum {
    size_t units;
    size_t unknown; /**< of these, of unknown watts */
    double watts;   /**< of the others, all full */
} mtmi_sum;

/** A part of a sheet that no page break cuts. */
typedef struct mtmi_piece {
    size_t end;           /**< of its text, in body */
    bool head;            /**< stands again at the top of each page that the rows behind it reach */
    const mtm_unit *unit; /**< that it shows; NULL: none */
} mtmi_piece;

/** A rig's units in the order of a sheet, and the sheet as far as it is written. */
typedef struct mtmi_sheet {
    const mtm_rig *rig;
    const mtm_sheet_request *request;
    size_t *order;
    size_t count;
    int name_width;    /**< of the column of unit names */
    int fixture_width; /**< of the column of fixtures; 0: none */
    mtmi_text body;
    mtmi_piece *piece;
    size_t piece_count, piece_room;
} mtmi_sheet;

/** Letters that the bits of a mode's emitters take at most. */
#define MTMI_BITS_ROOM 8
/** "8", "16" or "8+16": bits of a mode's emitters. */
void mtmi_sheet_bits(const mtm_unit *unit, char text[MTMI_BITS_ROOM]);
/** Last slot of a unit; 0 where the address is open. */
int mtmi_sheet_last(const mtm_unit *unit);

/** Counts one more unit. */
void mtmi_sheet_count(mtmi_sum *sum, const mtm_unit *unit);
/** "3 units, 180 W", and the end of the line. */
void mtmi_sheet_put_sum(const mtmi_sum *sum, mtmi_text *text);

/** Ends a piece of the body; unit is what it shows, or NULL. */
void mtmi_sheet_end(mtmi_sheet *sheet, bool head, const mtm_unit *unit);
/** Adds text in lines that begin with indent blanks, broken at blanks where there are some. */
void mtmi_sheet_wrap(const char *text, int indent, mtmi_text *to);
/** The body in pages below a title (NULL: none). */
void mtmi_sheet_pages(const mtmi_sheet *sheet, const char *title, mtmi_text *text);

void mtmi_sheet_by_supply(mtmi_sheet *sheet);
void mtmi_sheet_by_address(mtmi_sheet *sheet);
void mtmi_sheet_by_position(mtmi_sheet *sheet);
void mtmi_sheet_labels(mtmi_sheet *sheet);
void mtmi_sheet_csv(const mtmi_sheet *sheet, mtmi_text *text);
void mtmi_sheet_readings(mtmi_sheet *sheet);
void mtmi_sheet_readings_csv(const mtmi_sheet *sheet, mtmi_text *text);

#endif
