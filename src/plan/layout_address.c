/* SPDX-License-Identifier: MIT */
/* Addresses: universe and start address for blocks of slots. */
#include "plan/layout_address.h"

#include "base/error.h"

#include <stdlib.h>
#include <string.h>

/* Everything made on the way from blocks to a packing and back. */
typedef struct work {
    mtmi_block *blocks;
    size_t count;
    int first_universe;
    size_t *fixed; /* blocks with an address, by universe and address */
    size_t fixed_count;
    size_t *open; /* blocks without, by group and then in the order given */
    size_t open_count;
    int *number; /* universe numbers in use, ascending */
    size_t number_count;
    mtmi_pack_universe *universes;
    mtmi_pack_bin *bins;
    mtmi_pack_item *items; /* by open block */
    uint64_t *stands;
    size_t *bin; /* the answer */
    int *opened; /* numbers of new universes */
    int *next;   /* next free address by bin */
    mtmi_pack pack;
} work;

static void work_free(work *w)
{
    free(w->next);
    free(w->opened);
    free(w->bin);
    free(w->stands);
    free(w->items);
    free(w->bins);
    free(w->universes);
    free(w->number);
    free(w->open);
    free(w->fixed);
}

static bool work_create(work *w)
{
    size_t most = w->count + 1;

    w->fixed = malloc(most * sizeof *w->fixed);
    w->open = malloc(most * sizeof *w->open);
    w->number = malloc(most * sizeof *w->number);
    w->universes = calloc(most, sizeof *w->universes);
    w->bins = malloc(2 * most * sizeof *w->bins); /* one before each fixed block, one behind */
    w->items = malloc(most * sizeof *w->items);
    w->stands = malloc(most * sizeof *w->stands);
    w->bin = malloc(most * sizeof *w->bin);
    w->opened = malloc(most * sizeof *w->opened);
    w->next = malloc(3 * most * sizeof *w->next);
    return w->opened != NULL && w->next != NULL && w->fixed != NULL && w->open != NULL &&
           w->number != NULL && w->universes != NULL && w->bins != NULL && w->items != NULL &&
           w->stands != NULL && w->bin != NULL;
}

static mtm_result check_block(const mtmi_block *block, mtm_error *error)
{
    if (block->slots < 1 || block->slots > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_RANGE,
                         "unit \"%s\" takes %d slots; a universe has 512 and a unit is not split",
                         block->name, block->slots);
    if (block->universe < 0 || block->universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_RANGE, "unit \"%s\" is in universe %d; allowed are 1 to 63999",
                         block->name, block->universe);
    if (block->address < 0 || block->address > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_RANGE, "unit \"%s\" has address %d; allowed are 1 to 512",
                         block->name, block->address);
    if (block->address > 0 && block->universe == 0)
        return mtmi_fail(error, MTM_RANGE, "unit \"%s\" has address %d but no universe",
                         block->name, block->address);
    if (block->address > 0 && block->address + block->slots - 1 > MTM_ADDRESS_MAX)
        return mtmi_fail(error, MTM_RANGE,
                         "unit \"%s\" takes %d slots from address %d of universe %d, over the end "
                         "of the universe; the last address it may have is %d",
                         block->name, block->slots, block->address, block->universe,
                         MTM_ADDRESS_MAX - block->slots + 1);
    return MTM_OK;
}

/* Sorting keys with the index in the low half: stable, and without a comparison that needs context.
 */
static int ascending(const void *a, const void *b)
{
    uint64_t x = *(const uint64_t *)a;
    uint64_t y = *(const uint64_t *)b;

    return x < y ? -1 : x > y;
}

static bool sort_indices(const work *w, size_t *list, size_t count,
                         uint32_t (*key)(const mtmi_block *))
{
    uint64_t *keys = malloc((count + 1) * sizeof *keys);

    if (keys == NULL)
        return false;
    for (size_t i = 0; i < count; i++)
        keys[i] = (uint64_t)key(&w->blocks[list[i]]) << 32 | list[i];
    qsort(keys, count, sizeof *keys, ascending);
    for (size_t i = 0; i < count; i++)
        list[i] = (size_t)(keys[i] & UINT32_MAX);
    free(keys);
    return true;
}

