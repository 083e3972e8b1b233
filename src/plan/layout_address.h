/* SPDX-License-Identifier: MIT */
/* Addresses: universe and start address for blocks of slots. */
#ifndef METAMER_PLAN_LAYOUT_ADDRESS_H
#define METAMER_PLAN_LAYOUT_ADDRESS_H

#include <metamer/layout.h>

#include "plan/layout_block.h"

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
