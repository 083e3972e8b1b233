/* SPDX-License-Identifier: MIT */
/* Packing bin after bin, whole sizes: groups in a row, or the largest pieces first.
 *
 * Either way what is left of a bin is filled as completely as can be by dynamic programming over
 * the sizes at hand. In a row that choice is made for the end of each bin only (TAIL) among the
 * pieces that stand next (SEEN), first of one group, then of several if more than the bin's share
 * of the slots to spare would stay free: so a bin's end parts one group, and rarely more. The
 * largest first packs sizes that are a good part of a bin; where the bound is not met so, the
 * linear relaxation says how to fill the empty bins (layout_columns.c).
 *
 * A table costs at most sizes times 512 for each bin and stops when the bin is full, which it soon
 * is where sizes are small. The walk of fill_end must see the same pieces as look_ahead has
 * counted. */
#include "plan/layout_columns.h"
#include "plan/layout_pack.h"

#include <stdlib.h>
#include <string.h>

enum { PIECE_SIZE_MAX = 512, TAIL = 96, SEEN = 1000 };

typedef struct filler {
    mtmi_pack *pack;
    size_t *bin;
    size_t *order; /* the largest first, equal sizes as given */
    size_t left;
    size_t there[PIECE_SIZE_MAX + 1];  /* pieces at hand, by size */
    size_t next[PIECE_SIZE_MAX + 1];   /* of that size in order[] */
    int by[PIECE_SIZE_MAX + 1];        /* the size whose addition first reached so many slots */
    size_t wanted[PIECE_SIZE_MAX + 1]; /* by size: what the fullest filling asks for */
    size_t *rest;                      /* slots of a group that have no place yet */
    size_t at;                         /* the first piece without a place */
    mtmi_pool pool;
} filler;

static int size_of(const filler *f, size_t piece)
{
    return (int)f->pack->pieces[piece].size;
}

static void place(filler *f, size_t piece, size_t bin)
{
    const mtmi_pack_piece *placed = &f->pack->pieces[piece];

    mtmi_pack_add(f->pack, bin, placed->size, 1);
    f->bin[piece] = bin;
    f->left--;
    if (placed->group != MTMI_GROUP_NONE)
        f->rest[placed->group] -= (size_t)placed->size;
    while (f->at < f->pack->count && f->bin[f->at] != SIZE_MAX)
        f->at++;
}

/* Pieces with one holder choose first, in its first bin that takes them; where one has no place,
 * there is nothing left to do. */
static void place_bound(filler *f)
{
    mtmi_pack *pack = f->pack;

    for (size_t k = 0; k < pack->count; k++) {
        const mtmi_pack_piece *piece = &pack->pieces[f->order[k]];
        if (piece->only == MTMI_HOLDER_ANY)
            continue;
        const mtmi_pack_holder *h = &pack->holders[piece->only];
        size_t b = h->first_bin;
        while (b < h[1].first_bin && !mtmi_pack_fits(pack, b, piece->size))
            b++;
        if (b == h[1].first_bin) {
            f->left = 0;
            return;
        }
        place(f, f->order[k], b);
    }
}

static bool filler_create(filler *f, mtmi_pack *pack, size_t *bin)
{
    size_t at = 0;

    *f = (filler){.pack = pack, .bin = bin, .left = pack->count};
    f->order = mtmi_pool_take(&f->pool, pack->count, sizeof *f->order);
    f->rest = mtmi_pool_take(&f->pool, pack->group_count, sizeof *f->rest);
    if (f->pool.failed)
        return false;
    for (size_t i = 0; i < pack->count; i++) {
        bin[i] = SIZE_MAX;
        f->there[size_of(f, i)]++;
        if (pack->pieces[i].group != MTMI_GROUP_NONE)
            f->rest[pack->pieces[i].group] += (size_t)pack->pieces[i].size;
    }
    for (int size = PIECE_SIZE_MAX; size >= 1; size--) {
        f->next[size] = at;
        at += f->there[size];
        f->there[size] = 0;
    }
    for (size_t i = 0; i < pack->count; i++)
        f->order[f->next[size_of(f, i)] + f->there[size_of(f, i)]++] = i;
    memset(f->there, 0, sizeof f->there);
    mtmi_pack_clear(pack);
    place_bound(f);
    return true;
}

static int room_of(const filler *f, size_t bin)
{
    return (int)(f->pack->bins[bin].rated - f->pack->bins[bin].content.size);
}

/* The fullest filling of room by the pieces at hand, left in wanted[]. Sizes go from large to
 * small, so that a filling keeps small ones for later. */
static int fullest(filler *f, int room)
{
    size_t copies[PIECE_SIZE_MAX + 1];
    int best = 0;

    memset(f->by, 0, sizeof f->by);
    memset(f->wanted, 0, sizeof f->wanted);
    for (int size = room; size >= 1 && best < room; size--) {
        if (f->there[size] == 0)
            continue;
        memset(copies, 0, sizeof copies);
        for (int v = size; v <= room; v++) {
            bool unreachable = v != size && f->by[v - size] == 0;
            if (f->by[v] != 0 || unreachable || copies[v - size] >= f->there[size])
                continue;
            f->by[v] = size;
            copies[v] = copies[v - size] + 1;
            best = v > best ? v : best;
        }
    }
    for (int v = best; v > 0; v -= f->by[v]) /* never asks for more of a size than there is */
        f->wanted[f->by[v]]++;
    return best;
}

