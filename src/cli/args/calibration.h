/* SPDX-License-Identifier: MIT */
/* Calibration arguments: a rig whose measured units get emitters of their own. */
#ifndef METAMER_CLI_ARGS_CALIBRATION_H
#define METAMER_CLI_ARGS_CALIBRATION_H

#include "cli/args/args.h"

#include <metamer/rig.h>

/** Applies the file that --calibration names to the rig; without the option the rig stays as it is.
 */
MTM_CHECKED mtm_result calibrate_from_args(const struct args *args, mtm_rig *rig, mtm_error *error);

#endif