static uint32_t key_of_place(const mtmi_block *block)
{
    return (uint32_t)block->universe * 1024 + (uint32_t)block->address;
}

static uint32_t key_of_group(const mtmi_block *block)
{
    return block->group;
}

static mtm_result sort_blocks(work *w, mtm_error *error)
{
    for (size_t i = 0; i < w->count; i++) {
        if (w->blocks[i].address > 0)
            w->fixed[w->fixed_count++] = i;
        else
            w->open[w->open_count++] = i;
    }
    if (!sort_indices(w, w->fixed, w->fixed_count, key_of_place) ||
        !sort_indices(w, w->open, w->open_count, key_of_group))
        return mtmi_fail_memory(error);
    for (size_t i = 1; i < w->fixed_count; i++) {
        const mtmi_block *a = &w->blocks[w->fixed[i - 1]];
        const mtmi_block *b = &w->blocks[w->fixed[i]];
        if (a->universe == b->universe && b->address < a->address + a->slots)
            return mtmi_fail(error, MTM_RANGE,
                             "units \"%.100s\" (slots %d to %d) and \"%.100s\" (slots %d to %d) "
                             "overlap in universe %d; a unit that shares another's slots says "
                             "which it \"follows\"",
                             a->name, a->address, a->address + a->slots - 1, b->name, b->address,
                             b->address + b->slots - 1, a->universe);
    }
    return MTM_OK;
}

static int by_number(const void *a, const void *b)
{
    return *(const int *)a - *(const int *)b;
}

/* Universes that fixed addresses or wishes name. */
static void list_universes(work *w)
{
    size_t unique = 0;

    for (size_t i = 0; i < w->count; i++) {
        if (w->blocks[i].universe > 0)
            w->number[w->number_count++] = w->blocks[i].universe;
    }
    qsort(w->number, w->number_count, sizeof *w->number, by_number);
    for (size_t i = 0; i < w->number_count; i++) {
        if (i == 0 || w->number[i] != w->number[i - 1])
            w->number[unique++] = w->number[i];
    }
    w->number_count = unique;
}

static uint32_t index_of_universe(const work *w, int universe)
{
    size_t low = 0;
    size_t high = w->number_count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (w->number[middle] < universe)
            low = middle + 1;
        else
            high = middle;
    }
    return (uint32_t)low;
}

static void add_bin(work *w, uint32_t universe, int start, int end)
{
    if (end >= start)
        w->bins[w->pack.bin_count++] =
            (mtmi_pack_bin){.start = start, .room = end - start + 1, .universe = universe};
}

/* The free stretches before, between and behind the fixed blocks of each universe. */
static void list_bins(work *w)
{
    size_t f = 0;

    for (uint32_t u = 0; u < w->number_count; u++) {
        mtmi_pack_universe *universe = &w->universes[u];
        while (f < w->fixed_count && w->blocks[w->fixed[f]].universe == w->number[u]) {
            const mtmi_block *block = &w->blocks[w->fixed[f++]];
            add_bin(w, u, universe->last + 1, block->address - 1);
            universe->last = block->address + block->slots - 1;
            universe->used += block->slots;
        }
        add_bin(w, u, universe->last + 1, MTM_ADDRESS_MAX);
    }
}

static void list_items(work *w)
{
    for (size_t i = 0; i < w->open_count; i++) {
        const mtmi_block *block = &w->blocks[w->open[i]];
        uint32_t only =
            block->universe > 0 ? index_of_universe(w, block->universe) : MTMI_ANY_UNIVERSE;
        w->items[i] = (mtmi_pack_item){.size = block->slots, .group = block->group, .only = only};
    }
}

static void list_stands(work *w)
{
    size_t used = 0;
    size_t unique = 0;

    for (size_t i = 0; i < w->fixed_count; i++) {
        const mtmi_block *block = &w->blocks[w->fixed[i]];
        if (block->group != MTMI_GROUP_NONE)
            w->stands[used++] =
                (uint64_t)block->group << 32 | index_of_universe(w, block->universe);
    }
    qsort(w->stands, used, sizeof *w->stands, ascending);
    for (size_t i = 0; i < used; i++) {
        if (i == 0 || w->stands[i] != w->stands[i - 1])
            w->stands[unique++] = w->stands[i];
    }
    w->pack.stand_count = unique;
}

