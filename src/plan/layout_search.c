/* SPDX-License-Identifier: MIT */
/* Packing by trying everything: depth first, with bounds, within a budget of steps. */
#include "plan/layout_bins.h"

#include <stdlib.h>
#include <string.h>

enum {
    RUNS_MOST = 64,       /* more are not tried */
    BINS_MOST = 256,      /* free stretches and new universes together */
    CELLS_MOST = 1 << 20, /* groups times universes */
    STEPS_MOST = 400000
};

/* One run of items, placed as a whole. */
typedef struct piece {
    size_t run;
    int size;
    uint32_t group;
    uint32_t only;
} piece;

typedef struct search {
    const mtmi_pack *pack;
    const size_t *first;
    piece pieces[RUNS_MOST];
    size_t count;
    int tail[RUNS_MOST + 1]; /* slots of pieces i.. */
    int room[BINS_MOST];
    int free_slots;   /* room in all open bins */
    uint16_t *stands; /* [group][universe]: members placed there */
    size_t universes; /* columns of stands */
    size_t at[RUNS_MOST];
    mtmi_pack_cost cost; /* so far */
    mtmi_pack_answer *answer;
    size_t *trial; /* bin by item */
    size_t steps;
    bool stopped;
} search;

static int by_size(const void *a, const void *b)
{
    const piece *p = a;
    const piece *q = b;

    if (p->size != q->size)
        return p->size > q->size ? -1 : 1;
    if (p->group != q->group)
        return p->group < q->group ? -1 : 1;
    if (p->only != q->only)
        return p->only < q->only ? -1 : 1;
    return p->run < q->run ? -1 : p->run > q->run;
}

static void make_pieces(search *s, size_t run_count)
{
    for (size_t r = 0; r < run_count; r++) {
        const mtmi_pack_item *lead = &s->pack->items[s->first[r]];
        piece made = {.run = r, .group = lead->group, .only = lead->only};
        for (size_t i = s->first[r]; i < s->first[r + 1]; i++)
            made.size += s->pack->items[i].size;
        s->pieces[r] = made;
    }
    s->count = run_count;
    qsort(s->pieces, s->count, sizeof *s->pieces, by_size);
    s->tail[s->count] = 0;
    for (size_t i = s->count; i-- > 0;)
        s->tail[i] = s->tail[i + 1] + s->pieces[i].size;
}

static bool search_create(search *s, const mtmi_pack *pack, const size_t *first, size_t run_count,
                          mtmi_pack_answer *answer)
{
    s->pack = pack;
    s->first = first;
    s->answer = answer;
    make_pieces(s, run_count);
    for (size_t b = 0; b < pack->bin_count + run_count; b++)
        s->room[b] = b < pack->bin_count ? pack->bins[b].room : MTMI_UNIVERSE_SLOTS;
    for (size_t b = 0; b < pack->bin_count; b++)
        s->free_slots += pack->bins[b].room;
    s->universes = pack->universe_count + run_count;
    s->stands = calloc((size_t)pack->group_count * s->universes + 1, sizeof *s->stands);
    s->trial = malloc((pack->count + 1) * sizeof *s->trial);
    if (s->stands == NULL || s->trial == NULL)
        return false;
    for (size_t i = 0; i < pack->stand_count; i++) {
        size_t group = (size_t)(pack->stands[i] >> 32);
        size_t universe = (size_t)(pack->stands[i] & UINT32_MAX);
        s->stands[group * s->universes + universe]++;
    }
    s->cost.touches = pack->stand_count;
    return true;
}

static size_t universe_of(const search *s, size_t bin)
{
    if (bin < s->pack->bin_count)
        return s->pack->bins[bin].universe;
    return s->pack->universe_count + (bin - s->pack->bin_count);
}

