/* SPDX-License-Identifier: MIT */
/* Unit model inside: the loads that sharing goes by, and drift with level. */
#ifndef METAMER_UNIT_MODEL_INSIDE_H
#define METAMER_UNIT_MODEL_INSIDE_H

#include <metamer/unit_model.h>

/** What the units of a fixture give as far as its file says: curves and full light, shared only
 * where the fixture has to hold its power limit. Curves stay the fixture's. */
mtm_unit_model mtmi_unit_model_of(const mtm_fixture *fixture);

/** The load that sharing goes by: 0 for one emitter at full alone, 1 for all at full. */
double mtmi_droop_demand(const mtm_unit_model *model, const double *level);
/** The load of all others than one emitter: 0 for it alone, 1 for all others at full. */
double mtmi_others_demand(const mtm_unit_model *model, const double *level, size_t emitter);
/** Share of the full electrical load, 0..1. */
double mtmi_limit_demand(const mtm_unit_model *model, const double *level);
/** What is left of each emitter when these levels are lit together, 0..1. */
double mtmi_sharing_factor(const mtm_unit_model *model, const double *level);
/** How far an emitter's XYZ at a level are from its XYZ at full, per unit of level. */
mtm_xyz mtmi_drift_offset(const mtm_unit_emitter *emitter, double level);

#endif
