/* SPDX-License-Identifier: MIT */
/* Judging a trim: how far a unit is from the target, how sure that is, and what it proves. */
#include "trim/assess.h"

#include "calibrate/calibration.h"
#include "unit/table.h"

#include <metamer/white.h>

#include <math.h>

static bool is_stated(const mtmi_trim_criteria *j)
{
    return j->meter != NULL && j->meter->xy > 0;
}

static void set_state(const mtmi_trim_criteria *j, mtm_xyz xyz, const mtm_covariance *covariance,
                      mtm_trim_state *state)
{
    mtm_white white = {NAN, NAN};

    state->xyz = xyz;
    state->duv = state->cct_k = NAN;
    if (!(xyz.y > 0))
        return;
    if (mtm_white_from_xy(mtm_xy_from_xyz(xyz), &white, NULL) == MTM_OK) {
        state->cct_k = white.cct_k;
        state->duv = white.duv;
    }
    state->delta_uv = mtm_uv_distance(mtm_uv_from_xyz(xyz), j->target);
    if (covariance != NULL && is_stated(j))
        state->expanded_uv = mtm_delta_uncertainty(xyz, covariance, j->target);
    state->verdict = mtm_verdict_of(state->delta_uv, state->expanded_uv, j->tolerance_uv);
}

static mtm_covariance reading_spread(const mtmi_trim_criteria *j, size_t unit, mtm_xyz xyz)
{
    return mtmi_reading_covariance(mtm_calibration_unit(j->calibration, unit), j->meter,
                                   &j->calibration->assumed, xyz, 1);
}

/* Expanded uncertainty of a reading of this light, were it on the target. */
static double provable(const mtmi_trim_criteria *j, size_t unit, double output)
{
    mtm_xyz there = mtm_xyz_from_xy(mtm_xy_from_uv(j->target), output);
    mtm_covariance spread = reading_spread(j, unit, there);

    return mtm_delta_uncertainty(there, &spread, j->target);
}

void mtmi_assess_codes(const mtmi_trim_criteria *criteria, size_t unit, const mtm_codes *codes,
                       mtm_trim_state *state)
{
    const mtm_unit_model *model = mtm_calibration_unit(criteria->calibration, unit);
    const mtm_mode *mode = mtm_rig_unit(criteria->rig, unit)->mode;
    double code[MTM_EMITTERS_MAX] = {0};
    double level[MTM_EMITTERS_MAX];
    double dimmer = mode->dimmer_bits > 0 ? codes->dimmer / mtmi_code_max(mode->dimmer_bits) : 1;
    mtm_covariance covariance;

    for (size_t i = 0; i < model->count; i++)
        code[i] = codes->emitter[i] / mtmi_code_max(mode->emitter_bits[i]);
    mtm_unit_model_levels(model, code, dimmer, level);
    bool known = mtm_unit_model_covariance(model, code, dimmer, &covariance);
    mtm_xyz xyz = mtm_unit_model_xyz(model, level);
    set_state(criteria, xyz, known ? &covariance : NULL, state);
    state->chief = mtm_unit_model_chief_doubt(model, code, dimmer);
    if (state->verdict != MTM_VERDICT_OPEN)
        return;
    /* where the unit may lie, a reading would tell it inside or outside */
    double read = provable(criteria, unit, xyz.y);
    double least = fmax(0, state->delta_uv - state->expanded_uv);
    double most = state->delta_uv + state->expanded_uv;
    if (read <= criteria->tolerance_uv &&
        (least + read <= criteria->tolerance_uv || most - read > criteria->tolerance_uv))
        state->verdict = MTM_VERDICT_TO_MEASURE;
}

void mtmi_assess_reading(const mtmi_trim_criteria *criteria, size_t unit, mtm_xyz xyz,
                         mtm_trim_state *state)
{
    mtm_covariance covariance = {{{0}}};

    if (is_stated(criteria))
        covariance = reading_spread(criteria, unit, xyz);
    set_state(criteria, xyz, &covariance, state);
    state->measured = true;
}

double mtmi_assess_provable(const mtmi_trim_criteria *criteria, const mtm_trim_unit *one)
{
    double output = one->after.xyz.y;

    return is_stated(criteria) && output > 0 ? provable(criteria, one->unit, output) : 0;
}
