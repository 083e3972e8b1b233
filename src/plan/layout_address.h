/* SPDX-License-Identifier: MIT */
/* Addresses: universe and start address for blocks of slots. */
#ifndef METAMER_PLAN_LAYOUT_ADDRESS_H
#define METAMER_PLAN_LAYOUT_ADDRESS_H

#include <metamer/layout.h>

#include "plan/layout_bins.h"

/** A block of slots: what one unit takes. */
typedef struct mtmi_block {
    const char *name; /**< for errors */
    int slots;
    uint32_t group; /**< such as the index of a supply; MTMI_GROUP_NONE: on its own */
    int universe;   /**< 0: open */
    int address;    /**< 0: open; where set, universe is set too */
} mtmi_block;

/**
 * Gives every open block an address: no gap, no overlap, none over the end of a universe; as few
 * universes as can be found, groups together, and otherwise in the order given. Universes in use
 * are filled first, then the lowest numbers from first_universe that are free.
 * Checks fixed blocks: in range, none over the end, no two overlap (MTM_RANGE, both named).
 * Blocks are changed on MTM_OK only. Memory and time grow with count (log count).
 */
MTM_CHECKED mtm_result mtmi_address_blocks(mtmi_block *blocks, size_t count, int first_universe,
                                           mtm_address_report *report, mtm_error *error);

#endif
