/* SPDX-License-Identifier: MIT */
/* Packing: loads and costs, which all methods share. */
#include "plan/layout_pack.h"
#include "base/number.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void mtmi_pack_create(mtmi_pack *pack, mtmi_pool *pool, size_t pieces, size_t holders, size_t bins)
{
    pack->pieces = mtmi_pool_take(pool, pieces, sizeof *pack->pieces);
    pack->holders = mtmi_pool_take(pool, holders + 1, sizeof *pack->holders);
    pack->bins = mtmi_pool_take(pool, bins, sizeof *pack->bins);
}

bool mtmi_pack_within(double content, double rated)
{
    return content <= rated * (1 + MTMI_NOISE);
}

double mtmi_pack_spare(const mtmi_pack_bin *bin)
{
    if (bin->most > 0 && bin->content.pieces >= bin->most)
        return -1;
    return bin->rated * (1 + MTMI_NOISE) - bin->content.size;
}

bool mtmi_pack_fits(const mtmi_pack *pack, size_t bin, double size)
{
    const mtmi_pack_bin *b = &pack->bins[bin];
    const mtmi_pack_holder *h = &pack->holders[b->holder];

    return mtmi_pack_spare(b) >= size && h->rated * (1 + MTMI_NOISE) - h->content.size >= size;
}

static void content_add(mtmi_pack_content *content, double size, int sign)
{
    content->size += sign * size;
    content->pieces += sign;
    if (content->pieces == 0)
        content->size = 0; /* no rounding is left behind */
}

void mtmi_pack_add(mtmi_pack *pack, size_t bin, double size, int sign)
{
    content_add(&pack->bins[bin].content, size, sign);
    content_add(&pack->holders[pack->bins[bin].holder].content, size, sign);
}

static void content_fix(mtmi_pack_content *content)
{
    content->fixed_size = content->size;
    content->fixed_pieces = content->pieces;
}

static void content_clear(mtmi_pack_content *content)
{
    content->size = content->fixed_size;
    content->pieces = content->fixed_pieces;
}

static void for_each_content(mtmi_pack *pack, void (*change)(mtmi_pack_content *))
{
    for (size_t b = 0; b < pack->bin_count; b++)
        change(&pack->bins[b].content);
    for (size_t h = 0; h < pack->holder_count; h++)
        change(&pack->holders[h].content);
}

void mtmi_pack_fix(mtmi_pack *pack)
{
    for_each_content(pack, content_fix);
}

void mtmi_pack_clear(mtmi_pack *pack)
{
    for_each_content(pack, content_clear);
}

static double find_peak(const mtmi_pack *pack)
{
    double peak = 0;

    for (size_t b = 0; b < pack->bin_count; b++)
        peak = fmax(peak, pack->bins[b].content.size / pack->bins[b].rated);
    for (size_t h = 0; h < pack->holder_count; h++)
        peak = fmax(peak, pack->holders[h].content.size / pack->holders[h].rated);
    return peak;
}

static double count_gaps(const mtmi_pack *pack)
{
    double gaps = 0;

    for (size_t h = 0; h < pack->holder_count; h++) {
        double last = pack->holders[h].last;
        for (size_t b = pack->holders[h].first_bin; b < pack->holders[h + 1].first_bin; b++) {
            const mtmi_pack_bin *bin = &pack->bins[b];
            if (bin->content.pieces > 0)
                last = fmax(last, bin->start + bin->content.size - 1);
        }
        gaps += last - pack->holders[h].content.size;
    }
    return gaps;
}

double mtmi_pack_flaw(const mtmi_pack *pack)
{
    return pack->even ? find_peak(pack) : count_gaps(pack);
}

bool mtmi_pack_twins(const mtmi_pack *pack, size_t a, size_t b)
{
    const mtmi_pack_holder *h = &pack->holders[a];
    const mtmi_pack_holder *k = &pack->holders[b];
    const mtmi_pack_bin *p = &pack->bins[h->first_bin];
    const mtmi_pack_bin *q = &pack->bins[k->first_bin];

    return !h->bound && !k->bound && h->rated == k->rated &&
           h[1].first_bin - h->first_bin == k[1].first_bin - k->first_bin && p->rated == q->rated &&
           p->most == q->most;
}

bool mtmi_pack_better(const mtmi_pack_cost *a, const mtmi_pack_cost *b)
{
    if (a->holders != b->holders)
        return a->holders < b->holders;
    if (a->touches != b->touches)
        return a->touches < b->touches;
    return a->flaw < b->flaw * (1 - MTMI_NOISE);
}

bool mtmi_pack_perfect(const mtmi_pack *pack, const mtmi_pack_answer *answer)
{
    return answer->found && !mtmi_pack_better(&pack->least, &answer->cost);
}

static int ascending(const void *a, const void *b)
{
    uint64_t x = *(const uint64_t *)a;
    uint64_t y = *(const uint64_t *)b;

    return x < y ? -1 : x > y;
}

size_t mtmi_sort_keys(uint64_t *keys, size_t count)
{
    size_t unique = 0;

    qsort(keys, count, sizeof *keys, ascending);
    for (size_t i = 0; i < count; i++) {
        if (i == 0 || keys[i] != keys[i - 1])
            keys[unique++] = keys[i];
    }
    return unique;
}

static bool count_touches(const mtmi_pack *pack, const size_t *bin, size_t *touches)
{
    uint64_t *pairs = malloc((pack->count + pack->stand_count + 1) * sizeof *pairs);
    size_t used = pack->stand_count;

    if (pairs == NULL)
        return false;
    if (used > 0)
        memcpy(pairs, pack->stands, used * sizeof *pairs);
    for (size_t i = 0; i < pack->count; i++) {
        pairs[used] = (uint64_t)pack->pieces[i].group << 32 | pack->bins[bin[i]].holder;
        bool again = used > 0 && pairs[used - 1] == pairs[used];
        used += pack->pieces[i].group != MTMI_GROUP_NONE && !again;
    }
    *touches = mtmi_sort_keys(pairs, used);
    free(pairs);
    return true;
}

static bool price(mtmi_pack *pack, const size_t *bin, mtmi_pack_cost *cost)
{
    *cost = (mtmi_pack_cost){0};
    mtmi_pack_clear(pack);
    for (size_t i = 0; i < pack->count; i++)
        mtmi_pack_add(pack, bin[i], pack->pieces[i].size, 1);
    for (size_t h = 0; h < pack->holder_count; h++)
        cost->holders += pack->holders[h].bound || pack->holders[h].content.pieces > 0;
    cost->flaw = mtmi_pack_flaw(pack);
    mtmi_pack_clear(pack);
    return pack->group_count == 0 || count_touches(pack, bin, &cost->touches);
}

bool mtmi_pack_improve(mtmi_pack *pack, const size_t *trial, mtmi_pack_answer *answer)
{
    mtmi_pack_cost cost;

    for (size_t i = 0; i < pack->count; i++) {
        if (trial[i] == SIZE_MAX)
            return true;
    }
    if (!price(pack, trial, &cost))
        return false;
    if (!answer->found || mtmi_pack_better(&cost, &answer->cost)) {
        if (pack->count > 0)
            memcpy(answer->bin, trial, pack->count * sizeof *trial);
        answer->cost = cost;
        answer->found = true;
    }
    return true;
}
