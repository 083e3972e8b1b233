/* SPDX-License-Identifier: MIT */
/* Calibration files from any bytes. A refusal leaves the output alone and is a sentence that begins
 * with the file's name; what is accepted gives finite light, and levels that do not fall. */
#include "small_rig.h"

#include <metamer/calibration.h>

#include <math.h>

static void check_unit(const mtm_unit_model *model)
{
    double code[MTM_EMITTERS_MAX] = {0};
    double level[MTM_EMITTERS_MAX] = {0};
    double last = 0;

    for (int step = 0; step <= 64; step++) {
        code[0] = step / 64.0;
        mtm_unit_model_levels(model, code, 1, level);
        hold(level[0] >= last && level[0] <= 1);
        last = level[0];
        mtm_xyz xyz = mtm_unit_model_xyz(model, level);
        hold(isfinite(xyz.x) && isfinite(xyz.y) && isfinite(xyz.z) && xyz.y >= 0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = exact_copy(data, size);
    mtm_calibration *calibration = NULL;
    mtm_rig *rig = small_rig();
    mtm_error error = {""};

    if (mtm_calibration_parse(text, size, "input", rig, &calibration, &error) == MTM_OK) {
        for (size_t i = 0; i < mtm_rig_unit_count(rig); i++)
            check_unit(mtm_calibration_unit(calibration, i));
    } else {
        hold(calibration == NULL && strncmp(error.text, "input: ", 7) == 0);
    }
    mtm_calibration_free(calibration);
    free(text);
    return 0;
}
