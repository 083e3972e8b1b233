/* SPDX-License-Identifier: MIT */
/* Trim output: as a table, as JSON, as CSV; of a trim, and of what became of units. */
#ifndef METAMER_CLI_TRIM_TRIM_WRITERS_H
#define METAMER_CLI_TRIM_TRIM_WRITERS_H

#include "cli/trim/trim_report.h"

mtm_result trim_write_trim_table(const struct trim_report *report, FILE *out, mtm_error *error);
mtm_result trim_write_trim_json(const struct trim_report *report, FILE *out, mtm_error *error);
mtm_result trim_write_trim_csv(const struct trim_report *report, FILE *out, mtm_error *error);
mtm_result trim_write_moved_table(const struct trim_report *report, FILE *out, mtm_error *error);
mtm_result trim_write_moved_json(const struct trim_report *report, FILE *out, mtm_error *error);
mtm_result trim_write_moved_csv(const struct trim_report *report, FILE *out, mtm_error *error);

#endif
