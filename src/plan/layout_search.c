/* SPDX-License-Identifier: MIT */
/* Packing by trying everything: depth first, with bounds, within a budget of steps.
 *
 * Pieces go from large to small. A branch ends where even the bounds leave no hope of a better
 * answer. What only renames an answer is tried once: equal pieces take bins that do not fall, one
 * empty holder stands for all its twins, and one bin for all bins of its holder that carry the
 * same. Where a branch returns, loads are put back to the last bit, so that twins stay twins. The
 * budget counts comparisons and not time: every machine answers alike. A mixed integer solver was
 * tried instead and took hundreds of times as long; see DEVELOPERS.md before trying another. */
#include "plan/layout_pack.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    PIECES_MAX = 64,
    HOLDERS_MAX = 512,
    CELLS_MAX = 1 << 20, /* groups times holders */
    STEPS_MAX = 50000000 /* a tenth of a second or two */
};

typedef struct search {
    mtmi_pack *pack;
    const size_t *order;
    mtmi_pack_answer *answer;
    double tail[PIECES_MAX + 1]; /* sizes of pieces i.. */
    size_t at[PIECES_MAX];       /* bin by place in order[] */
    uint32_t twin[HOLDERS_MAX];  /* the last one before with equal ratings, or MTMI_HOLDER_ANY */
    uint16_t *stands;            /* [group][holder]: pieces there */
    mtmi_pack_cost cost;         /* so far */
    double room;                 /* left in the holders in use */
    double largest;              /* rating of a holder */
    size_t steps;
    bool stopped;
} search;

static const mtmi_pack_piece *piece_at(const search *s, size_t i)
{
    return &s->pack->pieces[s->order[i]];
}

static bool in_use(const mtmi_pack_holder *holder)
{
    return holder->bound || holder->content.pieces > 0;
}

static void start(search *s)
{
    mtmi_pack *pack = s->pack;

    mtmi_pack_clear(pack);
    for (size_t i = pack->count; i-- > 0;)
        s->tail[i] = s->tail[i + 1] + piece_at(s, i)->size;
    for (size_t h = 0; h < pack->holder_count; h++) {
        s->twin[h] = MTMI_HOLDER_ANY;
        for (size_t k = 0; k < h; k++)
            s->twin[h] = mtmi_pack_twins(pack, k, h) ? (uint32_t)k : s->twin[h];
        s->largest = fmax(s->largest, pack->holders[h].rated);
        s->cost.holders += pack->holders[h].bound;
        s->room +=
            pack->holders[h].bound ? pack->holders[h].rated - pack->holders[h].content.size : 0;
    }
    for (size_t i = 0; i < pack->stand_count; i++) {
        size_t group = (size_t)(pack->stands[i] >> 32);
        s->stands[group * pack->holder_count + (size_t)(pack->stands[i] & UINT32_MAX)]++;
    }
    s->cost.touches = pack->stand_count;
    s->cost.flaw = pack->even ? mtmi_pack_flaw(pack) : 0;
}

/* No completion from piece i on beats the best answer. */
static bool hopeless(const search *s, size_t i)
{
    mtmi_pack_cost hope = s->cost;
    double missing = ceil((s->tail[i] - s->room) / s->largest - 1e-6);

    if (missing > 0)
        hope.holders += (size_t)missing;
    if (hope.holders < s->pack->least.holders)
        hope.holders = s->pack->least.holders;
    if (hope.touches < s->pack->least.touches)
        hope.touches = s->pack->least.touches;
    hope.flaw = fmax(hope.flaw, s->pack->least.flaw);
    return s->answer->found && !mtmi_pack_better(&hope, &s->answer->cost);
}

static void store_if_better(search *s)
{
    mtmi_pack_cost cost = s->cost;

    if (!s->pack->even)
        cost.flaw = mtmi_pack_flaw(s->pack);
    if (s->answer->found && !mtmi_pack_better(&cost, &s->answer->cost))
        return;
    for (size_t i = 0; i < s->pack->count; i++)
        s->answer->bin[s->order[i]] = s->at[i];
    s->answer->cost = cost;
    s->answer->found = true;
}

static void place_from(search *s, size_t i);