/* Takes the next piece of a size. */
static void take(filler *f, int size, size_t bin)
{
    while (f->bin[f->order[f->next[size]]] != SIZE_MAX)
        f->next[size]++;
    place(f, f->order[f->next[size]], bin);
    f->there[size]--;
}

/* Takes what is wanted of each size. */
static void take_wanted(filler *f, size_t bin)
{
    for (int size = 1; size <= PIECE_SIZE_MAX; size++) {
        for (; f->wanted[size] > 0; f->wanted[size]--)
            take(f, size, bin);
    }
}

/* Fills empty bins from *into on as the relaxation says; moves *into on. */
static bool fill_by_columns(filler *f, size_t *into)
{
    mtmi_size_run runs[PIECE_SIZE_MAX];
    mtmi_columns columns;
    size_t run_count = 0;

    for (int size = PIECE_SIZE_MAX; size >= 1; size--) {
        if (f->there[size] > 0)
            runs[run_count++] = (mtmi_size_run){size, f->there[size]};
    }
    bool done = mtmi_columns_plan(runs, run_count, PIECE_SIZE_MAX, &columns);
    for (size_t c = 0; done && c < columns.count && *into < f->pack->bin_count; c++) {
        for (size_t k = 0; k < run_count; k++)
            f->wanted[(int)runs[k].size] = columns.fillings[c * run_count + k];
        take_wanted(f, (*into)++);
    }
    free(columns.fillings);
    return done;
}

bool mtmi_pack_fill(mtmi_pack *pack, bool by_columns, size_t *bin)
{
    filler made;
    filler *f = &made;
    bool done = filler_create(f, pack, bin);
    int largest = PIECE_SIZE_MAX;

    for (size_t i = 0; done && i < pack->count; i++)
        f->there[size_of(f, i)] += pack->pieces[i].only == MTMI_HOLDER_ANY;
    for (size_t into = 0; done && into < pack->bin_count && f->left > 0; into++) {
        bool empty = !pack->holders[pack->bins[into].holder].bound;
        if (empty && by_columns) {
            done = fill_by_columns(f, &into);
            by_columns = false;
        }
        while (largest > 1 && f->there[largest] == 0)
            largest--;
        if (into == pack->bin_count || f->there[largest] == 0)
            break;
        if (empty)
            take(f, largest, into);
        (void)fullest(f, room_of(f, into));
        take_wanted(f, into);
    }
    mtmi_pool_free(&f->pool);
    return done;
}

/* Puts the pieces that stand next at hand: those of the next one's group, or of others as well. */
static void list_next(filler *f, bool beyond_group)
{
    const mtmi_pack_piece *pieces = f->pack->pieces;

    memset(f->there, 0, sizeof f->there);
    for (size_t i = f->at; i < f->pack->count && i - f->at < SEEN; i++) {
        if (!beyond_group && pieces[i].group != pieces[f->at].group)
            break;
        f->there[size_of(f, i)] += f->bin[i] == SIZE_MAX;
    }
}

/* Fills what is left of a bin, from several groups if more than most_left would stay free else. */
static void fill_end(filler *f, size_t into, long long most_left)
{
    size_t start = f->at;
    int room = room_of(f, into);

    list_next(f, false);
    if (room - fullest(f, room) > most_left) {
        list_next(f, true);
        (void)fullest(f, room);
    }
    for (size_t i = start; i < f->pack->count && i - start < SEEN; i++) {
        size_t *wanted = &f->wanted[size_of(f, i)];
        if (f->bin[i] == SIZE_MAX && *wanted > 0) {
            (*wanted)--;
            place(f, i, into);
        }
    }
}

/* Slots that may stay free if no more than the least number of holders is used; bins counts theirs.
 */
static long long spare_slots(const filler *f, size_t *bins)
{
    long long spare = 0;

    *bins = f->pack->holders[f->pack->least.holders].first_bin;
    for (size_t b = 0; b < *bins; b++)
        spare += room_of(f, b);
    for (size_t i = 0; i < f->pack->count; i++)
        spare -= f->bin[i] == SIZE_MAX ? size_of(f, i) : 0;
    return spare;
}

bool mtmi_pack_sequence(mtmi_pack *pack, size_t *bin)
{
    filler made;
    filler *f = &made;
    size_t bins = 0;
    bool done = filler_create(f, pack, bin);
    long long spare = done ? spare_slots(f, &bins) : 0;

    for (size_t into = 0; done && into < pack->bin_count && f->left > 0; into++) {
        for (; f->left > 0; place(f, f->at, into)) {
            uint32_t group = pack->pieces[f->at].group;
            int room = room_of(f, into);
            bool whole = group == MTMI_GROUP_NONE || (size_t)room >= f->rest[group];
            if (size_of(f, f->at) > room || (!whole && room - size_of(f, f->at) < TAIL))
                break;
        }
        if (f->left == 0)
            break;
        /* each bin may leave its share of what may stay free */
        fill_end(f, into, into < bins ? spare / (long long)(bins - into) : 0);
        spare -= room_of(f, into);
    }
    mtmi_pool_free(&f->pool);
    return done;
}
