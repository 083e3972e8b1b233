/* SPDX-License-Identifier: MIT */
/* Packing: pieces into bins that share holders; the one model behind ports and addresses.
 *
 *   layout_port:    a piece is a unit, a bin a port, a holder its supply; sizes are watts
 *   layout_address: a piece is a unit's slots or a whole supply's, a bin a free stretch of a
 * universe, a holder the universe; sizes are slots
 *
 * A layout costs the holders in use first, then either how many holders part a group, or how full
 * the fullest bin or holder is. The quick ways (layout_fit.c, layout_sequence.c) find a layout, the
 * bounds (layout_bound.h, layout_port_bound.h) say whether a better one may exist, and only then
 * everything is tried (layout_search.c). Order counts throughout: of equally good places the first
 * is taken, so that answers read like the file and are the same on every machine. */
#ifndef METAMER_PLAN_LAYOUT_PACK_H
#define METAMER_PLAN_LAYOUT_PACK_H

#include "base/pool.h"

#include <metamer/base.h>

/** Belongs to no group. */
#define MTMI_GROUP_NONE UINT32_MAX
/** May go into any holder. */
#define MTMI_HOLDER_ANY UINT32_MAX

/** What is placed as a whole. */
typedef struct mtmi_pack_piece {
    double size;    /**< > 0; whole numbers for mtmi_pack_sequence and mtmi_pack_fill */
    uint32_t group; /**< or MTMI_GROUP_NONE */
    uint32_t only;  /**< the holder it must go to, or MTMI_HOLDER_ANY */
    uint32_t
        first; /**< the caller's: the first thing it is made of, rising where sizes are equal */
} mtmi_pack_piece;

/** A load now, and as it was before any piece was placed. */
typedef struct mtmi_pack_content {
    double size, fixed_size;
    int pieces, fixed_pieces;
} mtmi_pack_content;

/** Where pieces go. */
typedef struct mtmi_pack_bin {
    uint32_t holder;
    int most;  /**< pieces; 0: any number */
    int start; /**< number of its first slot */
    double rated;
    mtmi_pack_content content;
} mtmi_pack_bin;

/** What bins are part of. */
typedef struct mtmi_pack_holder {
    uint32_t rank;    /**< place in the file */
    bool bound;       /**< in use whatever happens; others are empty and have equal bins */
    size_t first_bin; /**< its bins end where those of the next holder begin */
    int last;         /**< number of the last slot that was in use before any piece was placed */
    double rated;
    mtmi_pack_content content;
} mtmi_pack_holder;

/** What a packing costs, the first first. */
typedef struct mtmi_pack_cost {
    size_t holders; /**< in use */
    size_t touches; /**< pairs of a group and a holder it stands in */
    double flaw; /**< with even: largest part of a rating in use; else free slots below used ones */
} mtmi_pack_cost;

/** What is to be packed. Methods change loads and nothing else. */
typedef struct mtmi_pack {
    mtmi_pack_piece *pieces;
    size_t count;
    mtmi_pack_bin *bins; /**< by holder */
    size_t bin_count;
    mtmi_pack_holder *holders; /**< the bound ones first; one more ends the bins of the last */
    size_t holder_count;
    uint32_t group_count;
    const uint64_t *stands; /**< (group << 32 | holder) where a group already stands; each once */
    size_t stand_count;
    bool even;            /**< what the flaw of a packing is */
    mtmi_pack_cost least; /**< no packing costs less in any respect */
} mtmi_pack;

/** A packing: the bin of each piece. */
typedef struct mtmi_pack_answer {
    size_t *bin; /**< count places, the caller's; SIZE_MAX: no place was found */
    mtmi_pack_cost cost;
    bool found;
} mtmi_pack_answer;

/** Sorts and leaves each key once at the beginning; returns how many those are. */
size_t mtmi_sort_keys(uint64_t *keys, size_t count);

/** Empty tables of these sizes, from a pool that outlives the pack and knows if it failed. */
void mtmi_pack_create(mtmi_pack *pack, mtmi_pool *pool, size_t pieces, size_t holders, size_t bins);

/** True if a load keeps within a rating. */
bool mtmi_pack_within(double content, double rated);
/** What a bin takes more by its own rating; -1 where it takes no more pieces. */
double mtmi_pack_spare(const mtmi_pack_bin *bin);
/** True if a piece of this size may go there, by the ratings of bin and holder. */
bool mtmi_pack_fits(const mtmi_pack *pack, size_t bin, double size);
/** Adds a piece (sign 1) or takes it away (sign -1). */
void mtmi_pack_add(mtmi_pack *pack, size_t bin, double size, int sign);
/** Makes the loads of now those before any piece is placed. */
void mtmi_pack_fix(mtmi_pack *pack);
/** Goes back to those. */
void mtmi_pack_clear(mtmi_pack *pack);
/** The largest part of a rating in use, or the free slots below the last used one of each holder.
 */
double mtmi_pack_flaw(const mtmi_pack *pack);
/** True if neither holder is bound and all their ratings are equal. */
bool mtmi_pack_twins(const mtmi_pack *pack, size_t a, size_t b);

/** True if a is better than b, and not by rounding. */
bool mtmi_pack_better(const mtmi_pack_cost *a, const mtmi_pack_cost *b);
/** Makes trial the answer if every piece has a place and it is better. False if out of memory. */
bool mtmi_pack_improve(mtmi_pack *pack, const size_t *trial, mtmi_pack_answer *answer);
/** True if nothing better than the answer exists. */
bool mtmi_pack_perfect(const mtmi_pack *pack, const mtmi_pack_answer *answer);

/** Each piece into the first bin that takes it, among the first limit holders; pieces in order[]
 *  (NULL: as given), those with one holder before all others. Time grows with pieces times the bins
 *  of one holder. False if out of memory. */
bool mtmi_pack_first_fit(mtmi_pack *pack, const size_t *order, size_t limit, size_t *bin);

/** Each piece where the largest part of a rating in use stays smallest, else as for first fit. Time
 *  grows with pieces times holders. */
bool mtmi_pack_spread(mtmi_pack *pack, size_t limit, size_t *bin);

/** Group after group into bin after bin, so that little more than the ends of bins part a group.
 *  Whole sizes, at most 512. False if out of memory. */
bool mtmi_pack_sequence(mtmi_pack *pack, size_t *bin);

/** Bin after bin as full as can be, the largest pieces first; with by_columns, the bins of empty
 *  holders as the linear relaxation says. Whole sizes, at most 512. False if out of memory. */
bool mtmi_pack_fill(mtmi_pack *pack, bool by_columns, size_t *bin);

/** Tries everything within a budget of steps, improving the answer; equal pieces stand beside each
 *  other in order[]. *complete: nothing was left out. False if out of memory. */
bool mtmi_pack_search(mtmi_pack *pack, const size_t *order, mtmi_pack_answer *answer,
                      bool *complete);

/** Gives places of equal worth to pieces in the order of first: equal pieces, holders with equal
 *  ratings, the empty bins of a holder. Pieces come with equal sizes beside each other. False if
 * out of memory. */
bool mtmi_pack_tidy(mtmi_pack *pack, size_t *bin);

#endif
