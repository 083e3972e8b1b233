/* SPDX-License-Identifier: MIT */
/* Calibration arguments: a rig whose measured units get emitters of their own. */
#include "cli/args/calibration.h"

#include <metamer/calibration.h>

mtm_result calibrate_from_args(const struct args *args, mtm_rig *rig, mtm_error *error)
{
    const char *path = args_text(args, "calibration", NULL);
    mtm_calibration *calibration = NULL;

    if (path == NULL)
        return MTM_OK;
    mtm_result result = mtm_calibration_load(path, rig, &calibration, error);
    if (result == MTM_OK)
        result = mtm_calibration_apply(rig, calibration, error);
    mtm_calibration_free(calibration);
    return result;
}
