/* SPDX-License-Identifier: MIT */
/* What "metamer trim" writes: never over what would be lost. */
#ifndef METAMER_CLI_TRIM_TRIM_WRITE_H
#define METAMER_CLI_TRIM_TRIM_WRITE_H

#include "cli/args/args.h"

#include <metamer/calibration.h>

/** The calibration to start from: --calibration, or with --again the file that --write names; NULL
 *  where there is none. */
const char *trim_prior_path(const struct args *args);

/** Whether --write may go where it points, before anything is read or asked for: not over a file of
 *  another kind, and over a calibration only where the new one goes on from it or --replace says
 *  so. */
MTM_CHECKED mtm_result trim_write_check(const struct args *args, const mtm_rig *rig,
                                        mtm_error *error);

/** Writes the calibration where --write says, if it does; what stood there is kept. */
MTM_CHECKED mtm_result trim_write(const struct args *args, const mtm_calibration *calibration,
                                  FILE *err, mtm_error *error);
/** The same for a match of two meters. */
MTM_CHECKED mtm_result trim_write_match(const struct args *args, const mtm_meter_match *match,
                                        FILE *err, mtm_error *error);

#endif