static void make_pack(work *w)
{
    list_universes(w);
    list_bins(w);
    list_items(w);
    list_stands(w);
    for (size_t i = 0; i < w->count; i++) {
        uint32_t group = w->blocks[i].group;
        if (group != MTMI_GROUP_NONE && group >= w->pack.group_count)
            w->pack.group_count = group + 1;
    }
    w->pack.items = w->items;
    w->pack.count = w->open_count;
    w->pack.bins = w->bins;
    w->pack.universes = w->universes;
    w->pack.universe_count = w->number_count;
    w->pack.stands = w->stands;
}

/* Free slots of a universe and its largest free stretch. */
static void measure_universe(const work *w, uint32_t universe, int *room, int *largest)
{
    size_t b = mtmi_pack_first_bin(&w->pack, universe);

    *largest = 0;
    *room = MTM_ADDRESS_MAX - w->universes[universe].used;
    for (; b < w->pack.bin_count && w->bins[b].universe == universe; b++)
        *largest = w->bins[b].room > *largest ? w->bins[b].room : *largest;
}

/* Slots of the open blocks that must be in each universe in use. */
static void sum_wanted(const work *w, uint64_t *wanted)
{
    for (size_t u = 0; u < w->number_count; u++)
        wanted[u] = 0;
    for (size_t i = 0; i < w->open_count; i++) {
        const mtmi_block *block = &w->blocks[w->open[i]];
        if (block->universe > 0)
            wanted[index_of_universe(w, block->universe)] += (uint64_t)block->slots;
    }
}

/* Names the first block that has no place by itself or with those that must be beside it. */
static mtm_result fail_no_place(const work *w, mtm_error *error)
{
    uint64_t *wanted = w->stands; /* of no more use */

    sum_wanted(w, wanted);
    for (size_t i = 0; i < w->open_count; i++) {
        const mtmi_block *block = &w->blocks[w->open[i]];
        int room = 0;
        int largest = 0;
        if (block->universe == 0)
            continue;
        uint32_t u = index_of_universe(w, block->universe);
        measure_universe(w, u, &room, &largest);
        if (largest < block->slots)
            return mtmi_fail(error, MTM_RANGE,
                             "unit \"%s\" takes %d slots and must be in universe %d, which has %d "
                             "free slots, at most %d in one piece",
                             block->name, block->slots, block->universe, room, largest);
        if (wanted[u] > (uint64_t)room)
            return mtmi_fail(error, MTM_RANGE,
                             "the units that must be in universe %d, from \"%s\" on, take %llu "
                             "slots, and %d are free there",
                             block->universe, block->name, (unsigned long long)wanted[u], room);
    }
    return mtmi_fail(error, MTM_RANGE,
                     "no place was found for all units that must be in a stated universe; leave "
                     "the universe of some of them open");
}

/* Numbers for new universes, in the order in which their first block stands. */
static mtm_result number_universes(work *w, size_t opened, mtm_error *error)
{
    int next = w->first_universe;

    for (size_t j = 0; j < opened; j++)
        w->opened[j] = 0;
    for (size_t i = 0; i < w->open_count; i++) {
        if (w->bin[i] < w->pack.bin_count)
            continue;
        int *number = &w->opened[w->bin[i] - w->pack.bin_count];
        if (*number != 0)
            continue;
        for (uint32_t u = index_of_universe(w, next); u < w->number_count && w->number[u] == next;
             u++)
            next++;
        if (next > MTM_UNIVERSE_MAX)
            return mtmi_fail(error, MTM_LIMIT,
                             "the units take %zu more universes from %d on; the last one is 63999",
                             opened, w->first_universe);
        *number = next++;
    }
    return MTM_OK;
}

static void give_addresses(work *w, size_t opened)
{
    for (size_t b = 0; b < w->pack.bin_count + opened; b++)
        w->next[b] = b < w->pack.bin_count ? w->bins[b].start : 1;
    for (size_t i = 0; i < w->open_count; i++) {
        mtmi_block *block = &w->blocks[w->open[i]];
        size_t b = w->bin[i];
        block->universe = b < w->pack.bin_count ? w->number[w->bins[b].universe]
                                                : w->opened[b - w->pack.bin_count];
        block->address = w->next[b];
        w->next[b] += block->slots;
    }
}

