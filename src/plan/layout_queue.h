/* SPDX-License-Identifier: MIT */
/* Queues: items by size, each size in the order given, taken to fill bins. */
#ifndef METAMER_PLAN_LAYOUT_QUEUE_H
#define METAMER_PLAN_LAYOUT_QUEUE_H

#include "plan/layout_bins.h"

/** Items that may go anywhere and are not placed yet. */
typedef struct mtmi_queues {
    size_t start[MTMI_UNIVERSE_SLOTS + 1]; /**< next item of a size in list[] */
    size_t end[MTMI_UNIVERSE_SLOTS + 1];
    size_t *list;
    size_t left;
} mtmi_queues;

/** Queues all items that are not bound to a universe; false if out of memory. */
bool mtmi_queues_create(const mtmi_pack *pack, mtmi_queues *queues);
void mtmi_queues_free(mtmi_queues *queues);

/** How many items of a size are left. */
size_t mtmi_queues_left(const mtmi_queues *queues, int size);

/** Puts the next item of a size, of which there must be one, into a bin. */
void mtmi_queues_take(mtmi_queues *queues, int size, size_t into, size_t *bin);

/** Places bound items, the largest first, and fills the free stretches of universes in use as
 *  completely as can be. bin[i] is SIZE_MAX where item i has no place yet. False if out of memory.
 */
bool mtmi_queues_fill_old(const mtmi_pack *pack, mtmi_queues *queues, size_t *bin);

/** Puts what is left into new universes from new universe number first on: each takes the largest
 *  item left and is then filled as completely as can be. */
void mtmi_queues_fill_new(const mtmi_pack *pack, mtmi_queues *queues, size_t first, size_t *bin);

/** The same where universes new ones are wanted: each filling may leave the free slots that are
 *  left over on the average, and uses the largest items that do so, because small ones fill the
 *  last universes better. False if out of memory. */
bool mtmi_queues_fill_evenly(const mtmi_pack *pack, mtmi_queues *queues, size_t universes,
                             size_t *bin);

#endif
