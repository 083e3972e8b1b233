/* SPDX-License-Identifier: MIT */
/* Packing: blocks of slots into free stretches of universes, in the order given where that costs
 * nothing. */
#ifndef METAMER_PLAN_LAYOUT_BINS_H
#define METAMER_PLAN_LAYOUT_BINS_H

#include <metamer/base.h>

/** Belongs to no group. */
#define MTMI_GROUP_NONE UINT32_MAX
/** May go into any universe. */
#define MTMI_ANY_UNIVERSE UINT32_MAX
/** Slots of an empty universe. */
#define MTMI_UNIVERSE_SLOTS 512

/** A block of slots to be placed. */
typedef struct mtmi_pack_item {
    int size;       /**< 1..512 */
    uint32_t group; /**< members of one group stand next to each other in the order given */
    uint32_t only;  /**< index of the universe it must go to, or MTMI_ANY_UNIVERSE */
} mtmi_pack_item;

/** A free stretch of a universe in use. */
typedef struct mtmi_pack_bin {
    int start; /**< first free address */
    int room;  /**< free slots from there */
    uint32_t universe;
} mtmi_pack_bin;

/** A universe in use before anything is placed. */
typedef struct mtmi_pack_universe {
    int last; /**< last slot in use, 0 for none */
    int used; /**< slots in use */
} mtmi_pack_universe;

/** What is to be packed. Universes and groups are indices from 0; new universes count on from
 *  universe_count, and bin bin_count + j is all of new universe j. */
typedef struct mtmi_pack {
    const mtmi_pack_item *items;
    size_t count;
    const mtmi_pack_bin *bins; /**< by universe, then by start */
    size_t bin_count;
    const mtmi_pack_universe *universes;
    size_t universe_count;
    uint32_t group_count;
    /** (group << 32 | universe) where a group already stands; ascending, each once */
    const uint64_t *stands;
    size_t stand_count;
} mtmi_pack;

/** What a packing costs, the first first. */
typedef struct mtmi_pack_cost {
    size_t opened;  /**< new universes */
    size_t touches; /**< pairs of a group and a universe it stands in */
    size_t gaps;    /**< free slots below the last used one of each universe */
} mtmi_pack_cost;

/** A packing: the bin of each item. */
typedef struct mtmi_pack_answer {
    size_t *bin; /**< count places, the caller's */
    mtmi_pack_cost cost;
    mtmi_pack_cost least; /**< no packing costs less */
    bool found;
    bool fewest_universes; /**< no packing opens fewer */
    bool fewest_touches;   /**< and none of those keeps groups better together */
} mtmi_pack_answer;

/** True if a is better than b. */
bool mtmi_pack_better(mtmi_pack_cost a, mtmi_pack_cost b);

/** The first bin of a universe, or of the next one that has any. */
size_t mtmi_pack_first_bin(const mtmi_pack *pack, uint32_t universe);

/** Costs of a packing; false if out of memory. */
bool mtmi_pack_price(const mtmi_pack *pack, const size_t *bin, mtmi_pack_cost *cost);

/** The least new universes and touches that any packing has; false if out of memory. With hard, by
 *  the linear relaxation too, which takes longer. */
bool mtmi_pack_bound(const mtmi_pack *pack, bool hard, mtmi_pack_cost *least);

/** First fit of runs of items: run r is items first[r]..first[r+1]-1 and stays whole; runs are
 *  tried in order[]. False if out of memory; bins are SIZE_MAX where nothing fits. */
bool mtmi_pack_first_fit(const mtmi_pack *pack, const size_t *first, size_t run_count,
                         const size_t *order, size_t *bin);

/** Group after group into bin after bin, so that little more than the ends of bins part a group;
 *  opened is the number of new universes aimed at. False if out of memory; bins are SIZE_MAX where
 *  an item must go to one universe. */
bool mtmi_pack_row(const mtmi_pack *pack, size_t opened, size_t *bin);

/** Fills bin after bin as completely as can be, the largest items first. False if out of memory. */
bool mtmi_pack_fill(const mtmi_pack *pack, size_t *bin);

/** The same with the free slots spread evenly over a wanted number of new universes. */
bool mtmi_pack_fill_evenly(const mtmi_pack *pack, size_t universes, size_t *bin);

/** Tries everything within a budget of steps, improving *answer. Runs as for first fit. True if
 *  the search was complete: nothing better exists with whole runs. */
bool mtmi_pack_search(const mtmi_pack *pack, const size_t *first, size_t run_count,
                      mtmi_pack_answer *answer);

/** The whole: the best of all methods. MTM_MEMORY or MTM_OK; see answer->found. */
MTM_CHECKED mtm_result mtmi_pack_solve(const mtmi_pack *pack, mtmi_pack_answer *answer,
                                       mtm_error *error);

#endif
