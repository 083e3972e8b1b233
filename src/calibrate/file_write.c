/* SPDX-License-Identifier: MIT */
/* The calibration file, "calibration/1", written. */
#include "calibrate/calibration.h"

#include "base/error.h"
#include "base/json_print.h"
#include "spectrum/json.h"

#include <cjson/cJSON.h>

/* Writing: cJSON answers NULL when memory is out; that is gathered in one flag. */

static bool write_emitter(cJSON *list, const mtmi_unit_state *state, size_t index, const char *name)
{
    const mtm_unit_emitter *emitter = &state->model.emitter[index];
    const mtmi_points *points = &state->points[index];
    double xyz[3] = {emitter->xyz.x, emitter->xyz.y, emitter->xyz.z};
    double drift[2] = {emitter->drift.u, emitter->drift.v};
    cJSON *object = cJSON_CreateObject();

    bool good = mtmi_json_append(list, object) &&
                cJSON_AddStringToObject(object, "name", name) != NULL &&
                cJSON_AddBoolToObject(object, "measured", emitter->measured) != NULL &&
                mtmi_json_put(object, "xyz", cJSON_CreateDoubleArray(xyz, 3));
    if (drift[0] != 0 || drift[1] != 0)
        good = good && mtmi_json_put(object, "drift", cJSON_CreateDoubleArray(drift, 2));
    if (emitter->droop != 0)
        good = good && cJSON_AddNumberToObject(object, "droop", emitter->droop) != NULL;
    if (state->learned[index])
        good = good && cJSON_AddBoolToObject(object, "learned", 1) != NULL;
    if (points->count > 0)
        good = good &&
               mtmi_json_put_pairs(object, "curve", points->code, points->level, points->count);
    if (state->spectrum[index] != NULL)
        good = good && mtmi_json_put_spectrum(object, state->spectrum[index]);
    return good;
}

static bool write_unit(cJSON *object, const mtmi_unit_state *state, const mtm_unit *unit,
                       bool own_aim)
{
    char fingerprint[MTMI_FINGERPRINT_ROOM];
    cJSON *sharing = NULL;

    mtmi_fingerprint_text(unit->fixture, fingerprint);
    bool good =
        cJSON_AddStringToObject(object, "unit", unit->name) != NULL &&
        cJSON_AddStringToObject(object, "fixture", mtm_fixture_name(unit->fixture)) != NULL &&
        cJSON_AddStringToObject(object, "fingerprint", fingerprint) != NULL &&
        cJSON_AddNumberToObject(object, "scale", state->scale) != NULL;
    if (state->model.sharing != MTM_SHARING_NONE) {
        sharing = cJSON_AddObjectToObject(object, "sharing");
        good = good && cJSON_AddNumberToObject(
                           sharing, state->model.sharing == MTM_SHARING_DROOP ? "droop" : "limit",
                           state->model.share) != NULL;
    }
    cJSON *emitters = cJSON_AddArrayToObject(object, "emitters");
    good = good && emitters != NULL;
    for (size_t i = 0; i < state->model.count && good; i++)
        good = write_emitter(emitters, state, i, mtm_fixture_emitter(unit->fixture, i)->name);
    if (state->trimmed && good)
        good = mtmi_json_put(object, "trim",
                             cJSON_CreateDoubleArray(state->trim_level, (int)state->model.count));
    if (state->trimmed && state->trim_dimmer > 0)
        good = good && cJSON_AddNumberToObject(object, "trim_dimmer", state->trim_dimmer) != NULL;
    if (own_aim && state->has_aim)
        good = good && mtmi_aim_write(object, &state->aim);
    return good && mtmi_settings_write(object, &state->settings, state->model.count);
}

static bool write_all(cJSON *root, const mtm_calibration *calibration)
{
    const mtm_trim_aim *aim = mtmi_calibration_common_aim(calibration);
    bool good = cJSON_AddStringToObject(root, "metamer", MTMI_CALIBRATION_KIND) != NULL &&
                cJSON_AddStringToObject(root, "rig", mtm_rig_name(calibration->rig)) != NULL &&
                (aim == NULL || mtmi_aim_write(root, aim));
    cJSON *list = cJSON_AddArrayToObject(root, "units");

    good = good && list != NULL;
    for (size_t i = 0; i < calibration->unit_count && good; i++) {
        if (!calibration->units[i].model.calibrated)
            continue;
        cJSON *object = cJSON_CreateObject();
        good = mtmi_json_append(list, object) &&
               write_unit(object, &calibration->units[i], mtm_rig_unit(calibration->rig, i),
                          aim == NULL);
    }
    return good;
}

mtm_result mtm_calibration_to_json(const mtm_calibration *calibration, char **text, size_t *length,
                                   mtm_error *error)
{
    if (calibration == NULL || text == NULL || length == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a calibration and places for the text and its length are needed");
    cJSON *root = cJSON_CreateObject();
    return mtmi_json_text(root, write_all(root, calibration), text, length, error);
}

mtm_result mtm_calibration_write(const mtm_calibration *calibration, const char *path,
                                 mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;

    if (path == NULL)
        return mtmi_fail(error, MTM_INVALID, "a path is needed");
    mtm_result result = mtm_calibration_to_json(calibration, &text, &length, error);
    return result == MTM_OK ? mtmi_json_save(path, text, length, error) : result;
}
