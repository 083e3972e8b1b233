/* SPDX-License-Identifier: MIT */
/* Trim output: the ways to write it. */
#include "cli/trim/trim_out.h"

#include "cli/trim/trim_writers.h"

const struct trim_writer trim_writers[] = {
    {"table", trim_write_trim_table, trim_write_moved_table},
    {"json", trim_write_trim_json, trim_write_moved_json},
    {"csv", trim_write_trim_csv, trim_write_moved_csv},
    {0},
};
