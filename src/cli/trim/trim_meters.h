/* SPDX-License-Identifier: MIT */
/* Meters: one brought into line with another, from readings of both. */
#ifndef METAMER_CLI_TRIM_TRIM_METERS_H
#define METAMER_CLI_TRIM_TRIM_METERS_H

#include "cli/args/args.h"

#include <metamer/rig.h>

/** Finds, prints and writes the matrix between the meters of two readings files. MTM_OK, or as all
 *  that reads and writes files. */
MTM_CHECKED mtm_result trim_match_meters(const struct args *args, const mtm_rig *rig,
                                         struct outlet *to, mtm_error *error);

#endif
