/* SPDX-License-Identifier: MIT */
/* Addresses: universe and start address for blocks of slots.
 *
 * Fixed blocks cut their universes into free stretches; those and as many new universes as could be
 * needed are the bins, the open blocks the pieces. Whole supplies are packed first, because that
 * keeps them together; then single blocks, in a row of supplies and the largest first. Each method
 * ends where the bound shows that nothing is better. Within a bin, blocks stand in the order given.
 * Up to a hundred thousand blocks the time is spent on sorting and on the ends of bins in a row;
 * the search at the end is bounded by its own budget. What a layout costs is compared in
 * layout_pack.c and nowhere else; the numbers of new universes follow from the order, not from the
 * packing. */
#include "plan/layout_address.h"

#include "base/error.h"
#include "plan/layout_bound.h"
#include "plan/layout_columns.h"
#include "plan/layout_pack.h"

/* Everything made on the way from blocks to a packing and back. */
typedef struct work {
    mtmi_block *blocks;
    size_t count;
    int first_universe;
    size_t *fixed; /* blocks with an address, by universe and address */
    size_t fixed_count;
    size_t *open; /* blocks without, by group and then in the order given */
    size_t open_count;
    int *number; /* of each universe in use, ascending; then of each new one, 0: not needed */
    size_t number_count;
    uint64_t *stands; /* (group << 32 | universe) of fixed blocks */
    size_t *group_slots;
    uint64_t *keys;   /* for sorting: what by above, and what or where in the low half */
    size_t *order;    /* pieces, the largest first */
    size_t *trial;    /* bin by piece */
    size_t *best_bin; /* the same, of the best packing of whole supplies or of single blocks */
    size_t *bin;      /* by open block, the best of all */
    mtmi_pool pool;   /* of all these and the pack */
    mtmi_pack pack;
    mtmi_pack_answer best; /* its bins are bin[] */
    bool complete;         /* nothing better exists */
} work;

/* Two bins in a row hold more than one universe's slots, whatever way they were filled. */
static size_t most_new_universes(const work *w)
{
    size_t slots = 0;

    for (size_t i = 0; i < w->count; i++)
        slots += (size_t)w->blocks[i].slots;
    size_t most = 2 * slots / MTM_ADDRESS_MAX + 1;
    return most < w->count ? most : w->count;
}

static bool work_create(work *w)
{
    size_t holders = w->count + most_new_universes(w);
    size_t bins = 2 * w->count + most_new_universes(w); /* before each fixed block and behind */

    w->fixed = mtmi_pool_take(&w->pool, w->count, sizeof *w->fixed);
    w->open = mtmi_pool_take(&w->pool, w->count, sizeof *w->open);
    w->number = mtmi_pool_take(&w->pool, holders, sizeof *w->number);
    w->stands = mtmi_pool_take(&w->pool, w->count, sizeof *w->stands);
    w->keys = mtmi_pool_take(&w->pool, w->count, sizeof *w->keys);
    w->order = mtmi_pool_take(&w->pool, w->count, sizeof *w->order);
    w->trial = mtmi_pool_take(&w->pool, w->count, sizeof *w->trial);
    w->best_bin = mtmi_pool_take(&w->pool, w->count, sizeof *w->best_bin);
    w->bin = mtmi_pool_take(&w->pool, w->count, sizeof *w->bin);
    mtmi_pack_create(&w->pack, &w->pool, w->count, holders, bins);
    return !w->pool.failed;
}

/* By key, equals as given: the index stands in the low half. */
static void sort_indices(const work *w, size_t *list, size_t count,
                         uint32_t (*key)(const mtmi_block *))
{
    for (size_t i = 0; i < count; i++)
        w->keys[i] = (uint64_t)key(&w->blocks[list[i]]) << 32 | list[i];
    (void)mtmi_sort_keys(w->keys, count);
    for (size_t i = 0; i < count; i++)
        list[i] = (size_t)(w->keys[i] & UINT32_MAX);
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
    sort_indices(w, w->fixed, w->fixed_count, key_of_place);
    sort_indices(w, w->open, w->open_count, key_of_group);
    mtm_result result = MTM_OK;
    for (size_t i = 1; i < w->fixed_count && result == MTM_OK; i++)
        result = mtmi_blocks_apart(&w->blocks[w->fixed[i - 1]], &w->blocks[w->fixed[i]], error);
    return result;
}

