/* SPDX-License-Identifier: MIT */
/* Rig arguments: the rig that the first word names, what was measured of it, and the units that are
 * meant. */
#include "cli/args/rig.h"

#include "cli/args/target.h"

#include "base/error.h"

#include <metamer/calibration.h>
#include <metamer/selection.h>

#include <stdlib.h>

/* Measured units get emitters of their own. */
static mtm_result calibrate(const char *path, mtm_rig *rig, mtm_error *error)
{
    mtm_calibration *calibration = NULL;

    mtm_result result = mtm_calibration_load(path, rig, &calibration, error);
    if (result == MTM_OK)
        result = mtm_calibration_apply(rig, calibration, error);
    mtm_calibration_free(calibration);
    return result;
}

mtm_result units_from_args(const struct args *args, const mtm_rig *rig, const mtm_show *show,
                           size_t **unit, size_t *count, mtm_error *error)
{
    const char *text = args_text(args, "units", NULL);

    *unit = calloc(mtm_rig_unit_count(rig), sizeof **unit);
    if (*unit == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = show != NULL ? mtm_show_select(show, text, *unit, count, error)
                                     : mtm_rig_select(rig, text, *unit, count, error);
    if (result != MTM_OK)
        mtmi_error_prefix(error, "--units");
    return result;
}

mtm_result marks_from_args(const struct args *args, const mtm_rig *rig, const mtm_show *show,
                           bool **meant, mtm_error *error)
{
    size_t *unit = NULL;
    size_t count = 0;
    mtm_result result = units_from_args(args, rig, show, &unit, &count, error);

    *meant = calloc(mtm_rig_unit_count(rig), sizeof **meant);
    for (size_t i = 0; i < count && result == MTM_OK && *meant != NULL; i++)
        (*meant)[unit[i]] = true;
    free(unit);
    return result == MTM_OK && *meant == NULL ? mtmi_fail_memory(error) : result;
}

mtm_result rig_restrict_from_args(const struct args *args, mtm_rig *rig, mtm_error *error)
{
    size_t *unit = NULL;
    size_t count = 0;

    if (!args_has(args, "units"))
        return MTM_OK;
    mtm_result result = units_from_args(args, rig, NULL, &unit, &count, error);
    if (result == MTM_OK)
        result = mtm_rig_restrict(rig, unit, count, error);
    free(unit);
    return result;
}

mtm_result opened_from_args(const struct args *args, struct opened *opened, mtm_error *error)
{
    const char *calibration = args_text(args, "calibration", NULL);

    *opened = (struct opened){.observer = observer_from_args(args)};
    mtm_result result = mtm_rig_load(args->words[0], &opened->rig, error);
    if (result == MTM_OK && calibration != NULL)
        result = calibrate(calibration, opened->rig, error);
    if (result == MTM_OK)
        result =
            units_from_args(args, opened->rig, NULL, &opened->unit, &opened->unit_count, error);
    return result;
}

void opened_close(struct opened *opened)
{
    free(opened->unit);
    mtm_rig_free(opened->rig);
    *opened = (struct opened){0};
}
