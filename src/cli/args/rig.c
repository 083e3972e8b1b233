/* SPDX-License-Identifier: MIT */
/* Rig arguments: the rig that the first word names, what was measured of it, and the units that are
 * meant. */
#include "cli/args/rig.h"

#include "cli/args/target.h"

#include "base/error.h"

#include <metamer/calibration.h>

#include <stdlib.h>
#include <string.h>

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

/* Adds the unit called name (length bytes), once. */
static mtm_result choose(struct opened *opened, const char *text, size_t length, mtm_error *error)
{
    char name[MTM_ADDRESS_MAX];
    size_t index = 0;

    (void)snprintf(name, sizeof name, "%.*s", (int)length, text);
    mtm_result result = mtm_rig_find_unit(opened->rig, name, &index, error);
    if (result != MTM_OK) {
        mtmi_error_prefix(error, "--units");
        return result;
    }
    for (size_t i = 0; i < opened->unit_count; i++) {
        if (opened->unit[i] == index)
            return mtmi_fail(error, MTM_PARSE, "--units: \"%s\" stands twice", name);
    }
    opened->unit[opened->unit_count++] = index;
    return MTM_OK;
}

/* The units asked for, in the order given; all of them by default. */
static mtm_result choose_units(const char *text, struct opened *opened, mtm_error *error)
{
    size_t room = mtm_rig_unit_count(opened->rig);

    opened->unit = calloc(room, sizeof *opened->unit);
    if (opened->unit == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; text == NULL && i < room; i++)
        opened->unit[opened->unit_count++] = i;
    while (text != NULL) {
        size_t length = strcspn(text, ",");
        mtm_result result = choose(opened, text, length, error);
        if (result != MTM_OK)
            return result;
        text = text[length] != '\0' ? text + length + 1 : NULL;
    }
    return MTM_OK;
}

mtm_result opened_from_args(const struct args *args, struct opened *opened, mtm_error *error)
{
    const char *calibration = args_text(args, "calibration", NULL);

    *opened = (struct opened){.observer = observer_from_args(args)};
    mtm_result result = mtm_rig_load(args->words[0], &opened->rig, error);
    if (result == MTM_OK && calibration != NULL)
        result = calibrate(calibration, opened->rig, error);
    return result == MTM_OK ? choose_units(args_text(args, "units", NULL), opened, error) : result;
}

void opened_close(struct opened *opened)
{
    free(opened->unit);
    mtm_rig_free(opened->rig);
    *opened = (struct opened){0};
}
