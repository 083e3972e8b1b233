/* SPDX-License-Identifier: MIT */
/* Packing in a row: group after group, bin after bin; only the end of a bin is chosen with care. */
#include "plan/layout_bins.h"

#include <stdlib.h>

enum {
    TAIL = 96,  /* the last slots of a bin are filled by choice, not in order */
    POOL = 64,  /* from so many items at most, */
    SEEN = 1000 /* among so many that stand next */
};

typedef struct row {
    const mtmi_pack *pack;
    size_t *bin;
    size_t *rest; /* slots of a group that are not placed yet */
    size_t at;    /* the first item not placed */
    size_t into;
    int room;
} row;

static size_t rest_of(const row *r, size_t item)
{
    uint32_t group = r->pack->items[item].group;

    return group != MTMI_GROUP_NONE ? r->rest[group] : 0;
}

static void place(row *r, size_t item)
{
    const mtmi_pack_item *placed = &r->pack->items[item];

    r->bin[item] = r->into;
    r->room -= placed->size;
    if (placed->group != MTMI_GROUP_NONE)
        r->rest[placed->group] -= (size_t)placed->size;
    while (r->at < r->pack->count && r->bin[r->at] != SIZE_MAX)
        r->at++;
}

/* Items not placed yet from the first on; those of its group alone, or of the next ones as well. */
static size_t list_pool(const row *r, bool beyond_group, size_t *pool)
{
    size_t count = 0;
    uint32_t group = r->pack->items[r->at].group;

    for (size_t i = r->at; i < r->pack->count && i - r->at < SEEN && count < POOL; i++) {
        if (!beyond_group && r->pack->items[i].group != group)
            break;
        if (r->bin[i] == SIZE_MAX && r->pack->items[i].size <= r->room)
            pool[count++] = i;
    }
    return count;
}

/* The fullest filling of the room by items of the pool: by[v] is one more than the place in the
 * pool of the item whose addition first reached v slots, so that a chain never takes one twice. */
static int fullest(const row *r, const size_t *pool, size_t count, uint16_t *by)
{
    int best = 0;

    for (int v = 0; v <= r->room; v++)
        by[v] = 0;
    for (size_t k = 0; k < count && best < r->room; k++) {
        int size = r->pack->items[pool[k]].size;
        for (int v = r->room; v >= size; v--) {
            if (by[v] != 0 || (v != size && by[v - size] == 0))
                continue;
            by[v] = (uint16_t)(k + 1);
            best = v > best ? v : best;
        }
    }
    return best;
}

/* Fills what is left of a bin: from one group if no more than most_left stays free, from several
 * otherwise. Returns what stays free. */
static int fill_end(row *r, long long most_left)
{
    size_t pool[POOL] = {0};
    uint16_t by[MTMI_UNIVERSE_SLOTS + 1];
    int best = fullest(r, pool, list_pool(r, false, pool), by);

    if (r->room - best > most_left)
        best = fullest(r, pool, list_pool(r, true, pool), by);
    int left = r->room - best;
    for (int v = best; v > 0;) {
        size_t item = pool[by[v] - 1];
        v -= r->pack->items[item].size;
        place(r, item);
    }
    return left;
}

static int room_of(const mtmi_pack *pack, size_t bin)
{
    return bin < pack->bin_count ? pack->bins[bin].room : MTMI_UNIVERSE_SLOTS;
}

/* Slots that may stay free if no more than the least number of universes is opened. */
static long long spare_slots(const mtmi_pack *pack, size_t opened)
{
    long long spare = (long long)opened * MTMI_UNIVERSE_SLOTS;

    for (size_t b = 0; b < pack->bin_count; b++)
        spare += pack->bins[b].room;
    for (size_t i = 0; i < pack->count; i++)
        spare -= pack->items[i].size;
    return spare;
}

static bool start_row(row *r)
{
    r->rest = calloc((size_t)r->pack->group_count + 1, sizeof *r->rest);
    if (r->rest == NULL)
        return false;
    for (size_t i = 0; i < r->pack->count; i++) {
        const mtmi_pack_item *item = &r->pack->items[i];
        r->bin[i] = SIZE_MAX;
        if (item->group != MTMI_GROUP_NONE)
            r->rest[item->group] += (size_t)item->size;
    }
    r->room = room_of(r->pack, 0);
    return true;
}

static bool any_bound(const mtmi_pack *pack)
{
    for (size_t i = 0; i < pack->count; i++) {
        if (pack->items[i].only != MTMI_ANY_UNIVERSE)
            return true;
    }
    return false;
}

bool mtmi_pack_row(const mtmi_pack *pack, size_t opened, size_t *bin)
{
    row r = {.pack = pack, .bin = bin};
    long long spare = spare_slots(pack, opened);
    bool bound = any_bound(pack);

    if (!start_row(&r))
        return false;
    while (!bound && r.at < pack->count) {
        int size = pack->items[r.at].size;
        bool whole = (size_t)r.room >= rest_of(&r, r.at);
        if (size <= r.room && (whole || r.room - size >= TAIL)) {
            place(&r, r.at);
            continue;
        }
        /* each bin may leave its share of what may stay free */
        long long bins_left = (long long)(pack->bin_count + opened) - (long long)r.into;
        spare -= fill_end(&r, bins_left > 0 ? spare / bins_left : 0);
        r.room = room_of(pack, ++r.into);
    }
    free(r.rest);
    return true;
}
