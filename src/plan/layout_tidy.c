/* SPDX-License-Identifier: MIT */
/* Packing in order: of many packings that are equally good, the one that reads like the file. */
#include "plan/layout_pack.h"

#include <stdlib.h>

/* One of several places of equal worth, and who comes first there. */
typedef struct choice {
    uint32_t first; /* of all pieces there; UINT32_MAX: none */
    uint32_t rank;  /* in the file */
    size_t place;   /* a bin or a holder */
} choice;

static int by_rank(const void *a, const void *b)
{
    const choice *p = a;
    const choice *q = b;

    if (p->rank != q->rank)
        return p->rank < q->rank ? -1 : 1;
    return p->place < q->place ? -1 : p->place > q->place;
}

static int by_first(const void *a, const void *b)
{
    const choice *p = a;
    const choice *q = b;

    if (p->first != q->first)
        return p->first < q->first ? -1 : 1;
    return by_rank(a, b);
}

/* Choices come by rank: becomes[] is by place, so that who comes first has the first place. */
static void renumber(choice *choices, size_t count, choice *sorted, size_t *becomes)
{
    for (size_t i = 0; i < count; i++)
        sorted[i] = choices[i];
    qsort(sorted, count, sizeof *sorted, by_first);
    for (size_t i = 0; i < count; i++)
        becomes[sorted[i].place] = choices[i].place;
}

/* Equal pieces that may go anywhere change places until they stand in order. */
static void tidy_pieces(const mtmi_pack *pack, choice *choices, size_t *bin)
{
    size_t end = 0;

    for (size_t start = 0; start < pack->count; start = end) {
        size_t count = 0;
        for (end = start; end < pack->count && pack->pieces[end].size == pack->pieces[start].size;
             end++) {
            if (pack->pieces[end].only == MTMI_HOLDER_ANY)
                choices[count++] = (choice){.rank = pack->holders[pack->bins[bin[end]].holder].rank,
                                            .place = bin[end]};
        }
        qsort(choices, count, sizeof *choices, by_rank);
        count = 0;
        for (size_t i = start; i < end; i++) {
            if (pack->pieces[i].only == MTMI_HOLDER_ANY)
                bin[i] = choices[count++].place;
        }
    }
}

/* The first piece on each bin or, with by_holder, each holder. */
static void find_first(const mtmi_pack *pack, const size_t *bin, bool by_holder, uint32_t *first)
{
    for (size_t i = 0; i <= pack->bin_count; i++)
        first[i] = UINT32_MAX;
    for (size_t i = 0; i < pack->count; i++) {
        uint32_t *there = &first[by_holder ? pack->bins[bin[i]].holder : bin[i]];
        *there = pack->pieces[i].first < *there ? pack->pieces[i].first : *there;
    }
}

/* Holders with equal ratings: a class begins with a holder that no class before it took. */
static void tidy_holders(const mtmi_pack *pack, const uint32_t *first, choice *choices,
                         size_t *becomes, size_t *bin)
{
    for (size_t h = 0; h < pack->holder_count; h++)
        becomes[h] = pack->holders[h].bound ? h : SIZE_MAX;
    for (size_t h = 0; h < pack->holder_count; h++) {
        size_t count = 0;
        if (becomes[h] != SIZE_MAX)
            continue;
        for (size_t k = h; k < pack->holder_count; k++) {
            if (mtmi_pack_twins(pack, h, k))
                choices[count++] = (choice){first[k], pack->holders[k].rank, k};
        }
        qsort(choices, count, sizeof *choices, by_rank);
        renumber(choices, count, choices + count, becomes);
    }
    for (size_t i = 0; i < pack->count; i++) {
        size_t from = pack->bins[bin[i]].holder;
        bin[i] += pack->holders[becomes[from]].first_bin - pack->holders[from].first_bin;
    }
}

/* The bins of one holder that nothing fixed is on. */
static void tidy_bins(const mtmi_pack *pack, const uint32_t *first, choice *choices,
                      size_t *becomes, size_t *bin)
{
    for (size_t h = 0; h < pack->holder_count; h++) {
        size_t count = 0;
        for (size_t b = pack->holders[h].first_bin; b < pack->holders[h + 1].first_bin; b++) {
            becomes[b] = b;
            if (pack->bins[b].content.fixed_pieces == 0)
                choices[count++] = (choice){first[b], 0, b};
        }
        renumber(choices, count, choices + count, becomes);
    }
    for (size_t i = 0; i < pack->count; i++)
        bin[i] = becomes[bin[i]];
}

bool mtmi_pack_tidy(mtmi_pack *pack, size_t *bin)
{
    size_t most = pack->bin_count > pack->count ? pack->bin_count : pack->count;
    mtmi_pool pool = {0};
    choice *choices = mtmi_pool_take(&pool, 2 * most, sizeof *choices);
    uint32_t *first = mtmi_pool_take(&pool, pack->bin_count + 1, sizeof *first);
    size_t *becomes = mtmi_pool_take(&pool, pack->bin_count, sizeof *becomes);
    bool done = !pool.failed;

    if (done) {
        tidy_pieces(pack, choices, bin);
        find_first(pack, bin, true, first);
        tidy_holders(pack, first, choices, becomes, bin);
        find_first(pack, bin, false, first);
        tidy_bins(pack, first, choices, becomes, bin);
    }
    mtmi_pool_free(&pool);
    return done;
}
