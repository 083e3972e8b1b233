/* SPDX-License-Identifier: MIT */
/* Match output: a computed match as a table, as JSON or as CSV. */
#ifndef METAMER_CLI_MATCH_OUT_H
#define METAMER_CLI_MATCH_OUT_H

#include "cli/command.h"

#include <metamer/match.h>

/** All that was computed. Borrows everything. */
struct match_report {
    const mtm_rig *rig;
    const mtm_target *target;
    const mtm_match *match;
    size_t count;
    bool together;
    mtm_common common;
    bool has_tolerance;
    double tolerance; /* u', v' */
};

/** A way to render; a NULL name ends the table. The result is MTM_MEMORY or MTM_OK. */
struct match_writer {
    const char *name;
    mtm_result (*write)(const struct match_report *report, FILE *out, mtm_error *error);
};

extern const struct match_writer match_writers[];

/** The largest distance from the target of a unit that gives light. */
double match_worst(const struct match_report *report, size_t *index);

/** Why a match came no closer: "" where it is as asked. */
void match_reason(const struct match_report *report, const mtm_match *match, char *text,
                  size_t room);

#endif
