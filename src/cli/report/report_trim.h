/* SPDX-License-Identifier: MIT */
/* A trim in a report: the meter, what each unit was and will be, and what that rests on. */
#ifndef METAMER_CLI_REPORT_REPORT_TRIM_H
#define METAMER_CLI_REPORT_REPORT_TRIM_H

#include "cli/report/report_out.h"
#include "cli/trim/trim_report.h"

extern const struct option_spec report_trim_options[];

/** A trim. Zeroed holds nothing; it must not move, since the report points into it. */
struct report_trim {
    mtm_readings *readings;
    mtm_calibration *calibration; /**< NULL: nothing was trimmed */
    bool *meant;                  /**< by unit of the rig */
    struct trim_sets sets;
    struct slot_source slots;
    struct slot_kinds kinds;
    struct trim_report report;
};

/** Trims the units of --trim to a target, which must outlive it. Freed by report_trim_free, also
 *  after a failure. */
MTM_CHECKED mtm_result report_trim_find(const struct args *args, const struct match_asked *asked,
                                        const mtm_target *target, struct report_trim *trim,
                                        mtm_error *error);
void report_trim_free(struct report_trim *trim);

/** Whether a unit of the rig was trimmed. */
bool report_trimmed(const struct report_trim *trim, size_t unit);
/** Whether a unit is not proven inside the tolerance, or a reading is in doubt. */
bool report_trim_missed(const struct report_trim *trim);

/** Adds it to a report. */
void report_add_trim(mtm_report *report, const struct args *args, const struct report_trim *trim);

#endif
