/* SPDX-License-Identifier: MIT */
/* Doubt: how sure a unit's light is, and what makes it unsure. */
#include "calibrate/slopes.h"

#include "base/number.h"

#include <string.h>

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
