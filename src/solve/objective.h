/* SPDX-License-Identifier: MIT */
/* Objective: how far a mixture is from its reference, as residuals whose mean length is made least.
 */
#ifndef METAMER_SOLVE_OBJECTIVE_H
#define METAMER_SOLVE_OBJECTIVE_H

#include "solve/feasible_set.h"

/** Most residuals of a objective: three a sample. */
#define MTMI_RESIDUALS_MAX (3 * MTM_CES_COUNT)

/** What a mixture is measured by: the mean length of groups of residuals, 0 at best. */
struct mtmi_objective {
    const mtmi_quality_kernel *kernel;
    mtm_index index;
    size_t groups, width;
    mtmi_quality_reference reference;
};

MTM_CHECKED mtm_result mtmi_objective_prepare(const struct mtmi_feasible_set *feasible,
                                              mtm_index index, const mtm_spectrum *reference,
                                              struct mtmi_objective *objective, mtm_error *error);
/** Residuals of the mixture x, group by group; false where the light cannot be judged. */
bool mtmi_objective_residuals(const struct mtmi_objective *objective,
                              const struct mtmi_feasible_set *feasible, const double *x,
                              double *residual);
/** The same; returns their mean length, INFINITY where the light cannot be judged, or where that
 *  length is not below limit (INFINITY: any): then the residuals are not all there. */
double mtmi_objective_at(const struct mtmi_objective *objective,
                         const struct mtmi_feasible_set *feasible, const double *x, double limit,
                         double *residual);
/** The index of a mean length. */
double mtmi_objective_index(const struct mtmi_objective *objective, double mean_residual);

#endif
