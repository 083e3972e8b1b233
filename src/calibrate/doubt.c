/* SPDX-License-Identifier: MIT */
/* Doubt: how sure a unit's light is, and what makes it unsure. */
#include "base/number.h"
#include "calibrate/uncertainty.h"
#include "numeric/matrix3.h"
#include "readings/meter_inside.h"

bool mtm_unit_model_covariance(const mtm_unit_model *model, const double *code, double dimmer,
                               mtm_covariance *covariance)
{
    double slope[3 * (MTMI_STRIDE * MTM_EMITTERS_MAX + 2)];
    double product[3 * (MTMI_STRIDE * MTM_EMITTERS_MAX + 2)];

    if (model == NULL || code == NULL || covariance == NULL || model->doubt == NULL)
        return false;
    size_t n = model->doubt->n;
    mtmi_light_slopes(model, code, dimmer, model->doubt->dead, n, slope);
    mtmi_slopes_carry(model->doubt->covariance, n, slope, product);
    *covariance = mtmi_slopes_close(n, slope, product);
    mtmi_light_bends(model, code, dimmer, model->doubt->dead, covariance);
    return true;
}

const char *mtm_doubt_text(mtm_doubt doubt)
{
    static const char *const texts[MTM_DOUBT_COUNT] = {
        [MTM_DOUBT_METER] = "the meter",       [MTM_DOUBT_FILE] = "the fixture file",
        [MTM_DOUBT_CURVE] = "response curves", [MTM_DOUBT_DRIFT] = "drift with level",
        [MTM_DOUBT_DROOP] = "droop",
    };

    return (unsigned)doubt < MTM_DOUBT_COUNT ? texts[doubt] : "";
}

/* What one error belongs to. */
static mtm_doubt doubt_of(const mtm_unit_model *model, size_t place)
{
    size_t emitter = place / MTMI_STRIDE;
    size_t at = place % MTMI_STRIDE;

    if (emitter >= model->count || at >= MTMI_AT_METER)
        return MTM_DOUBT_METER;
    if (at >= MTMI_AT_DROOP)
        return MTM_DOUBT_DROOP;
    if (at >= MTMI_AT_DRIFT)
        return MTM_DOUBT_DRIFT;
    if (at >= MTMI_AT_CURVE)
        return MTM_DOUBT_CURVE;
    return model->emitter[emitter].measured ? MTM_DOUBT_METER : MTM_DOUBT_FILE;
}

/* Variance of u' and of v', together. */
static double spread_uv(mtm_xyz xyz, const mtm_covariance *covariance)
{
    mtmi_m3 slope = mtmi_uv_slopes(xyz);
    mtmi_m3 inside;

    for (size_t r = 0; r < 3; r++) {
        for (size_t c = 0; c < 3; c++)
            inside.at[r][c] = covariance->at[r][c];
    }
    mtmi_m3 spread = mtmi_m3_carry(&slope, &inside);
    return spread.at[0][0] + spread.at[1][1];
}

mtm_doubt mtm_unit_model_chief_doubt(const mtm_unit_model *model, const double *code, double dimmer)
{
    double slope[3 * (MTMI_STRIDE * MTM_EMITTERS_MAX + 2)];
    double part[3 * (MTMI_STRIDE * MTM_EMITTERS_MAX + 2)];
    double product[3 * (MTMI_STRIDE * MTM_EMITTERS_MAX + 2)];
    double level[MTM_EMITTERS_MAX];
    mtm_doubt chief = MTM_DOUBT_METER;
    double most = 0;

    if (model == NULL || code == NULL || model->doubt == NULL)
        return chief;
    size_t n = model->doubt->n;
    mtm_unit_model_levels(model, code, dimmer, level);
    mtm_xyz xyz = mtm_unit_model_xyz(model, level);
    if (!(xyz.y > 0))
        return chief;
    mtmi_light_slopes(model, code, dimmer, model->doubt->dead, n, slope);
    for (mtm_doubt doubt = 0; doubt < MTM_DOUBT_COUNT; doubt++) {
        for (size_t i = 0; i < 3 * n; i++)
            part[i] = doubt_of(model, i % n) == doubt ? slope[i] : 0;
        mtmi_slopes_carry(model->doubt->covariance, n, part, product);
        mtm_covariance covariance = mtmi_slopes_close(n, part, product);
        if (doubt == MTM_DOUBT_CURVE)
            mtmi_light_bends(model, code, dimmer, model->doubt->dead, &covariance);
        double spread = spread_uv(xyz, &covariance);
        if (mtmi_exceeds(spread, most)) {
            most = spread;
            chief = doubt;
        }
    }
    return chief;
}
