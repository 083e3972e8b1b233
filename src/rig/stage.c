/* SPDX-License-Identifier: MIT */
/* What arrives of a unit's light: its gain, and the lux at the point that it lights. */
#include "rig/stage.h"

#include "base/error.h"

#include <math.h>

double mtm_unit_gain(const mtm_unit *unit)
{
    return unit != NULL && unit->gain > 0 ? unit->gain : 1;
}

double mtm_unit_lux_per_lm(const mtm_unit *unit)
{
    if (unit == NULL || !(unit->cd_per_klm > 0 && unit->distance_m > 0))
        return 0;
    return mtm_unit_gain(unit) * unit->cd_per_klm / 1000 / (unit->distance_m * unit->distance_m);
}

mtm_result mtmi_rig_read_stage(const mtmi_node *node, mtm_unit *unit, mtm_error *error)
{
    mtm_result result =
        mtmi_json_optional_number(node, "gain", MTMI_GAIN_MIN, MTMI_GAIN_MAX, &unit->gain, error);

    if (result == MTM_OK)
        result = mtmi_json_optional_number(node, "cd_per_klm", MTMI_CD_MIN, MTMI_CD_MAX,
                                           &unit->cd_per_klm, error);
    if (result == MTM_OK)
        result = mtmi_json_optional_number(node, "distance_m", MTMI_DISTANCE_MIN_M,
                                           MTMI_DISTANCE_MAX_M, &unit->distance_m, error);
    if (result == MTM_OK && (unit->cd_per_klm > 0) != (unit->distance_m > 0))
        return mtmi_json_fail(node, error,
                              "\"cd_per_klm\" and \"distance_m\" go together: lux need both");
    return result;
}

static bool within(double value, double least, double most)
{
    return value == 0 || (value >= least && value <= most);
}

mtm_result mtmi_rig_check_stage(const mtm_unit *unit, mtm_error *error)
{
    if (within(unit->gain, MTMI_GAIN_MIN, MTMI_GAIN_MAX) &&
        within(unit->cd_per_klm, MTMI_CD_MIN, MTMI_CD_MAX) &&
        within(unit->distance_m, MTMI_DISTANCE_MIN_M, MTMI_DISTANCE_MAX_M) &&
        (unit->cd_per_klm > 0) == (unit->distance_m > 0))
        return MTM_OK;
    return mtmi_fail(
        error, MTM_INVALID,
        "unit \"%.60s\" has gain %.10g, %.10g cd for 1000 lm and a distance of %.10g m; allowed "
        "are %.10g to %.10g, %.10g to %.10g and %.10g to %.10g, or 0 where they are not stated, "
        "the last "
        "two together",
        unit->name, unit->gain, unit->cd_per_klm, unit->distance_m, MTMI_GAIN_MIN, MTMI_GAIN_MAX,
        MTMI_CD_MIN, MTMI_CD_MAX, MTMI_DISTANCE_MIN_M, MTMI_DISTANCE_MAX_M);
}

bool mtmi_rig_write_stage(cJSON *object, const mtm_unit *unit)
{
    return (unit->gain == 0 || cJSON_AddNumberToObject(object, "gain", unit->gain) != NULL) &&
           (unit->cd_per_klm == 0 ||
            (cJSON_AddNumberToObject(object, "cd_per_klm", unit->cd_per_klm) != NULL &&
             cJSON_AddNumberToObject(object, "distance_m", unit->distance_m) != NULL));
}
