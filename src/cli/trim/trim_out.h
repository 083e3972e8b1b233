/* SPDX-License-Identifier: MIT */
/* Trim output: the ways to write it. */
#ifndef METAMER_CLI_TRIM_TRIM_OUT_H
#define METAMER_CLI_TRIM_TRIM_OUT_H

#include "cli/trim/trim_report.h"

/** A way to render; a NULL name ends the table. */
struct trim_writer {
    const char *name;
    mtm_result (*trim)(const struct trim_report *report, FILE *out, mtm_error *error);
    mtm_result (*moved)(const struct trim_report *report, FILE *out, mtm_error *error);
};

extern const struct trim_writer trim_writers[];

#endif
