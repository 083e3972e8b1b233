/* SPDX-License-Identifier: MIT */
/* Blocks of slots, and what is wrong with those that cannot stand where they must. */
#ifndef METAMER_PLAN_LAYOUT_BLOCK_H
#define METAMER_PLAN_LAYOUT_BLOCK_H

#include <metamer/layout.h>

#include "plan/layout_pack.h"

/** A block of slots: what one unit takes. */
typedef struct mtmi_block {
    const char *name; /**< for errors */
    int slots;
    uint32_t group; /**< such as the index of a supply; MTMI_GROUP_NONE: on its own */
    int universe;   /**< 0: open */
    int address;    /**< 0: open; where set, universe is set too */
} mtmi_block;

/** MTM_RANGE if a block is too wide or its place is none, or it runs over the end of its universe.
 */
MTM_CHECKED mtm_result mtmi_block_check(const mtmi_block *block, mtm_error *error);

/** MTM_RANGE if the first of two blocks with addresses runs into the second. */
MTM_CHECKED mtm_result mtmi_blocks_apart(const mtmi_block *a, const mtmi_block *b,
                                         mtm_error *error);

/** MTM_RANGE, or MTM_MEMORY: names the first block that has no place in its universe by itself or
 * with those that must be beside it. Pieces of pack are single blocks: piece i is blocks[open[i]].
 */
mtm_result mtmi_blocks_no_place(const mtmi_block *blocks, const size_t *open, const mtmi_pack *pack,
                                mtm_error *error);

/** The universes that so many slots take at least. */
size_t mtmi_universes_for(size_t slots);

/** Slots by group, from the pool, and how many groups there are; NULL if out of memory. */
size_t *mtmi_blocks_group_slots(mtmi_pool *pool, const mtmi_block *blocks, size_t count,
                                uint32_t *group_count);

/** Counts the groups, and those that stand in more universes than their slots need. Every block has
 * an address; keys has a place for each. */
void mtmi_blocks_count_groups(const mtmi_block *blocks, size_t count, const size_t *group_slots,
                              uint64_t *keys, mtm_address_report *report);

#endif
