/* SPDX-License-Identifier: MIT */
/* What "metamer trim" writes: never over what would be lost. */
#include "cli/trim/trim_write.h"

#include "cli/out/replace.h"

#include "base/error.h"
#include "base/file.h"

#include <sys/stat.h>

static bool holds(const char *path)
{
    struct stat found;

    return path != NULL && stat(path, &found) == 0 && S_ISREG(found.st_mode) && found.st_size > 0;
}

const char *trim_prior_path(const struct args *args)
{
    const char *path = args_text(args, "calibration", NULL);
    const char *write_path = args_text(args, "write", NULL);

    return path == NULL && args_has(args, "again") && holds(write_path) ? write_path : path;
}

/* What would be gone, in words; a calibration of another rig cannot be counted. */
static void describe(const char *path, const mtm_rig *rig, char *text, size_t room)
{
    mtm_calibration *calibration = NULL;
    size_t units = 0;
    size_t emitters = 0;

    (void)snprintf(text, room, "a calibration");
    if (mtm_calibration_load(path, rig, &calibration, NULL) != MTM_OK)
        return;
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        const mtm_unit_model *model = mtm_calibration_unit(calibration, i);
        units += model->calibrated ? 1 : 0;
        for (size_t k = 0; k < model->count && model->calibrated; k++)
            emitters += model->emitter[k].measured ? 1 : 0;
    }
    mtm_calibration_free(calibration);
    (void)snprintf(text, room, "a calibration of %zu unit%s with %zu measured emitter%s", units,
                   units == 1 ? "" : "s", emitters, emitters == 1 ? "" : "s");
}

mtm_result trim_write_check(const struct args *args, const mtm_rig *rig, mtm_error *error)
{
    const char *path = args_text(args, "write", NULL);
    const char *prior = trim_prior_path(args);
    bool match = args_has(args, "match-meters");
    char lost[160];

    if (path == NULL)
        return MTM_OK;
    mtm_result result = replace_check("write", path, match ? "meter/1" : "calibration/1", error);
    if (result != MTM_OK || args_has(args, "replace") || !holds(path))
        return result;
    if (match)
        return mtmi_fail(error, MTM_PARSE,
                         "--write: %s holds a match of two meters; --replace puts the new one in "
                         "its place and keeps a copy",
                         path);
    if (prior != NULL && mtmi_file_same(prior, path))
        return MTM_OK;
    describe(path, rig, lost, sizeof lost);
    return mtmi_fail(error, MTM_PARSE,
                     "--write: %s holds %s, which this trim does not start from; --again goes on "
                     "from it, --replace puts the new one in its place and keeps a copy",
                     path, lost);
}

mtm_result trim_write(const struct args *args, const mtm_calibration *calibration, FILE *err,
                      mtm_error *error)
{
    const char *path = args_text(args, "write", NULL);

    if (path == NULL)
        return MTM_OK;
    mtm_result result = replace_keep(path, err, error);
    return result == MTM_OK ? mtm_calibration_write(calibration, path, error) : result;
}

mtm_result trim_write_match(const struct args *args, const mtm_meter_match *match, FILE *err,
                            mtm_error *error)
{
    const char *path = args_text(args, "write", "");
    mtm_result result = replace_keep(path, err, error);

    return result == MTM_OK ? mtm_meter_match_write(match, path, error) : result;
}