static void try_bin(search *s, size_t i, size_t bin)
{
    const mtmi_pack_piece *piece = piece_at(s, i);
    mtmi_pack_bin *b = &s->pack->bins[bin];
    mtmi_pack_holder *h = &s->pack->holders[b->holder];
    mtmi_pack_content bin_before = b->content;
    mtmi_pack_content holder_before = h->content;
    mtmi_pack_cost cost_before = s->cost;
    double room_before = s->room;
    uint16_t *stands = NULL;

    if (piece->group != MTMI_GROUP_NONE)
        stands = &s->stands[piece->group * s->pack->holder_count + b->holder];
    s->cost.holders += !in_use(h);
    s->room += (in_use(h) ? 0 : h->rated) - piece->size;
    mtmi_pack_add(s->pack, bin, piece->size, 1);
    if (stands != NULL)
        s->cost.touches += (*stands)++ == 0;
    if (s->pack->even)
        s->cost.flaw =
            fmax(s->cost.flaw, fmax(b->content.size / b->rated, h->content.size / h->rated));
    s->at[i] = bin;
    place_from(s, i + 1);
    if (stands != NULL)
        (*stands)--;
    b->content = bin_before;
    h->content = holder_before;
    s->cost = cost_before;
    s->room = room_before;
}

/* A bin of the same holder before this one, from first on, carries the same and has been tried. */
static bool twin_bin(const mtmi_pack *pack, size_t first, size_t bin)
{
    const mtmi_pack_bin *own = &pack->bins[bin];

    for (size_t b = first; b < bin; b++) {
        const mtmi_pack_bin *other = &pack->bins[b];
        if (other->content.size == own->content.size &&
            other->content.pieces == own->content.pieces && other->rated == own->rated)
            return true;
    }
    return false;
}

static void try_holder(search *s, size_t i, size_t holder, size_t first)
{
    const mtmi_pack_holder *h = &s->pack->holders[holder];

    for (size_t b = first; b < h[1].first_bin && !s->stopped; b++) {
        s->steps += b - first + 10;
        if (mtmi_pack_fits(s->pack, b, piece_at(s, i)->size) && !twin_bin(s->pack, first, b))
            try_bin(s, i, b);
    }
}

/* Where the search for a bin begins: equal pieces take bins that do not fall. */
static size_t first_bin(const search *s, size_t i)
{
    const mtmi_pack_piece *piece = piece_at(s, i);
    const mtmi_pack_piece *before = i > 0 ? piece_at(s, i - 1) : NULL;

    if (before != NULL && before->size == piece->size && before->group == piece->group &&
        before->only == piece->only)
        return s->at[i - 1];
    return piece->only != MTMI_HOLDER_ANY ? s->pack->holders[piece->only].first_bin : 0;
}

static void place_from(search *s, size_t i)
{
    if (s->steps > STEPS_MAX)
        s->stopped = true;
    if (s->stopped || hopeless(s, i))
        return;
    if (i == s->pack->count) {
        store_if_better(s);
        return;
    }
    const mtmi_pack *pack = s->pack;
    uint32_t only = piece_at(s, i)->only;
    size_t first = first_bin(s, i);
    size_t begin = only != MTMI_HOLDER_ANY   ? only
                   : first < pack->bin_count ? pack->bins[first].holder
                                             : 0;
    size_t end = only != MTMI_HOLDER_ANY ? (size_t)only + 1 : pack->holder_count;
    for (size_t h = begin; h < end && !s->stopped; h++) {
        uint32_t twin = s->twin[h];
        s->steps++;
        if (twin != MTMI_HOLDER_ANY && twin >= begin && !in_use(&pack->holders[h]) &&
            !in_use(&pack->holders[twin]))
            continue;
        try_holder(s, i, h,
                   h == begin && first > pack->holders[h].first_bin ? first
                                                                    : pack->holders[h].first_bin);
    }
}

bool mtmi_pack_search(mtmi_pack *pack, const size_t *order, mtmi_pack_answer *answer,
                      bool *complete)
{
    size_t holders = pack->holder_count;

    *complete = false;
    if (pack->count > PIECES_MAX || holders > HOLDERS_MAX ||
        (pack->group_count > 0 && holders > CELLS_MAX / pack->group_count))
        return true;
    search *s = calloc(1, sizeof *s);
    uint16_t *stands = calloc(pack->group_count * holders + 1, sizeof *stands);
    bool done = s != NULL && stands != NULL;
    if (done) {
        *s = (search){.pack = pack, .order = order, .answer = answer, .stands = stands};
        start(s);
        place_from(s, 0);
        *complete = !s->stopped;
    }
    free(stands);
    free(s);
    return done;
}