/* (group, universe) of every block that has a group, ascending; returns their number. */
static size_t list_pairs(const work *w, uint64_t *pairs)
{
    size_t used = 0;

    for (size_t i = 0; i < w->fixed_count; i++) {
        const mtmi_block *block = &w->blocks[w->fixed[i]];
        pairs[used] = (uint64_t)block->group << 32 | index_of_universe(w, block->universe);
        used += block->group != MTMI_GROUP_NONE;
    }
    for (size_t i = 0; i < w->open_count; i++) {
        uint32_t group = w->blocks[w->open[i]].group;
        uint64_t universe = w->bin[i] < w->pack.bin_count
                                ? w->bins[w->bin[i]].universe
                                : w->number_count + (w->bin[i] - w->pack.bin_count);
        pairs[used] = (uint64_t)group << 32 | universe;
        used += group != MTMI_GROUP_NONE;
    }
    qsort(pairs, used, sizeof *pairs, ascending);
    return used;
}

/* Groups that have slots, and those that stand in more universes than their slots need. */
static bool count_groups(const work *w, mtm_address_report *report)
{
    uint64_t *pairs = malloc((w->count + 1) * sizeof *pairs);
    size_t *slots = calloc((size_t)w->pack.group_count + 1, sizeof *slots);

    if (pairs != NULL && slots != NULL) {
        size_t used = list_pairs(w, pairs);
        for (size_t i = 0; i < w->count; i++) {
            if (w->blocks[i].group != MTMI_GROUP_NONE)
                slots[w->blocks[i].group] += (size_t)w->blocks[i].slots;
        }
        for (size_t i = 0; i < used;) {
            uint64_t group = pairs[i] >> 32;
            size_t stands = 1;
            for (i++; i < used && pairs[i] >> 32 == group; i++)
                stands += pairs[i] != pairs[i - 1];
            report->groups++;
            report->groups_split += stands > (slots[group] + MTM_ADDRESS_MAX - 1) / MTM_ADDRESS_MAX;
        }
    }
    bool done = pairs != NULL && slots != NULL;
    free(slots);
    free(pairs);
    return done;
}

static mtm_result solve(work *w, mtm_address_report *report, mtm_error *error)
{
    mtmi_pack_answer answer = {.bin = w->bin};
    mtm_address_report made = {0};

    mtm_result result = mtmi_pack_solve(&w->pack, &answer, error);
    if (result != MTM_OK)
        return result;
    if (!answer.found)
        return fail_no_place(w, error);
    made.universes = w->number_count + answer.cost.opened;
    made.universes_proven = answer.fewest_universes;
    made.universes_least =
        answer.fewest_universes ? made.universes : w->number_count + answer.least.opened;
    made.splits_proven = answer.fewest_touches;
    made.gap_slots = answer.cost.gaps;
    for (size_t i = 0; i < w->count; i++)
        made.slots += (size_t)w->blocks[i].slots;
    result = number_universes(w, answer.cost.opened, error);
    if (result != MTM_OK)
        return result;
    if (!count_groups(w, &made))
        return mtmi_fail_memory(error);
    give_addresses(w, answer.cost.opened);
    *report = made;
    return MTM_OK;
}

mtm_result mtmi_address_blocks(mtmi_block *blocks, size_t count, int first_universe,
                               mtm_address_report *report, mtm_error *error)
{
    work w = {.blocks = blocks, .count = count, .first_universe = first_universe};
    mtm_result result = MTM_OK;

    if (count >= UINT32_MAX || first_universe < 1 || first_universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_INVALID, "the first universe is %d; allowed are 1 to 63999",
                         first_universe);
    for (size_t i = 0; i < count && result == MTM_OK; i++)
        result = check_block(&blocks[i], error);
    if (result == MTM_OK && !work_create(&w))
        result = mtmi_fail_memory(error);
    if (result == MTM_OK)
        result = sort_blocks(&w, error);
    if (result == MTM_OK) {
        make_pack(&w);
        result = solve(&w, report, error);
    }
    work_free(&w);
    return result;
}