/* No completion from piece i on beats the best answer. */
static bool hopeless(const search *s, size_t i)
{
    mtmi_pack_cost hope = s->cost;
    const mtmi_pack_cost *best = &s->answer->cost;
    int missing = s->tail[i] - s->free_slots;

    if (missing > 0)
        hope.opened += (size_t)((missing + MTMI_UNIVERSE_SLOTS - 1) / MTMI_UNIVERSE_SLOTS);
    if (hope.opened < s->answer->least.opened)
        hope.opened = s->answer->least.opened;
    if (hope.touches < s->answer->least.touches)
        hope.touches = s->answer->least.touches;
    hope.gaps = 0;
    return s->answer->found && !mtmi_pack_better(hope, *best);
}

static void keep_if_better(search *s)
{
    mtmi_pack_cost cost;

    for (size_t i = 0; i < s->count; i++) {
        size_t run = s->pieces[i].run;
        for (size_t k = s->first[run]; k < s->first[run + 1]; k++)
            s->trial[k] = s->at[i];
    }
    if (!mtmi_pack_price(s->pack, s->trial, &cost)) {
        s->stopped = true;
        return;
    }
    if (s->answer->found && !mtmi_pack_better(cost, s->answer->cost))
        return;
    memcpy(s->answer->bin, s->trial, s->pack->count * sizeof *s->trial);
    s->answer->cost = cost;
    s->answer->found = true;
}

static void place_from(search *s, size_t i);

static void try_bin(search *s, size_t i, size_t bin)
{
    const piece *p = &s->pieces[i];
    bool opens = bin == s->pack->bin_count + s->cost.opened;
    uint16_t *stands = NULL;

    if (p->group != MTMI_GROUP_NONE)
        stands = &s->stands[p->group * s->universes + universe_of(s, bin)];
    mtmi_pack_cost before = s->cost;
    int free_before = s->free_slots;

    s->room[bin] -= p->size;
    s->free_slots += (opens ? MTMI_UNIVERSE_SLOTS : 0) - p->size;
    s->cost.opened += opens;
    if (stands != NULL)
        s->cost.touches += (*stands)++ == 0;
    s->at[i] = bin;
    place_from(s, i + 1);
    if (stands != NULL)
        (*stands)--;
    s->cost = before;
    s->free_slots = free_before;
    s->room[bin] += p->size;
}

/* Equal pieces go into bins that do not fall, so that no two orders of them are both tried. */
static size_t first_bin_to_try(const search *s, size_t i)
{
    if (i == 0)
        return 0;
    const piece *p = &s->pieces[i];
    const piece *q = &s->pieces[i - 1];
    bool equal = p->size == q->size && p->group == q->group && p->only == q->only;
    return equal ? s->at[i - 1] : 0;
}

static void place_from(search *s, size_t i)
{
    if (++s->steps > STEPS_MOST)
        s->stopped = true;
    if (s->stopped || hopeless(s, i))
        return;
    if (i == s->count) {
        keep_if_better(s);
        return;
    }
    size_t end = s->pack->bin_count + s->cost.opened + 1;
    for (size_t bin = first_bin_to_try(s, i); bin < end && !s->stopped; bin++) {
        const piece *p = &s->pieces[i];
        bool allowed = p->only == MTMI_ANY_UNIVERSE || p->only == universe_of(s, bin);
        if (allowed && s->room[bin] >= p->size)
            try_bin(s, i, bin);
    }
}

bool mtmi_pack_search(const mtmi_pack *pack, const size_t *first, size_t run_count,
                      mtmi_pack_answer *answer)
{
    size_t universes = pack->universe_count + run_count;
    search *s = NULL;
    bool complete = false;

    if (run_count > RUNS_MOST || pack->bin_count + run_count > BINS_MOST ||
        (pack->group_count > 0 && universes > CELLS_MOST / pack->group_count))
        return false;
    s = calloc(1, sizeof *s);
    if (s == NULL)
        return false;
    if (search_create(s, pack, first, run_count, answer)) {
        place_from(s, 0);
        complete = !s->stopped;
    }
    free(s->trial);
    free(s->stands);
    free(s);
    return complete;
}
