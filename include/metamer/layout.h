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
    bool universes_proven;  /**< no layout uses fewer than this one */
    size_t groups;          /**< supplies that have slots */
    size_t groups_split;    /**< supplies whose units stand in more universes than they must */
    bool splits_proven;     /**< no layout in as few universes keeps supplies better together */
    size_t gap_slots;       /**< free slots below the last used one, summed over universes */
} mtm_address_report;

/** How well the ports are filled. */
typedef struct mtm_port_report {
    size_t supplies;       /**< supplies in use */
    size_t supplies_least; /**< no layout with the given fixed ports uses fewer */
    bool supplies_proven;  /**< no layout uses fewer than this one */
    double peak;           /**< the largest part of its rating that a port or a supply carries */
    double peak_least;     /**< no layout on as many supplies has a smaller one */
    bool peak_proven;      /**< none on as many supplies has a smaller one than this */
} mtm_port_report;

MTM_END
#endif
