/* SPDX-License-Identifier: MIT */
/* Report output: what was computed, put into a report part by part. */
#ifndef METAMER_CLI_REPORT_REPORT_OUT_H
#define METAMER_CLI_REPORT_REPORT_OUT_H

#include "cli/match/match_run.h"

#include <metamer/demand_picture.h>
#include <metamer/palette.h>
#include <metamer/rendering_picture.h>
#include <metamer/report.h>

/** Room for a cell of a table. */
#define REPORT_CELL_ROOM 512

/** A row that is filled from the left, cell by cell. Zeroed is empty. */
struct report_row {
    const char *cell[MTM_REPORT_COLUMNS_MAX];
    size_t count;
    size_t used;
    char text[24 * MTM_REPORT_COLUMNS_MAX + REPORT_CELL_ROOM];
};

/** Adds a cell: as it is (borrowed until the row is added); as printf has it; a number, or "-"
 * where it is not finite, perhaps with its sign. */
void report_put(struct report_row *row, const char *cell);
void report_put_text(struct report_row *row, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void report_put_number(struct report_row *row, double value, int decimals);
void report_put_signed(struct report_row *row, double value, int decimals);
/** Adds the row to the report, and empties it. */
void report_end_row(mtm_report *report, struct report_row *row);

/** What say writes of a thing, as paragraphs: lines that follow each other are one. */
void report_add_said(mtm_report *report, void (*say)(const void *of, FILE *out), const void *of);

/** The same, added as something else (a caution). */
void report_add_said_as(mtm_report *report, void (*add)(mtm_report *report, const char *words),
                        void (*say)(const void *of, FILE *out), const void *of);

/** One colour of a report. Zeroed holds nothing; it must not move, since views point into it. */
struct report_colour {
    const char *name; /**< in the palette; NULL: the only one */
    mtm_target target;
    struct match_found found; /**< of the units that were not trimmed, if there are any */
    struct match_drawn drawn;
    mtm_match_light_view light;
};

/** What the first page tells of. */
struct report_subject {
    const mtm_rig *rig;
    const struct report_colour *colour;
    size_t count; /**< of colours */
    const mtm_match_request *request;
    size_t trimmed; /**< units */
    bool together;
};
/** Cover: job, place, date, by whom, what was asked. */
void report_add_cover(mtm_report *report, const struct args *args,
                      const struct report_subject *subject);
/** What was asked of a match, what each unit gives, and its picture. */
void report_add_match(mtm_report *report, const struct report_colour *colour);
/** What each unit is sent. */
void report_add_slots(mtm_report *report, const struct slot_source *slots,
                      const struct slot_kinds *kinds);
/** What ports and supplies carry, by the first case of a view. */
void report_add_demand(mtm_report *report, const mtm_demand_view *view);
/** Pictures of the kinds of light of a rig. */
void report_add_kinds(mtm_report *report, const mtm_rig *rig);
/** Words of caution for all that a report holds. */
void report_add_cautions(mtm_report *report, const mtm_rig *rig);
/** Standards and tables that the figures rest on. */
void report_add_sources(mtm_report *report, bool trimmed, bool shown);
/** Room to sign. */
void report_add_signatures(mtm_report *report, const struct args *args, const mtm_rig *rig);

/** What an option says, or else the rig; NULL: neither. */
const char *report_stated(const struct args *args, const char *option, const char *of_rig);

#endif