/* Universes that fixed addresses or wishes name. */
static void list_universes(work *w)
{
    size_t used = 0;

    for (size_t i = 0; i < w->count; i++) {
        w->keys[used] = (uint64_t)w->blocks[i].universe;
        used += w->blocks[i].universe > 0;
    }
    w->number_count = mtmi_sort_keys(w->keys, used);
    for (size_t u = 0; u < w->number_count; u++)
        w->number[u] = (int)w->keys[u];
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

static void add_bin(work *w, int start, int end)
{
    mtmi_pack *pack = &w->pack;

    if (end < start)
        return;
    pack->bins[pack->bin_count++] = (mtmi_pack_bin){
        .holder = (uint32_t)pack->holder_count, .start = start, .rated = end - start + 1};
}

/* The free stretches before, between and behind the fixed blocks of each universe, then new ones.
 */
static void list_bins(work *w)
{
    mtmi_pack *pack = &w->pack;
    size_t universes = w->number_count + most_new_universes(w);
    size_t f = 0;

    for (size_t u = 0; u < universes; u++) {
        mtmi_pack_holder *holder = &pack->holders[u];
        *holder = (mtmi_pack_holder){.rank = (uint32_t)u,
                                     .bound = u < w->number_count,
                                     .first_bin = pack->bin_count,
                                     .rated = MTM_ADDRESS_MAX};
        for (; f < w->fixed_count && w->blocks[w->fixed[f]].universe == w->number[u]; f++) {
            const mtmi_block *block = &w->blocks[w->fixed[f]];
            add_bin(w, holder->last + 1, block->address - 1);
            holder->last = block->address + block->slots - 1;
            holder->content.size += block->slots;
            holder->content.pieces++;
        }
        add_bin(w, holder->last + 1, MTM_ADDRESS_MAX);
        pack->holder_count++;
    }
    pack->holders[pack->holder_count].first_bin = pack->bin_count;
    mtmi_pack_fix(pack);
}

/* The largest first, equals in the order given: those of one group stand beside each other. */
static void order_pieces(work *w)
{
    const mtmi_pack *pack = &w->pack;
    size_t end[MTM_ADDRESS_MAX + 1] = {0}; /* of a size in order[] */

    for (size_t i = 0; i < pack->count; i++)
        end[(int)pack->pieces[i].size]++;
    for (int size = MTM_ADDRESS_MAX - 1; size >= 1; size--)
        end[size] += end[size + 1];
    for (size_t i = pack->count; i-- > 0;)
        w->order[--end[(int)pack->pieces[i].size]] = i;
}

/* Pieces of whole groups, as much of each as fits into a universe, or of single blocks. */
static void list_pieces(work *w, bool whole_groups)
{
    mtmi_pack *pack = &w->pack;

    pack->count = 0;
    for (size_t i = 0; i < w->open_count; i++) {
        const mtmi_block *block = &w->blocks[w->open[i]];
        uint32_t only =
            block->universe > 0 ? index_of_universe(w, block->universe) : MTMI_HOLDER_ANY;
        mtmi_pack_piece *last = pack->count > 0 ? &pack->pieces[pack->count - 1] : NULL;
        if (whole_groups && last != NULL && block->group != MTMI_GROUP_NONE &&
            last->group == block->group && last->only == only &&
            last->size + block->slots <= MTM_ADDRESS_MAX)
            last->size += block->slots;
        else
            pack->pieces[pack->count++] = (mtmi_pack_piece){
                .size = block->slots, .group = block->group, .only = only, .first = (uint32_t)i};
    }
    order_pieces(w);
}

static void list_stands(work *w)
{
    size_t used = 0;

    for (size_t i = 0; i < w->fixed_count; i++) {
        const mtmi_block *block = &w->blocks[w->fixed[i]];
        w->stands[used] = (uint64_t)block->group << 32 | index_of_universe(w, block->universe);
        used += block->group != MTMI_GROUP_NONE;
    }
    w->pack.stands = w->stands;
    w->pack.stand_count = mtmi_sort_keys(w->stands, used);
}

/* What fills a universe in use already is one more size to be packed. With hard, by the linear
 * relaxation, which takes longer. */
static bool find_least_universes(work *w, bool hard)
{
    size_t there[MTM_ADDRESS_MAX + 1] = {0};
    mtmi_size_run runs[MTM_ADDRESS_MAX];
    size_t run_count = 0;
    size_t least = 0;

    for (size_t i = 0; i < w->open_count; i++)
        there[w->blocks[w->open[i]].slots]++;
    for (size_t u = 0; u < w->number_count; u++)
        there[(int)w->pack.holders[u].content.fixed_size]++;
    for (int size = MTM_ADDRESS_MAX; size >= 1; size--) {
        if (there[size] > 0)
            runs[run_count++] = (mtmi_size_run){size, there[size]};
    }
    if (!hard)
        least = mtmi_bins_at_least(runs, run_count, MTM_ADDRESS_MAX, MTM_ADDRESS_MAX);
    else if (!mtmi_columns_bound(runs, run_count, MTM_ADDRESS_MAX, &least))
        return false;
    least = least > w->number_count ? least : w->number_count;
    w->pack.least.holders = least > w->pack.least.holders ? least : w->pack.least.holders;
    return true;
}

/* A group stands in as many universes as its slots need, and in those it stands in already. */
static void find_least_touches(work *w)
{
    size_t s = 0;

    for (uint32_t g = 0; g < w->pack.group_count; g++) {
        size_t needed = mtmi_universes_for(w->group_slots[g]);
        size_t stands = 0;
        for (; s < w->pack.stand_count && w->stands[s] >> 32 == g; s++)
            stands++;
        w->pack.least.touches += stands > needed ? stands : needed;
    }
}

static bool make_pack(work *w)
{
    list_universes(w);
    list_bins(w);
    list_stands(w);
    w->group_slots = mtmi_blocks_group_slots(&w->pool, w->blocks, w->count, &w->pack.group_count);
    if (w->group_slots == NULL)
        return false;
    find_least_touches(w);
    return find_least_universes(w, false);
}

/* The bins of open blocks, where this answer is better than the best of all so far. */
static void store_best(work *w, const mtmi_pack_answer *answer)
{
    const mtmi_pack *pack = &w->pack;

    if (!answer->found || (w->best.found && !mtmi_pack_better(&answer->cost, &w->best.cost)))
        return;
    w->best.cost = answer->cost;
    w->best.found = true;
    for (size_t i = 0; i < pack->count; i++) {
        size_t end = i + 1 < pack->count ? pack->pieces[i + 1].first : w->open_count;
        for (size_t k = pack->pieces[i].first; k < end; k++)
            w->bin[k] = answer->bin[i];
    }
}

/* The methods of packing, in turn: whole groups, which keeps them together, then single blocks. */
enum { GROUPS, GROUPS_BY_SIZE, IN_ORDER, ROW, FILL, COLUMNS, SEARCH_GROUPS, SEARCH, METHODS };

/* Into trial[]; false if out of memory. */
static bool pack_by(work *w, int method)
{
    mtmi_pack *pack = &w->pack;
    if (method == ROW)
        return mtmi_pack_sequence(pack, w->trial);
    if (method == FILL || method == COLUMNS)
        return mtmi_pack_fill(pack, method == COLUMNS, w->trial);
    return mtmi_pack_first_fit(pack, method == GROUPS_BY_SIZE ? w->order : NULL, pack->holder_count,
                               w->trial);
}

static bool fewest_universes(const work *w)
{
    return w->best.found && w->best.cost.holders <= w->pack.least.holders;
}

/* Every method until the answer is known to be the best. False if out of memory. */
static bool pack_all(work *w)
{
    mtmi_pack *pack = &w->pack;

    for (int method = 0; method < METHODS && !w->complete && !mtmi_pack_perfect(pack, &w->best);
         method++) {
        mtmi_pack_answer answer = {
            .bin = w->best_bin, .cost = w->best.cost, .found = w->best.found};
        if (method == COLUMNS && !fewest_universes(w) && !find_least_universes(w, true))
            return false;
        if ((method == FILL || method == COLUMNS) && fewest_universes(w))
            continue; /* they do not care for groups */
        list_pieces(w, method == GROUPS || method == GROUPS_BY_SIZE || method == SEARCH_GROUPS);
        if (method >= SEARCH_GROUPS) {
            if (!mtmi_pack_search(pack, w->order, &answer, &w->complete))
                return false;
            /* with pieces of whole groups some packings are left out */
            w->complete = w->complete && pack->count == w->open_count;
        } else if (!pack_by(w, method) || !mtmi_pack_improve(pack, w->trial, &answer)) {
            return false;
        }
        store_best(w, &answer);
    }
    return true;
}

/* Numbers for new universes, in the order in which their first block stands. */
static mtm_result number_universes(work *w, mtm_error *error)
{
    int next = w->first_universe;

    for (size_t u = w->number_count; u < w->pack.holder_count; u++)
        w->number[u] = 0;
    for (size_t i = 0; i < w->open_count; i++) {
        int *number = &w->number[w->pack.bins[w->bin[i]].holder];
        if (*number != 0)
            continue;
        for (uint32_t u = index_of_universe(w, next); u < w->number_count && w->number[u] == next;
             u++)
            next++;
        if (next > MTM_UNIVERSE_MAX)
            return mtmi_fail(error, MTM_LIMIT,
                             "the units take %zu more universes from %d on; the last one is %d",
                             w->best.cost.holders - w->number_count, w->first_universe,
                             MTM_UNIVERSE_MAX);
        *number = next++;
    }
    return MTM_OK;
}

static void give_addresses(work *w)
{
    for (size_t i = 0; i < w->open_count; i++) {
        mtmi_block *block = &w->blocks[w->open[i]];
        mtmi_pack_bin *bin = &w->pack.bins[w->bin[i]];
        block->universe = w->number[bin->holder];
        block->address = bin->start;
        bin->start += block->slots;
    }
}

static mtm_result solve(work *w, mtm_address_report *report, mtm_error *error)
{
    const mtmi_pack_cost *cost = &w->best.cost;
    const mtmi_pack_cost *least = &w->pack.least;

    if (!make_pack(w) || !pack_all(w))
        return mtmi_fail_memory(error);
    if (!w->best.found)
        return mtmi_blocks_no_place(w->blocks, w->open, &w->pack, error);
    mtm_result result = number_universes(w, error);
    if (result != MTM_OK)
        return result;
    bool fewest = w->complete || fewest_universes(w);
    mtm_address_report made = {
        .universes = cost->holders,
        .gap_slots = (size_t)cost->flaw,
        .universes_proven = fewest,
        .universes_least = fewest ? cost->holders : least->holders,
        .splits_proven = w->complete || (fewest && cost->touches == least->touches),
    };
    for (size_t i = 0; i < w->count; i++)
        made.slots += (size_t)w->blocks[i].slots;
    give_addresses(w);
    mtmi_blocks_count_groups(w->blocks, w->count, w->group_slots, w->keys, &made);
    *report = made;
    return MTM_OK;
}

mtm_result mtmi_address_blocks(mtmi_block *blocks, size_t count, int first_universe,
                               mtm_address_report *report, mtm_error *error)
{
    work w = {.blocks = blocks, .count = count, .first_universe = first_universe};
    mtm_result result = MTM_OK;

    if (count >= UINT32_MAX || first_universe < 1 || first_universe > MTM_UNIVERSE_MAX)
        return mtmi_fail(error, MTM_INVALID, "the first universe is %d; allowed are 1 to %d",
                         first_universe, MTM_UNIVERSE_MAX);
    for (size_t i = 0; i < count && result == MTM_OK; i++)
        result = mtmi_block_check(&blocks[i], error);
    if (result == MTM_OK && !work_create(&w))
        result = mtmi_fail_memory(error);
    if (result == MTM_OK)
        result = sort_blocks(&w, error);
    if (result == MTM_OK)
        result = solve(&w, report, error);
    mtmi_pool_free(&w.pool);
    return result;
}
