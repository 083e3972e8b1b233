/* SPDX-License-Identifier: MIT */
/* Rounding of two emitters of 8 bits, what most optima leave between codes: the four codes about
 * their levels, with a proof that none farther off is better. */
#ifndef METAMER_SOLVE_ROUND_TWO_H
#define METAMER_SOLVE_ROUND_TWO_H

#include "solve/code_search.h"
#include "solve/coder.h"
#include "solve/pair.h"

#include <math.h>

/* Less than this of a direction beside another, relatively and squared, may be rounding. */
#define MTMI_SAME_DIRECTION 1e-12

/** The first of four costs that is the same as the least. Sums instead of branches, for which it is
 *  is not to be guessed. */
static inline size_t mtmi_first_least(const double cost[4], double *least)
{
    double one = cost[1] < cost[0] ? cost[1] : cost[0];
    double two = cost[3] < cost[2] ? cost[3] : cost[2];
    double low = one < two ? one : two, bound = mtmi_with_noise(low);

    *least = low;
    size_t not_0 = cost[0] > bound, not_1 = cost[1] > bound, not_2 = cost[2] > bound;
    return not_0 + (not_0 & not_1) + (not_0 & not_1 & not_2);
}

/** The codes about a level. */
struct mtmi_about {
    unsigned code;       /* the lower */
    double off_0, off_1; /* what the lower and the upper are off */
    double farther;      /* how far off the nearest other code is, at least */
};

/** False if the level is a code's own or beyond them. */
static inline bool mtmi_about_level(const struct mtmi_levels *levels, double level, double same,
                                    struct mtmi_about *about)
{
    if (!(level < 1))
        return false;
    unsigned code = levels->hint[(unsigned)(level * MTMI_LEVEL_HINTS)];
    while (levels->level[code + 1] <= level)
        code++;
    unsigned lowest = levels->lowest[code];
    double below = lowest > 0 ? level - levels->level[lowest - 1] : (double)INFINITY;
    double off_0 = levels->level[code] - level, off_1 = levels->level[code + 1] - level;
    if ((off_0 >= -same) | (off_1 <= same) | (code == MTM_CODE_MAX_8))
        return false;
    double above = levels->level[code + 2] - level; /* infinite beyond the top */
    *about = (struct mtmi_about){code, off_0, off_1, below < above ? below : above};
    return true;
}

/** An emitter's light in the directions of the cost: u' and v' by the sum X + 15 Y + 3 Z. */
struct mtmi_effect {
    double u, v, output, all;
};

static inline struct mtmi_effect mtmi_effect_of(const struct mtmi_cost_basis *basis,
                                                const struct mtmi_sums *light)
{
    return (struct mtmi_effect){light->u - basis->u * light->all, light->v - basis->v * light->all,
                                light->v, light->all};
}

/** The costs of the four choices, those with the first emitter's lower code first. Sums are taken
 *  from what is wanted, so that nothing cancels. */
static inline void mtmi_costs_of_two(const struct mtmi_cost_basis *basis, struct mtmi_effect a,
                                     struct mtmi_effect b, mtmi_pair by_a, mtmi_pair by_b,
                                     double cost[4])
{
    const double steps = 1 / MTM_STEP_UV, output_steps = basis->per_output / MTM_STEP_OUTPUT;
    const mtmi_pair u_b = by_b * b.u, v_b = by_b * b.v, output_b = by_b * b.output;
    const mtmi_pair all_b = by_b * b.all + basis->all;

    for (size_t i = 0; i < 2; i++) {
        mtmi_pair u = by_a[i] * a.u + u_b, v = by_a[i] * a.v + v_b;
        mtmi_pair output = (by_a[i] * a.output + output_b) * output_steps;
        mtmi_pair per_all = steps / (by_a[i] * a.all + all_b);
        mtmi_pair_store(cost + 2 * i, (u * u + v * v) * (per_all * per_all) + output * output);
    }
}

/** The least that levels can cost, by how far they are off: aa a a + 2 ab a b + bb b b, in squared
 *  steps over scale. The bound is that of the search (code_search.h). */
struct mtmi_two_bound {
    double aa, ab, bb;
    double own; /* aa bb - ab ab, rounded down */
    double scale;
};

