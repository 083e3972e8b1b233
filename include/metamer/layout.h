/* SPDX-License-Identifier: MIT */
/* Layout: supplies, ports, universes and addresses for the units of a rig. */
#ifndef METAMER_LAYOUT_H
#define METAMER_LAYOUT_H

#include <metamer/base.h>
#include <metamer/rig.h>

MTM_BEGIN

/** How well the addresses are packed. */
typedef struct mtm_address_report {
    size_t slots;           /**< slots that units listen to, each counted once */
    size_t universes;       /**< universes in use */
    size_t universes_least; /**< no layout with the given fixed addresses uses fewer */
    bool universes_proven;  /**< no layout with them uses fewer than this one */
    size_t groups;          /**< supplies that have slots */
    size_t groups_split;    /**< supplies whose units stand in more universes than they must */
    bool splits_proven;     /**< no layout in as few universes keeps supplies better together */
    size_t gap_slots;       /**< free slots below the last used one, summed over universes */
} mtm_address_report;

/** How well the ports are filled. */
typedef struct mtm_port_report {
    size_t supplies;       /**< supplies in use */
    size_t supplies_least; /**< no layout with the given fixed ports uses fewer */
    bool supplies_proven;  /**< no layout with them uses fewer than this one */
    double peak;           /**< the largest part of its rating that a port or a supply carries */
    double peak_least;     /**< no layout on as many supplies has a smaller one */
    bool peak_proven;      /**< none on as many supplies has a smaller one than this */
} mtm_port_report;

/** How a layout came out. A plain value. */
typedef struct mtm_layout_report {
    mtm_address_report address; /**< of the addresses */
    /** universes that the units would take if every address were open: a number that was reached */
    size_t universes_renumbered;
    size_t open_addresses; /**< units that had no address, those that follow apart */
    bool has_ports;        /**< false: the rig has no supplies, port is zeroed */
    mtm_port_report port;  /**< of the ports */
    size_t open_ports;     /**< units that had no port */
} mtm_layout_report;

/** What a layout keeps to. A plain value; zeroed means the defaults. */
typedef struct mtm_layout_options {
    int first_universe;  /**< lowest new universe; 0: 1 */
    double supply_share; /**< part of each port's and supply's rating to be used, 0..1; 0: all */
} mtm_layout_options;

/** Where the units of a rig are as its file says; place has one for each unit. */
MTM_API void mtm_layout_places(const mtm_rig *rig, mtm_place *place);

/**
 * Moves one unit among places: to an address where wanted.address is set (wanted.universe too), to
 * a supply where wanted.supply is not -1. What else of it is open in wanted stays as it is, but a
 * move to another supply without a port opens the port. Units on the slots that it now takes lose
 * their address.
 *
 * @return MTM_OK; MTM_INVALID (the unit follows another, the place is out of range); place is then
 *         untouched
 */
MTM_API MTM_CHECKED mtm_result mtm_layout_move(const mtm_rig *rig, mtm_place *place, size_t unit,
                                               mtm_place wanted, mtm_error *error);

/**
 * Gives every open unit a port, then an address. Ports: under the ratings, on as few supplies as
 * can be found, loads even. Addresses: no gap, no overlap, no unit over the end of a universe; as
 * few universes as can be found, units of one supply together, in the order of supply, port and
 * file. Both are the optimum for small rigs; for others the report says how far from a bound they
 * are. Watts of a unit are mtm_demand_full_w().
 *
 * Ratings on the equipment and the local electrical code decide, not this.
 *
 * Nothing is kept between calls and no library is loaded: threads may lay out at the same time,
 * each with places of its own, while none changes the rig. The answer is the same on every machine;
 * no budget is a time. A hundred thousand units take about a second, some dozens a few tenths.
 *
 * @param place one for each unit, in and out; changed on MTM_OK only
 * @return MTM_OK; MTM_INVALID: a place that the rig has not; MTM_RANGE: it cannot be done, or fixed
 * places overlap or overload: the sentence names the units; MTM_LIMIT; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_layout_fill(const mtm_rig *rig,
                                               const mtm_layout_options *options, mtm_place *place,
                                               mtm_layout_report *report, mtm_error *error);

/** Writes places into the rig, and checks it. MTM_OK; MTM_INVALID as of mtm_rig_set_place;
 *  MTM_PARSE as of mtm_rig_check; MTM_MEMORY. */
MTM_API MTM_CHECKED mtm_result mtm_layout_apply(mtm_rig *rig, const mtm_place *place,
                                                mtm_error *error);

MTM_END
#endif
