/* SPDX-License-Identifier: MIT */
/* Packing: every method in turn, the plainest first, until one is known to be the best. */
#include "plan/layout_bins.h"

#include "base/error.h"
#include "plan/layout_bound.h"
#include "plan/layout_columns.h"

#include <stdlib.h>
#include <string.h>

bool mtmi_pack_better(mtmi_pack_cost a, mtmi_pack_cost b)
{
    if (a.opened != b.opened)
        return a.opened < b.opened;
    if (a.touches != b.touches)
        return a.touches < b.touches;
    return a.gaps < b.gaps;
}

size_t mtmi_pack_first_bin(const mtmi_pack *pack, uint32_t universe)
{
    size_t low = 0;
    size_t high = pack->bin_count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (pack->bins[middle].universe < universe)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static int ascending(const void *a, const void *b)
{
    uint64_t x = *(const uint64_t *)a;
    uint64_t y = *(const uint64_t *)b;

    return x < y ? -1 : x > y;
}

static size_t count_touches(const mtmi_pack *pack, const size_t *bin, uint64_t *pairs)
{
    size_t used = pack->stand_count;
    size_t touches = 0;

    if (used > 0)
        memcpy(pairs, pack->stands, used * sizeof *pairs);
    for (size_t i = 0; i < pack->count; i++) {
        uint64_t universe = bin[i] < pack->bin_count
                                ? pack->bins[bin[i]].universe
                                : pack->universe_count + (bin[i] - pack->bin_count);
        uint64_t pair = (uint64_t)pack->items[i].group << 32 | universe;
        bool again = used > 0 && pairs[used - 1] == pair;
        if (pack->items[i].group != MTMI_GROUP_NONE && !again)
            pairs[used++] = pair;
    }
    qsort(pairs, used, sizeof *pairs, ascending);
    for (size_t i = 0; i < used; i++)
        touches += i == 0 || pairs[i] != pairs[i - 1];
    return touches;
}

/* Free slots below the last used one; filled[] holds what went into each bin. */
static size_t count_gaps(const mtmi_pack *pack, const int *filled)
{
    size_t gaps = 0;
    size_t b = 0;

    for (size_t u = 0; u < pack->universe_count; u++) {
        int last = pack->universes[u].last;
        int used = pack->universes[u].used;
        for (; b < pack->bin_count && pack->bins[b].universe == u; b++) {
            int end = pack->bins[b].start + filled[b] - 1;
            used += filled[b];
            last = filled[b] > 0 && end > last ? end : last;
        }
        gaps += (size_t)(last - used);
    }
    return gaps;
}

bool mtmi_pack_price(const mtmi_pack *pack, const size_t *bin, mtmi_pack_cost *cost)
{
    uint64_t *pairs = malloc((pack->count + pack->stand_count + 1) * sizeof *pairs);
    int *filled = calloc(pack->bin_count + 1, sizeof *filled);
    bool done = false;

    if (pairs == NULL || filled == NULL)
        goto done;
    *cost = (mtmi_pack_cost){0};
    for (size_t i = 0; i < pack->count; i++) {
        if (bin[i] < pack->bin_count)
            filled[bin[i]] += pack->items[i].size;
        else if (bin[i] - pack->bin_count + 1 > cost->opened)
            cost->opened = bin[i] - pack->bin_count + 1;
    }
    cost->touches = count_touches(pack, bin, pairs);
    cost->gaps = count_gaps(pack, filled);
    done = true;
done:
    free(filled);
    free(pairs);
    return done;
}

/* The largest sum of sizes that some items reach within one universe: 510 where all have 5 or 10.
 */
static int reachable(const size_t *histogram)
{
    bool reached[MTMI_UNIVERSE_SLOTS + 1] = {true};
    int most = 0;

    for (int size = 1; size <= MTMI_UNIVERSE_SLOTS; size++) {
        if (histogram[size] == 0)
            continue;
        for (int v = size; v <= MTMI_UNIVERSE_SLOTS; v++)
            reached[v] = reached[v] || reached[v - size];
    }
    for (int v = 0; v <= MTMI_UNIVERSE_SLOTS; v++) {
        if (reached[v])
            most = v;
    }
    return most;
}

/* Items that fill more than the free stretches hold, over what a universe can hold of them. */
static size_t plain_least(const mtmi_pack *pack, const size_t *histogram)
{
    long long slots = 0;
    int full = reachable(histogram);

    for (size_t i = 0; i < pack->count; i++)
        slots += pack->items[i].size;
    for (size_t b = 0; b < pack->bin_count; b++)
        slots -= pack->bins[b].room;
    return slots > 0 ? (size_t)((slots + full - 1) / full) : 0;
}

static bool least_opened(const mtmi_pack *pack, bool hard, size_t *opened)
{
    size_t histogram[MTMI_UNIVERSE_SLOTS + 1] = {0};
    mtmi_size_run runs[MTMI_UNIVERSE_SLOTS + 1];
    mtmi_column_kind kinds[MTMI_UNIVERSE_SLOTS];
    size_t run_count = 0;
    size_t all = 0;

    for (size_t i = 0; i < pack->count; i++)
        histogram[pack->items[i].size]++;
    size_t plain = plain_least(pack, histogram);

    /* What fills a universe in use already is one more item of that size. */
    for (size_t u = 0; u < pack->universe_count; u++) {
        if (pack->universes[u].used > 0)
            histogram[pack->universes[u].used]++;
    }
    for (int size = 1; size <= MTMI_UNIVERSE_SLOTS; size++) {
        if (histogram[size] > 0)
            runs[run_count++] = (mtmi_size_run){size, histogram[size]};
    }
    if (!hard)
        all = mtmi_bins_at_least(runs, run_count, MTMI_UNIVERSE_SLOTS, MTMI_UNIVERSE_SLOTS);
    else if (!mtmi_columns_bound(kinds, mtmi_columns_kinds(histogram, kinds), MTMI_UNIVERSE_SLOTS,
                                 &all))
        return false;
    size_t more = all > pack->universe_count ? all - pack->universe_count : 0;
    *opened = plain > more ? plain : more;
    return true;
}

/* A group stands in as many universes as its slots need, and in those it stands in already. */
static bool least_touches(const mtmi_pack *pack, size_t *touches)
{
    size_t *slots = calloc((size_t)pack->group_count + 1, sizeof *slots);
    size_t *stands = calloc((size_t)pack->group_count + 1, sizeof *stands);

    *touches = 0;
    if (slots != NULL && stands != NULL) {
        for (size_t i = 0; i < pack->count; i++) {
            if (pack->items[i].group != MTMI_GROUP_NONE)
                slots[pack->items[i].group] += (size_t)pack->items[i].size;
        }
        for (size_t i = 0; i < pack->stand_count; i++)
            stands[pack->stands[i] >> 32]++;
        for (size_t g = 0; g < pack->group_count; g++) {
            size_t needed = (slots[g] + MTMI_UNIVERSE_SLOTS - 1) / MTMI_UNIVERSE_SLOTS;
            *touches += stands[g] > needed ? stands[g] : needed;
        }
    }
    bool done = slots != NULL && stands != NULL;
    free(stands);
    free(slots);
    return done;
}

bool mtmi_pack_bound(const mtmi_pack *pack, bool hard, mtmi_pack_cost *least)
{
    mtmi_pack_cost found = {0};

    if (!least_opened(pack, hard, &found.opened) || !least_touches(pack, &found.touches))
        return false;
    *least = found;
    return true;
}

/* Runs: each item alone, or as much of a group as fits into a universe. */
typedef struct run_list {
    size_t *first; /* count + 1 places */
    size_t *order;
    size_t count;
} run_list;

static void runs_free(run_list *runs)
{
    free(runs->order);
    free(runs->first);
}

static bool joins(const mtmi_pack *pack, size_t i, int size)
{
    const mtmi_pack_item *a = &pack->items[i - 1];
    const mtmi_pack_item *b = &pack->items[i];

    return a->group != MTMI_GROUP_NONE && a->group == b->group && a->only == b->only &&
           size + b->size <= MTMI_UNIVERSE_SLOTS;
}

static bool runs_create(const mtmi_pack *pack, bool whole_groups, run_list *runs)
{
    int size = 0;

    *runs = (run_list){0};
    runs->first = malloc((pack->count + 1) * sizeof *runs->first);
    runs->order = malloc((pack->count + 1) * sizeof *runs->order);
    if (runs->first == NULL || runs->order == NULL)
        return false;
    for (size_t i = 0; i < pack->count; i++) {
        if (i == 0 || !whole_groups || !joins(pack, i, size)) {
            runs->order[runs->count] = runs->count;
            runs->first[runs->count++] = i;
            size = 0;
        }
        size += pack->items[i].size;
    }
    runs->first[runs->count] = pack->count;
    return true;
}

/* A run's size above its place in the order given, so that one ascending sort puts large ones
 * first and keeps equals in order. */
static bool order_by_size(const mtmi_pack *pack, run_list *runs)
{
    uint64_t *keys = malloc((runs->count + 1) * sizeof *keys);

    if (keys == NULL)
        return false;
    for (size_t r = 0; r < runs->count; r++) {
        int size = 0;
        for (size_t i = runs->first[r]; i < runs->first[r + 1]; i++)
            size += pack->items[i].size;
        keys[r] = (uint64_t)(MTMI_UNIVERSE_SLOTS - size) << 32 | r;
    }
    qsort(keys, runs->count, sizeof *keys, ascending);
    for (size_t r = 0; r < runs->count; r++)
        runs->order[r] = (size_t)(keys[r] & UINT32_MAX);
    free(keys);
    return true;
}

/* What the methods share. */
typedef struct attempt {
    const mtmi_pack *pack;
    mtmi_pack_answer *answer;
    size_t *bin;
} attempt;

static bool perfect(const attempt *a)
{
    return a->answer->found && !mtmi_pack_better(a->answer->least, a->answer->cost);
}

static bool keep_best(const attempt *a)
{
    mtmi_pack_cost cost;

    for (size_t i = 0; i < a->pack->count; i++) {
        if (a->bin[i] == SIZE_MAX)
            return true; /* this method found no place for an item */
    }
    if (!mtmi_pack_price(a->pack, a->bin, &cost))
        return false;
    if (!a->answer->found || mtmi_pack_better(cost, a->answer->cost)) {
        if (a->pack->count > 0)
            memcpy(a->answer->bin, a->bin, a->pack->count * sizeof *a->bin);
        a->answer->cost = cost;
        a->answer->found = true;
    }
    return true;
}

/* First fit in the order given, then with the large ones first. */
static bool try_first_fit(const attempt *a, bool whole_groups)
{
    run_list runs;
    bool done = runs_create(a->pack, whole_groups, &runs);

    for (int turn = 0; done && turn < 2 && !perfect(a); turn++) {
        done = turn == 0 || order_by_size(a->pack, &runs);
        if (done)
            done = mtmi_pack_first_fit(a->pack, runs.first, runs.count, runs.order, a->bin) &&
                   keep_best(a);
    }
    runs_free(&runs);
    return done;
}

static bool try_search(const attempt *a, bool whole_groups, bool *complete)
{
    run_list runs;
    bool done = runs_create(a->pack, whole_groups, &runs);

    if (done)
        *complete = mtmi_pack_search(a->pack, runs.first, runs.count, a->answer);
    runs_free(&runs);
    return done;
}

static bool fewest_universes(const attempt *a)
{
    return a->answer->found && a->answer->cost.opened <= a->answer->least.opened;
}

enum { EVEN_MOST = 5000 }; /* new universes: each takes up to a millisecond */

/* For as many universes as the bound, then for one more. */
static bool try_evenly(const attempt *a)
{
    size_t wanted = a->answer->least.opened;
    bool done = true;

    for (int turn = 0; done && turn < 2 && wanted <= EVEN_MOST && !fewest_universes(a); turn++)
        done = mtmi_pack_fill_evenly(a->pack, wanted++, a->bin) && keep_best(a);
    return done;
}

/* Where the plain bound is not met: the linear relaxation, for a better bound and a better packing.
 */
static bool try_columns(const attempt *a)
{
    mtmi_pack_cost least;

    if (!mtmi_pack_bound(a->pack, true, &least))
        return false;
    if (least.opened > a->answer->least.opened)
        a->answer->least.opened = least.opened;
    if (fewest_universes(a))
        return true;
    return mtmi_columns_pack(a->pack, a->bin) && keep_best(a);
}

static bool try_all(const attempt *a)
{
    bool complete = false;
    bool done = try_first_fit(a, true);

    if (done && !perfect(a))
        done = try_first_fit(a, false);
    if (done && !perfect(a))
        done = mtmi_pack_row(a->pack, a->answer->least.opened, a->bin) && keep_best(a);
    if (done && !perfect(a))
        done = mtmi_pack_fill(a->pack, a->bin) && keep_best(a);
    if (done && !fewest_universes(a))
        done = try_evenly(a);
    if (done && !fewest_universes(a))
        done = try_columns(a);
    if (done && !perfect(a))
        done = try_search(a, true, &complete);
    complete = false; /* whole groups only: not everything */
    if (done && !perfect(a))
        done = try_search(a, false, &complete);
    a->answer->fewest_universes = complete || fewest_universes(a);
    a->answer->fewest_touches = complete || (a->answer->fewest_universes &&
                                             a->answer->cost.touches <= a->answer->least.touches);
    return done;
}

mtm_result mtmi_pack_solve(const mtmi_pack *pack, mtmi_pack_answer *answer, mtm_error *error)
{
    attempt a = {.pack = pack, .answer = answer};
    bool done = false;

    answer->found = false;
    a.bin = malloc((pack->count + 1) * sizeof *a.bin);
    if (a.bin != NULL && mtmi_pack_bound(pack, false, &answer->least))
        done = try_all(&a);
    free(a.bin);
    return done ? MTM_OK : mtmi_fail_memory(error);
}
