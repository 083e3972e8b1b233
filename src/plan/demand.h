/* SPDX-License-Identifier: MIT */
/* Load, as all that keeps within ratings sees it. */
#ifndef METAMER_PLAN_DEMAND_H
#define METAMER_PLAN_DEMAND_H

#include <metamer/rig.h>

/** Rounding may take a code more than asked; what is lowered aims at this part, which leaves room
 *  for it. */
#define MTMI_DEMAND_HEADROOM 0.998

/** What a factor of a unit's watts is of its light: of a lamp its own law, of all others the same.
 */
double mtmi_demand_light_factor(const mtm_unit *unit, double factor);

#endif
