/* SPDX-License-Identifier: MIT */
/* Port bounds: what no way of feeding units from supplies can do better. */
#ifndef METAMER_PLAN_LAYOUT_PORT_BOUND_H
#define METAMER_PLAN_LAYOUT_PORT_BOUND_H

#include <metamer/rig.h>

#include "plan/layout_bound.h"

/** What is to be fed, and from what. */
typedef struct mtmi_port_demand {
    const mtm_supply *supplies;
    const size_t *order; /**< of supplies: those in use whatever happens first */
    size_t supply_count, bound_count;
    const mtmi_size_run *runs; /**< watts of all units, the most first, none twice */
    size_t run_count, unit_count;
    double watts;      /**< of all units */
    double fixed_peak; /**< largest part of a rating that units with fixed ports use */
} mtmi_port_demand;

/** Watts that a supply carries at most. */
double mtmi_supply_watts(const mtm_supply *supply);

/** The least number of supplies that is not ruled out; one more than there are if all are. False if
 *  out of memory. */
bool mtmi_supplies_at_least(const mtmi_port_demand *demand, size_t *least);

/** No way on so many supplies has a smaller largest part of a rating in use. False if out of
 * memory. */
bool mtmi_peak_at_least(const mtmi_port_demand *demand, size_t supplies, double *least);

#endif
