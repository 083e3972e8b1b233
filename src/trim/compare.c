/* SPDX-License-Identifier: MIT */
/* Ageing: how units moved between two calibrations, and what output is left. */
#include <metamer/trim.h>

#include "base/error.h"
#include "calibrate/calibration.h"
#include "unit/table.h"

#include <math.h>

/* What the codes of the old trim give by a model: its own curves may have changed as well. */
static mtm_xyz light_of(const mtm_unit_model *model, const mtm_unit *unit, const mtm_codes *codes)
{
    double code[MTM_EMITTERS_MAX] = {0};
    double level[MTM_EMITTERS_MAX];
    double dimmer = 1;

    for (size_t i = 0; i < model->count; i++)
        code[i] = codes->emitter[i] / mtmi_code_max(unit->mode->emitter_bits[i]);
    if (unit->mode->dimmer_bits > 0)
        dimmer = codes->dimmer / mtmi_code_max(unit->mode->dimmer_bits);
    mtm_unit_model_levels(model, code, dimmer, level);
    return mtm_unit_model_xyz(model, level);
}

static const mtm_trim_unit *find(const mtm_trim *trim, size_t unit)
{
    for (size_t i = 0; i < mtm_trim_count(trim); i++) {
        if (mtm_trim_at(trim, i)->unit == unit)
            return mtm_trim_at(trim, i);
    }
    return NULL;
}

static mtm_moved moved_of(const mtm_unit *unit, const mtm_unit_model *old,
                          const mtm_unit_model *now, const mtm_trim_unit *then)
{
    mtm_xyz a = light_of(old, unit, &then->codes);
    mtm_xyz b = light_of(now, unit, &then->codes);
    mtm_moved moved = {.unit = then->unit,
                       .old_uv = mtm_uv_from_xyz(a),
                       .new_uv = mtm_uv_from_xyz(b),
                       .output = a.y > 0 ? b.y / a.y : 0};

    moved.delta_uv = mtm_uv_distance(moved.old_uv, moved.new_uv);
    for (size_t i = 0; i < old->count; i++) {
        mtm_xyz x = old->emitter[i].xyz;
        mtm_xyz y = now->emitter[i].xyz;
        moved.emitter_uv[i] = mtm_uv_distance(mtm_uv_from_xyz(x), mtm_uv_from_xyz(y));
        moved.emitter_output[i] = x.y > 0 ? y.y / x.y : 0;
    }
    return moved;
}

mtm_result mtm_trim_compare(const mtm_calibration *before, const mtm_calibration *now,
                            const mtm_rig *rig, const mtm_trim_request *request, mtm_moved *moved,
                            size_t *count, double *old_output, double *new_output, mtm_error *error)
{
    if (moved == NULL || count == NULL || old_output == NULL || new_output == NULL)
        return mtmi_fail(error, MTM_INVALID, "places for what has moved are needed");
    mtm_trim *old_trim = NULL;
    mtm_trim *new_trim = NULL;

    mtm_result result = mtm_trim_run(before, rig, NULL, NULL, request, &old_trim, error);
    if (result == MTM_OK)
        result = mtm_trim_run(now, rig, NULL, NULL, request, &new_trim, error);
    if (result != MTM_OK)
        goto done;
    *count = 0;
    for (size_t i = 0; i < mtm_trim_count(old_trim); i++) {
        const mtm_trim_unit *then = mtm_trim_at(old_trim, i);
        const mtm_trim_unit *later = find(new_trim, then->unit);
        if (later == NULL)
            continue;
        moved[*count] =
            moved_of(mtm_rig_unit(rig, then->unit), mtm_calibration_unit(before, then->unit),
                     mtm_calibration_unit(now, then->unit), then);
        moved[*count].old_most = then->most;
        moved[(*count)++].new_most = later->most;
    }
    *old_output = mtm_trim_summarise(old_trim).output;
    *new_output = mtm_trim_summarise(new_trim).output;
done:
    mtm_trim_free(new_trim);
    mtm_trim_free(old_trim);
    return result;
}
