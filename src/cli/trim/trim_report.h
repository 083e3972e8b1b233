/* SPDX-License-Identifier: MIT */
/* Trim report: what is to be written of a trim, and what its writers share. */
#ifndef METAMER_CLI_TRIM_TRIM_REPORT_H
#define METAMER_CLI_TRIM_TRIM_REPORT_H

#include "cli/args/picture.h"
#include "cli/args/swatch.h"
#include "cli/out/slot_rows.h"
#include "cli/out/writer.h"
#include "cli/trim/trim_run.h"

#include <metamer/target.h>
#include <metamer/trim.h>

/** All that was computed. Borrows everything. */
struct trim_report {
    const mtm_rig *rig;
    const mtm_target *target;
    double steps;
    mtm_goal goal; /* that was asked for */
    const mtm_meter *meter;
    const mtm_readings *readings;
    const mtm_calibration *calibration;
    const bool *meant;      /* by unit of the rig: those that --units chooses; NULL: all */
    mtm_alike alike;        /* which units are to agree */
    struct trim_sets sets;  /* of a trim; none for a comparison */
    const mtm_moved *moved; /* of a comparison; NULL for a trim */
    size_t moved_count;
    double old_output, new_output;   /* lumens */
    const struct slot_source *slots; /* of a trim */
    const struct slot_kinds *kinds;
    struct swatches swatches; /* before the rows of the table, of the light afterwards */
};

/** table, json, csv; ends with a NULL name. */
extern const struct writer trim_writers[];

void trim_write_table(const void *data, FILE *out);
cJSON *trim_write_json(const void *data);
void trim_write_csv(const void *data, FILE *out);

/** Writes a report in the way that --format names. MTM_MEMORY or MTM_OK. */
MTM_CHECKED mtm_result trim_report_write(const struct args *args, struct trim_report *report,
                                         FILE *out, mtm_error *error);

/** What the trimmed units are sent. */
struct slot_source trim_slot_source(const struct trim_report *report);

/** What ±U means, and what this meter is good for; how the units agree, and what limits them, in
 *  sentences. of: a struct trim_report. */
void trim_say_coverage(const void *of, FILE *out);
void trim_say_after(const void *of, FILE *out);

/** Draws what units were and become. */
MTM_CHECKED mtm_result trim_draw(const struct trim_report *report,
                                 const mtm_picture_options *options, mtm_picture **picture,
                                 mtm_error *error);
/** Draws a report, to where --picture says. */
MTM_CHECKED mtm_result trim_put_picture(const struct args *args,
                                        const struct picture_request *request,
                                        const struct trim_report *report, struct outlet *to,
                                        mtm_error *error);

/** How many units were trimmed, and one of them: those of one set after those of the other. */
size_t trim_rows(const struct trim_report *report);
const mtm_trim_unit *trim_row(const struct trim_report *report, size_t row);
/** The set of a row, and the row's place in it (may be NULL). */
const struct trim_set *trim_set_of(const struct trim_report *report, size_t row, size_t *place);
/** "Group front", "Units of no group"; "" where all are to agree. */
void trim_set_text(const struct trim_report *report, const struct trim_set *set, char *text,
                   size_t room);
/** The smallest tolerance that the meter can prove of every unit. */
double trim_provable_uv(const struct trim_report *report);

/** A unit of the rig. */
const mtm_unit *trim_unit_of(const struct trim_report *report, size_t unit);
/** True for a unit that is to be trimmed and that no reading speaks of. */
bool trim_not_read(const struct trim_report *report, size_t unit);
/** Why a unit is off the target: "" where it is not. */
void trim_reason(const struct trim_report *report, const mtm_trim_unit *one, char *text,
                 size_t room);

/** The white that all of a set go to together, where it is not the one asked for. */
void trim_say_together(const struct trim_report *report, FILE *out);
/** The common output of each set, what limits it, what one mix for all costs, and how far units of
 *  one kind lie apart, for both observers. */
void trim_say_output(const struct trim_report *report, FILE *out);
/** Which readings would settle what is to be measured, and what is most in doubt of it. */
void trim_say_to_measure(const struct trim_report *report, FILE *out);
/** Which units were meant to agree, and in what. */
void trim_say_meant(const struct trim_report *report, FILE *out);
/** What was left as it was, and who goes by another goal. */
void trim_say_kept(const struct trim_report *report, FILE *out);

#endif