static inline struct mtmi_two_bound mtmi_two_bound_of(const struct mtmi_cost_basis *basis,
                                                      struct mtmi_effect a, struct mtmi_effect b,
                                                      double cost)
{
    double most = mtmi_sum_within(basis, mtmi_with_noise(cost), INFINITY);
    double weight = most * basis->per_output * (MTM_STEP_UV / MTM_STEP_OUTPUT);
    double output_a = a.output * weight, output_b = b.output * weight;
    double aa = a.u * a.u + a.v * a.v + output_a * output_a;
    double bb = b.u * b.u + b.v * b.v + output_b * output_b;
    double ab = a.u * b.u + a.v * b.v + output_a * output_b;

    return (struct mtmi_two_bound){aa, ab, bb, (1 - MTMI_SAME_DIRECTION) * aa * bb - ab * ab,
                                   (MTM_STEP_UV * MTM_STEP_UV) * (most * most)};
}

/** True if no set with another code than those about the levels can cost as little: each such code
 *  is too far off, whatever the other emitter gives. */
static inline bool mtmi_two_are_best(const struct mtmi_two_bound *bound, double far_a, double far_b,
                                     double cost)
{
    double limit = mtmi_with_noise(cost) * bound->scale;

    return (far_a * far_a * bound->own > limit * bound->bb) &
           (far_b * far_b * bound->own > limit * bound->aa);
}

/** One of two emitters whose codes are chosen. */
struct mtmi_one_of_two {
    const struct mtmi_levels *levels;
    struct mtmi_effect effect;
    struct mtmi_about about;
    double watts, level, gain;
    unsigned code; /* the best so far; then the answer */
};

/** Searches the codes within reach of the levels for one better than those chosen, which cost so
 *  much; of equals, as mtmi_search_codes. The bound's own is above 0. Returns the cost. */
double mtmi_search_two(const struct mtmi_cost_basis *basis, const struct mtmi_two_bound *bound,
                       double watts, struct mtmi_one_of_two two[2], double cost);

/**
 * Chooses the codes of two emitters.
 * @param wanted their levels
 * @param same   how near a level behind the dimmer must be to a code's own to be that
 * @param watts  of all levels
 * @param codes  theirs are set, if true is returned
 * @return false where it is not this simple
 */
static inline bool mtmi_choose_two(const struct mtm_coder *coder,
                                   const struct mtmi_cost_basis *basis, const uint8_t *emitter,
                                   const double *wanted, double gain, double same, double watts,
                                   uint32_t *codes, double *cost)
{
    const size_t i = emitter[0], k = emitter[1];
    const struct mtmi_levels *levels_a = coder->channels.emitter[i].levels,
                             *levels_b = coder->channels.emitter[k].levels;
    double level_a = gain == 1 ? wanted[0] : wanted[0] / gain;
    double level_b = gain == 1 ? wanted[1] : wanted[1] / gain;
    struct mtmi_about at_a, at_b;
    double costs[4];

    if (levels_a == NULL || levels_b == NULL || !mtmi_about_level(levels_a, level_a, same, &at_a) ||
        !mtmi_about_level(levels_b, level_b, same, &at_b))
        return false;
    const struct mtmi_sums *light_a = &coder->light[i], *light_b = &coder->light[k];
    struct mtmi_effect a = mtmi_effect_of(basis, light_a), b = mtmi_effect_of(basis, light_b);
    double low = gain * (at_a.off_0 * light_a->all + at_b.off_0 * light_b->all);
    double high = gain * (at_a.off_1 * light_a->watts + at_b.off_1 * light_b->watts);
    if ((basis->all + low <= MTMI_BLACK * basis->all) | (watts + high > basis->most_watts))
        return false;
    mtmi_costs_of_two(basis, a, b, gain * (mtmi_pair){at_a.off_0, at_a.off_1},
                      gain * (mtmi_pair){at_b.off_0, at_b.off_1}, costs);
    size_t best = mtmi_first_least(costs, cost);
    unsigned code_a = best >> 1 ? at_a.code + 1 : levels_a->lowest[at_a.code];
    unsigned code_b = best & 1 ? at_b.code + 1 : levels_b->lowest[at_b.code];
    const struct mtmi_two_bound bound = mtmi_two_bound_of(basis, a, b, *cost);
    if (!mtmi_two_are_best(&bound, gain * at_a.farther, gain * at_b.farther, *cost)) {
        if (!(bound.own > 0))
            return false;
        struct mtmi_one_of_two two[2] = {
            {levels_a, a, at_a, light_a->watts, level_a, gain, code_a},
            {levels_b, b, at_b, light_b->watts, level_b, gain, code_b}};
        *cost = mtmi_search_two(basis, &bound, watts, two, *cost);
        code_a = two[0].code;
        code_b = two[1].code;
    }
    codes[i] = code_a;
    codes[k] = code_b;
    return true;
}

#endif
