/* SPDX-License-Identifier: MIT */
/* Ports inside: loads, and the quick and the complete way of spreading units over them. */
#ifndef METAMER_PLAN_LAYOUT_PORTS_H
#define METAMER_PLAN_LAYOUT_PORTS_H

#include "plan/layout_port_plan.h"

/** Where one unit hangs: a supply and a port from 1. */
typedef struct mtmi_plug {
    int supply, port;
} mtmi_plug;

/** What decides whether and how well another unit goes on a supply's lightest port. */
typedef struct mtmi_light {
    int port;      /**< carries least and takes more; 0: none */
    double spare;  /**< watts that it may carry more, by its own and the supply's rating */
    double port_w; /**< what it carries */
    double port_part, supply_part; /**< of a rating, by watt */
} mtmi_light;

/** What the ports and supplies carry. Port p of supply s is number base[s] + p - 1. */
typedef struct mtmi_loads {
    const mtm_supply *supplies;
    size_t supply_count;
    size_t *base;      /**< supply_count + 1 places */
    double *port_w;    /**< by port */
    int *port_units;   /**< by port */
    double *supply_w;  /**< by supply */
    int *units;        /**< by supply */
    mtmi_light *light; /**< by supply */
} mtmi_loads;

/** What is to be spread: units with fixed ports are in the loads already. */
typedef struct mtmi_spread {
    const mtmi_feed *feeds;
    const size_t *open; /**< indices of feeds without a port, the most watts first */
    size_t open_count;
    mtmi_loads loads;
    bool *bound; /**< by supply: in use whatever happens */
    size_t bound_count;
    size_t least; /**< no fewer supplies */
} mtmi_spread;

/** A way of spreading. */
typedef struct mtmi_spread_answer {
    mtmi_plug *plug; /**< by open unit, the caller's */
    size_t supplies;
    double peak;
    bool found;
} mtmi_spread_answer;

/** True if a load of watts more keeps within a rating. */
bool mtmi_watts_fit(double load, double watts, double rating);
/** True if the unit may be hung there. */
bool mtmi_loads_fit(const mtmi_loads *loads, mtmi_plug plug, double watts);
/** Hangs (sign 1) or takes away (sign -1) a unit. */
void mtmi_loads_add(mtmi_loads *loads, mtmi_plug plug, double watts, int sign);
/** Finds the lightest port of a supply again. */
void mtmi_loads_find_light(mtmi_loads *loads, size_t supply);
/** Supplies that carry units. */
size_t mtmi_loads_supplies(const mtmi_loads *loads);
/** The largest part of a rating that a port or a supply carries. */
double mtmi_loads_peak(const mtmi_loads *loads);

/** How a unit's place is chosen. */
typedef enum mtmi_spread_rule {
    MTMI_SPREAD_TIGHT, /**< the first supply and port that fit */
    MTMI_SPREAD_EVEN   /**< where the largest part of a rating in use stays smallest */
} mtmi_spread_rule;

/** Spreads by a rule over the supplies in order[]. Fills *answer if every unit finds a place. */
void mtmi_spread_quick(mtmi_spread *spread, mtmi_spread_rule rule, const size_t *order,
                       size_t order_count, mtmi_spread_answer *answer);

/** Fills the supplies in order[] one after the other as completely as can be, where no unit is
 * bound to one and watts are few and round; answer->found is false otherwise. */
void mtmi_spread_fill(mtmi_spread *spread, const size_t *order, size_t order_count,
                      mtmi_spread_answer *answer);

/** Tries everything within a budget of steps, improving *answer; true if nothing was left out. */
bool mtmi_spread_search(mtmi_spread *spread, double peak_least, mtmi_spread_answer *answer);

/** Gives plugs of equal worth to units in the order of the file: equal units, supplies with equal
 *  ratings, the ports of a supply. Loads as a set stay what they are. False if out of memory. */
bool mtmi_spread_tidy(const mtmi_spread *spread, mtmi_plug *plug);

#endif
