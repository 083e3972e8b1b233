/* SPDX-License-Identifier: MIT */
/* Load, as all that keeps within ratings sees it. */
#ifndef METAMER_PLAN_DEMAND_H
#define METAMER_PLAN_DEMAND_H

/** Rounding may take a code more than asked; what is lowered aims at this part, which leaves room
 *  for it. */
#define MTMI_DEMAND_HEADROOM 0.998

#endif
