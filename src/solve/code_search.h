/* SPDX-License-Identifier: MIT */
/* Code search: the codes whose light is nearest to what is wanted, proven so. */
#ifndef METAMER_SOLVE_CODE_SEARCH_H
#define METAMER_SOLVE_CODE_SEARCH_H

#include "solve/coder.h"
#include "unit/code_cost.h"

/** mtmi_sum_within for any cost and colour. */
double mtmi_sum_far(const struct mtmi_cost_basis *basis, double cost, double most);

/** X + 15 Y + 3 Z that no light of this cost exceeds: its output is no more than s steps above what
 *  is wanted, and its v' no more than s steps below, s * s being the cost. most: what all give. */
static inline double mtmi_sum_within(const struct mtmi_cost_basis *basis, double cost, double most)
{
    double s = 0.5 + 0.5 * cost; /* no less than the root */

    if (cost > 4 || basis->v < 0.1)
        return mtmi_sum_far(basis, cost, most);
    return basis->all * (1 + MTM_STEP_OUTPUT * s) * (1 + 0.0114 * s); /* 1 / (1 - 0.0011 s / v') */
}

/** An emitter whose code is to be chosen. A candidate is an 8-bit code, or one of the two 16-bit
 * codes about its level. */
struct mtmi_open {
    const double *level; /* of each candidate; never falls from one to the next */
    unsigned least, most;
    unsigned near, above;   /* the candidates about the level wanted */
    double wanted;          /* level */
    struct mtmi_sums light; /* at level 1, dimmed */
};

struct mtmi_search {
    struct mtmi_cost_basis basis;
    struct mtmi_sums base;   /* light of the emitters that are settled */
    struct mtmi_sums wanted; /* light of all emitters at the levels wanted, as far as they reach */
    size_t count;            /* of emitters that are open, > 0 */
    struct mtmi_open open[MTM_EMITTERS_MAX];
    unsigned candidate[MTM_EMITTERS_MAX]; /* by open emitter: where to start; then the answer */
};

/**
 * Finds the candidates of least cost: squared steps between their light and what is wanted. Of sets
 * whose costs are the same, the one with the lower candidate of the first emitter in which they
 * differ.
 *
 * Branch and bound: within the output and chromaticity that a cost allows, X + 15 Y + 3 Z has a
 * bound, and with it as the denominator the cost is at least a sum of three squares that are linear
 * in the levels. Made triangular, these leave each emitter a range, given those before it.
 * @return the cost; infinite, with the start left as it is, if that breaks the power limit
 */
double mtmi_search_codes(struct mtmi_search *search);

#endif
