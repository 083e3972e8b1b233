/* SPDX-License-Identifier: MIT */
/* A show in a report: its cues, their times, and how smoothly they go. */
#ifndef METAMER_CLI_REPORT_REPORT_SHOW_H
#define METAMER_CLI_REPORT_REPORT_SHOW_H

#include "cli/report/report_out.h"

#include <metamer/fade_picture.h>
#include <metamer/fade_report.h>

/** A show and what was found of its fades. Zeroed holds nothing. */
struct report_show {
    mtm_show *show;            /**< NULL: none is wanted */
    mtm_fade_finding *finding; /**< one a unit of the rig, for each cue */
    mtm_fade_course **course;  /**< of cues that are drawn; NULL: none are */
    mtm_fade_view *view;       /**< the same; those of cues that are not drawn have no course */
};

/** Runs the cues of --show on a rig, frame by frame; pictured: what pictures need too. Freed by
 * report_show_free, also after a failure. */
MTM_CHECKED mtm_result report_show_find(const struct args *args, const mtm_rig *rig, bool pictured,
                                        struct report_show *show, mtm_error *error);
void report_show_free(struct report_show *show);

/** Adds it to a report. */
void report_add_show(mtm_report *report, const struct report_show *show);

#endif
