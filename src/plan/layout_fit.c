/* SPDX-License-Identifier: MIT */
/* Packing by rules that are quick: first fit of whole runs, and filling one bin after the other. */
#include "plan/layout_bins.h"
#include "plan/layout_queue.h"

#include <stdlib.h>

/* A binary tree over bins whose nodes hold the most room below them: the first bin with enough room
 * is found in logarithmic time. Leaves past the free stretches are universes not yet opened. */
typedef struct room_tree {
    int *most;
    size_t leaves; /* a power of two */
} room_tree;

static bool tree_create(const mtmi_pack *pack, size_t fresh, room_tree *tree)
{
    size_t bins = pack->bin_count + fresh;

    tree->leaves = 1;
    while (tree->leaves < bins)
        tree->leaves *= 2;
    tree->most = calloc(tree->leaves * 2, sizeof *tree->most);
    if (tree->most == NULL)
        return false;
    for (size_t i = 0; i < bins; i++)
        tree->most[tree->leaves + i] =
            i < pack->bin_count ? pack->bins[i].room : MTMI_UNIVERSE_SLOTS;
    for (size_t i = tree->leaves - 1; i > 0; i--) {
        int left = tree->most[2 * i];
        int right = tree->most[2 * i + 1];
        tree->most[i] = left > right ? left : right;
    }
    return true;
}

static size_t tree_first(const room_tree *tree, int size)
{
    size_t node = 1;

    if (tree->most[1] < size)
        return SIZE_MAX;
    while (node < tree->leaves) {
        node *= 2;
        if (tree->most[node] < size)
            node++;
    }
    return node - tree->leaves;
}

static void tree_take(room_tree *tree, size_t bin, int size)
{
    size_t node = tree->leaves + bin;

    tree->most[node] -= size;
    for (node /= 2; node > 0; node /= 2) {
        int left = tree->most[2 * node];
        int right = tree->most[2 * node + 1];
        tree->most[node] = left > right ? left : right;
    }
}

/* The first bin with room in the one universe that is allowed. */
static size_t bin_in_universe(const mtmi_pack *pack, const room_tree *tree, uint32_t universe,
                              int size)
{
    size_t i = mtmi_pack_first_bin(pack, universe);

    for (; i < pack->bin_count && pack->bins[i].universe == universe; i++) {
        if (tree->most[tree->leaves + i] >= size)
            return i;
    }
    return SIZE_MAX;
}

static void place_run(const mtmi_pack *pack, room_tree *tree, size_t from, size_t to, size_t *bin)
{
    int size = 0;
    size_t chosen;

    for (size_t i = from; i < to; i++)
        size += pack->items[i].size;
    if (pack->items[from].only != MTMI_ANY_UNIVERSE)
        chosen = bin_in_universe(pack, tree, pack->items[from].only, size);
    else
        chosen = tree_first(tree, size);
    for (size_t i = from; i < to; i++)
        bin[i] = chosen;
    if (chosen != SIZE_MAX)
        tree_take(tree, chosen, size);
}

bool mtmi_pack_first_fit(const mtmi_pack *pack, const size_t *first, size_t run_count,
                         const size_t *order, size_t *bin)
{
    room_tree tree = {0};

    if (!tree_create(pack, run_count, &tree))
        return false;
    for (int turn = 0; turn < 2; turn++) { /* those that must go to one universe choose first */
        for (size_t i = 0; i < run_count; i++) {
            size_t run = order[i];
            bool bound = pack->items[first[run]].only != MTMI_ANY_UNIVERSE;
            if (bound == (turn == 0))
                place_run(pack, &tree, first[run], first[run + 1], bin);
        }
    }
    free(tree.most);
    return true;
}

bool mtmi_pack_fill(const mtmi_pack *pack, size_t *bin)
{
    mtmi_queues queues;

    if (!mtmi_queues_create(pack, &queues))
        return false;
    bool done = mtmi_queues_fill_old(pack, &queues, bin);
    if (done)
        mtmi_queues_fill_new(pack, &queues, 0, bin);
    mtmi_queues_free(&queues);
    return done;
}

bool mtmi_pack_fill_evenly(const mtmi_pack *pack, size_t universes, size_t *bin)
{
    mtmi_queues queues;

    if (!mtmi_queues_create(pack, &queues))
        return false;
    bool done = mtmi_queues_fill_old(pack, &queues, bin) &&
                mtmi_queues_fill_evenly(pack, &queues, universes, bin);
    mtmi_queues_free(&queues);
    return done;
}
