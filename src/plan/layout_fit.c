/* SPDX-License-Identifier: MIT */
/* Packing by two plain rules: the first place that fits, and the place that stays emptiest. */
#include "base/number.h"
#include "plan/layout_pack.h"

#include <math.h>

/* What a holder and its emptiest bin carry, side by side for the scan of choose_emptiest. */
typedef struct rest {
    double spare; /* of the bin or the holder, whichever is less; -1 where no bin takes more */
    double holder_size, bin_size;
    double holder_part, bin_part; /* of the ratings, by one of size */
    size_t bin;
} rest;

/* A binary tree over holders whose nodes hold the most spare below them: the first holder that
 * takes a piece is found in logarithmic time. */
typedef struct fit {
    mtmi_pack *pack;
    rest *rests;  /* by holder */
    double *most; /* node n has 2n and 2n + 1 below it */
    size_t limit, leaves;
    mtmi_pool pool;
} fit;

static void find_rest(fit *f, size_t holder)
{
    const mtmi_pack_holder *h = &f->pack->holders[holder];
    rest found = {.spare = -1, .holder_size = h->content.size, .holder_part = 1 / h->rated};

    for (size_t b = h->first_bin; b < h[1].first_bin; b++) {
        const mtmi_pack_bin *bin = &f->pack->bins[b];
        if (mtmi_pack_spare(bin) > found.spare) {
            found.spare = mtmi_pack_spare(bin);
            found.bin_size = bin->content.size;
            found.bin_part = 1 / bin->rated;
            found.bin = b;
        }
    }
    found.spare = fmin(found.spare, h->rated * (1 + MTMI_NOISE) - h->content.size);
    f->rests[holder] = found;
}

static double more_of(const double *most, size_t node)
{
    return most[2 * node] > most[2 * node + 1] ? most[2 * node] : most[2 * node + 1];
}

/* Carries a holder's spare up the tree, as far as it changes anything. */
static void raise_most(fit *f, size_t holder)
{
    size_t node = f->leaves + holder;

    f->most[node] = f->rests[holder].spare;
    for (node /= 2; node > 0 && f->most[node] != more_of(f->most, node); node /= 2)
        f->most[node] = more_of(f->most, node);
}

static bool fit_create(mtmi_pack *pack, size_t limit, fit *f)
{
    *f = (fit){.pack = pack, .limit = limit, .leaves = 1};
    while (f->leaves < limit)
        f->leaves *= 2;
    f->rests = mtmi_pool_take(&f->pool, pack->holder_count, sizeof *f->rests);
    f->most = mtmi_pool_take(&f->pool, 2 * f->leaves, sizeof *f->most);
    if (f->pool.failed)
        return false;
    mtmi_pack_clear(pack);
    for (size_t h = 0; h < pack->holder_count; h++)
        find_rest(f, h);
    for (size_t h = 0; h < f->leaves; h++)
        f->most[f->leaves + h] = h < limit ? f->rests[h].spare : -1;
    for (size_t node = f->leaves - 1; node > 0; node--)
        f->most[node] = more_of(f->most, node);
    return true;
}

static size_t first_bin_of(const fit *f, size_t holder, double size)
{
    const mtmi_pack_holder *h = &f->pack->holders[holder];

    for (size_t b = h->first_bin; b < h[1].first_bin; b++) {
        if (mtmi_pack_fits(f->pack, b, size))
            return b;
    }
    return SIZE_MAX;
}

static size_t choose_first(const fit *f, const mtmi_pack_piece *piece)
{
    size_t node = 1;

    if (piece->only != MTMI_HOLDER_ANY)
        return first_bin_of(f, piece->only, piece->size);
    if (f->most[1] < piece->size)
        return SIZE_MAX;
    while (node < f->leaves)
        node = 2 * node + (f->most[2 * node] < piece->size);
    return first_bin_of(f, node - f->leaves, piece->size);
}

/* Where bins are no fuller than their holders, the holder decides. */
static size_t choose_emptiest(const fit *f, const mtmi_pack_piece *piece)
{
    bool any = piece->only == MTMI_HOLDER_ANY;
    size_t end = any ? f->limit : (size_t)piece->only + 1;
    size_t best = SIZE_MAX;
    double best_part = INFINITY;
    double best_holder = INFINITY;

    for (size_t h = any ? 0 : piece->only; h < end; h++) {
        const rest *r = &f->rests[h];
        double holder_part = (r->holder_size + piece->size) * r->holder_part;
        if (piece->size > r->spare || holder_part > best_part)
            continue;
        double part = fmax(holder_part, (r->bin_size + piece->size) * r->bin_part);
        if (part < best_part || (part == best_part && holder_part < best_holder)) {
            best_part = part;
            best_holder = holder_part;
            best = r->bin;
        }
    }
    return best;
}

static bool place_all(mtmi_pack *pack, const size_t *order, size_t limit,
                      size_t (*choose)(const fit *, const mtmi_pack_piece *), size_t *bin)
{
    fit f;
    bool done = fit_create(pack, limit, &f);

    for (size_t i = 0; i < pack->count; i++)
        bin[i] = SIZE_MAX;
    for (int turn = 0; done && turn < 2; turn++) {
        for (size_t k = 0; k < pack->count; k++) {
            size_t i = order != NULL ? order[k] : k;
            const mtmi_pack_piece *piece = &pack->pieces[i];
            if ((piece->only != MTMI_HOLDER_ANY) != (turn == 0))
                continue;
            bin[i] = choose(&f, piece);
            if (bin[i] == SIZE_MAX)
                goto end;
            mtmi_pack_add(pack, bin[i], piece->size, 1);
            find_rest(&f, pack->bins[bin[i]].holder);
            if (pack->bins[bin[i]].holder < limit)
                raise_most(&f, pack->bins[bin[i]].holder);
        }
    }
end:
    mtmi_pool_free(&f.pool);
    return done;
}

bool mtmi_pack_first_fit(mtmi_pack *pack, const size_t *order, size_t limit, size_t *bin)
{
    return place_all(pack, order, limit, choose_first, bin);
}

bool mtmi_pack_spread(mtmi_pack *pack, size_t limit, size_t *bin)
{
    return place_all(pack, NULL, limit, choose_emptiest, bin);
}
