/* SPDX-License-Identifier: MIT */
/* Rounding: the codes about each level; of a few emitters at once, with a quick proof that none
 * farther off is better; else by search. */
#include "solve/code_search.h"
#include "solve/coder.h"
#include "solve/pair.h"

#include <math.h>
#include <string.h>

/* All choices of this many emitters are tried at once. */
#define FEW 3

/* Behind a dimmer, which multiplies levels, at most this is no difference. */
#define SAME_LEVEL_BEHIND 1e-6

/* Emitters whose code is not settled. */
struct unsettled {
    size_t count;
    bool exact;                            /* the settled ones give what is wanted of them */
    struct mtmi_sums base;                 /* the light of all lower codes */
    uint8_t emitter[MTM_EMITTERS_MAX + 1]; /* one place more, for the emitter in hand */
    struct mtmi_bracket bracket[MTM_EMITTERS_MAX + 1];
    double wanted[MTM_EMITTERS_MAX + 1];         /* level, without the dimmer */
    struct mtmi_sums step[MTM_EMITTERS_MAX + 1]; /* what the higher code adds */
};

/* How many codes beyond those about its level are looked at for each of so many emitters. The more
 * there are, the nearer some set of neighbours comes; and wider, the search could turn the mix into
 * another. */
static unsigned reach_for(size_t count)
{
    return count <= 3 ? 8 : count <= 5 ? 3 : count <= 8 ? 1 : 0;
}

static inline struct mtmi_sums add(struct mtmi_sums a, double scale, struct mtmi_sums b)
{
    return (struct mtmi_sums){a.u + scale * b.u, a.v + scale * b.v, a.all + scale * b.all,
                              a.watts + scale * b.watts};
}

static inline struct mtmi_sums times(double scale, struct mtmi_sums a)
{
    return (struct mtmi_sums){scale * a.u, scale * a.v, scale * a.all, scale * a.watts};
}

static inline struct mtmi_sums plus(struct mtmi_sums a, struct mtmi_sums b)
{
    return (struct mtmi_sums){a.u + b.u, a.v + b.v, a.all + b.all, a.watts + b.watts};
}

/* The light of four choices, in two pairs. */
struct four {
    struct {
        mtmi_pair u, v, all, watts;
    } pair[2];
};

/* Both ways for each of two emitters: neither, the first, the second, both. */
static inline struct four both_ways(struct mtmi_sums light, struct mtmi_sums a, struct mtmi_sums b)
{
    struct mtmi_sums with_a = plus(light, a), with_b = plus(light, b), both = plus(with_a, b);

    return (struct four){
        {{mtmi_pair_of(light.u, with_a.u), mtmi_pair_of(light.v, with_a.v),
          mtmi_pair_of(light.all, with_a.all), mtmi_pair_of(light.watts, with_a.watts)},
         {mtmi_pair_of(with_b.u, both.u), mtmi_pair_of(with_b.v, both.v),
          mtmi_pair_of(with_b.all, both.all), mtmi_pair_of(with_b.watts, both.watts)}}};
}

static inline mtmi_pair alike(double value)
{
    return mtmi_pair_of(value, value);
}

/* Squared steps between light and what is wanted; infinite where the power limit is broken. Black
 * has no chromaticity: only its output counts. */
static inline void costs_of(const struct mtmi_code_judge *judge, const struct four *light,
                            double cost[4])
{
    const mtmi_pair uv_weight = alike(1 / (MTMI_STEP_UV * MTMI_STEP_UV)), one = alike(1);
    const mtmi_pair output_weight = alike(1 / (MTMI_STEP_OUTPUT * MTMI_STEP_OUTPUT));

    for (size_t i = 0; i < 2; i++) {
        mtmi_pair u = light->pair[i].u, v = light->pair[i].v, all = light->pair[i].all;
        mtmi_pair per_all = mtmi_pair_over(one, all);
        mtmi_pair du = mtmi_pair_minus(mtmi_pair_times(u, per_all), alike(judge->u));
        mtmi_pair dv = mtmi_pair_minus(mtmi_pair_times(v, per_all), alike(judge->v));
        mtmi_pair error = mtmi_pair_minus(mtmi_pair_times(v, alike(judge->per_output)), one);
        mtmi_pair uv = mtmi_pair_plus(mtmi_pair_times(du, du), mtmi_pair_times(dv, dv));
        mtmi_pair off =
            mtmi_pair_plus(mtmi_pair_times(mtmi_pair_times(error, error), output_weight),
                           mtmi_pair_times(uv, uv_weight));
        off = mtmi_pair_where_more(light->pair[i].watts, alike(judge->most_watts), alike(INFINITY),
                                   off);
        off = mtmi_pair_where_more(all, alike(MTMI_BLACK * judge->all), off, output_weight);
        mtmi_pair_store(cost + 2 * i, off);
    }
}

/* The first of four costs that is the same as the least. Sums instead of branches, for which it is
 * is not to be guessed. */
static inline size_t first_least(const double cost[4], double *least)
{
    double one = cost[1] < cost[0] ? cost[1] : cost[0];
    double two = cost[3] < cost[2] ? cost[3] : cost[2];
    double low = one < two ? one : two, bound = mtmi_same_cost(low);

    *least = low;
    size_t not_0 = cost[0] > bound, not_1 = cost[1] > bound, not_2 = cost[2] > bound;
    return not_0 + (not_0 & not_1) + (not_0 & not_1 & not_2);
}

/* Tries both codes of each of a few emitters. The choices are counted so that of two the one that
 * has the lower code of the first emitter in which they differ comes first. Returns the cost. */
static inline double choose(const struct unsettled *open, const struct mtmi_code_judge *judge,
                            unsigned rung[FEW])
{
    const struct mtmi_sums none = {0, 0, 0, 0};
    size_t n = open->count;
    struct mtmi_sums last = n > 0 ? open->step[n - 1] : none;
    struct mtmi_sums before = n > 1 ? open->step[n - 2] : none;
    double cost[4], least = 0, other = 0;

    struct four four = both_ways(open->base, last, before);
    costs_of(judge, &four, cost);
    size_t best = first_least(cost, &least);
    if (n == FEW) {
        four = both_ways(plus(open->base, open->step[0]), last, before);
        costs_of(judge, &four, cost);
        size_t second = 4 + first_least(cost, &other);
        best = mtmi_same_cost(other) < least ? second : best;
        least = other < least ? other : least;
    }
    for (size_t i = 0; i < n; i++)
        rung[i] = best >> (n - 1 - i) & 1;
    return least;
}

/* The squared distance of the nearest code but the two about a level. */
static inline double farther(const struct mtmi_ladder *ladder, const struct mtmi_bracket *b,
                             double wanted)
{
    const struct mtmi_steps *steps = ladder->steps;

    if (steps == NULL)
        return INFINITY; /* of 16 bits only the two are looked at */
    double before = b->code[0] > 0 ? wanted - steps->level[b->code[0] - 1] : (double)INFINITY;
    double after = steps->level[b->code[1] + 1] - wanted; /* infinite beyond the top */
    double nearer = before < after ? before : after;
    return nearer * nearer;
}

/* A light's colour and output, as directions of the cost. */
struct direction {
    double u, v, output;
};

static inline struct direction direction_of(const struct mtmi_code_judge *judge,
                                            struct mtmi_sums light, double output_weight)
{
    return (struct direction){light.u - judge->u * light.all, light.v - judge->v * light.all,
                              light.v * output_weight};
}

static inline struct direction across(struct direction a, struct direction b)
{
    return (struct direction){a.v * b.output - a.output * b.v, a.output * b.u - a.u * b.output,
                              a.u * b.v - a.v * b.u};
}

static inline double along(struct direction a, struct direction b)
{
    return a.u * b.u + a.v * b.v + a.output * b.output;
}

/* True if with a few emitters no set with another code than those about the levels can cost as
 * little: each such code is too far off, whatever the other emitters give. The bound is that of
 * the search (code_search.h). */
static inline bool are_best(const struct mtm_coder *coder, const struct unsettled *open,
                            const struct mtmi_code_judge *judge, double gain, double cost)
{
    double bound = mtmi_same_cost(cost), far[FEW] = {0};
    double sum = mtmi_sum_within(judge, bound, INFINITY);
    double weight = judge->per_output * sum * (MTMI_STEP_UV / MTMI_STEP_OUTPUT);
    double limit = bound * (MTMI_STEP_UV * MTMI_STEP_UV) * sum * sum;
    struct direction way[FEW];

    if (open->count == 0)
        return true;
    if (!open->exact)
        return false;
    for (size_t i = 0; i < open->count; i++) {
        size_t k = open->emitter[i];
        way[i] = direction_of(judge, coder->light[k], weight);
        far[i] = gain * gain * farther(&coder->emitter[k], &open->bracket[i], open->wanted[i]);
    }
    if (open->count == 1)
        return far[0] * along(way[0], way[0]) > limit;
    struct direction side = across(way[0], way[1]);
    double area = along(side, side);
    if (open->count == 2)
        return far[0] * area > limit * along(way[1], way[1]) &&
               far[1] * area > limit * along(way[0], way[0]);
    struct direction other = across(way[1], way[2]), another = across(way[2], way[0]);
    double volume = along(side, way[2]), squared = volume * volume;
    return far[0] * squared > limit * along(other, other) &&
           far[1] * squared > limit * along(another, another) && far[2] * squared > limit * area;
}

/* The rungs of an emitter that are looked at. */
static struct mtmi_open rungs_of(const struct mtmi_steps *steps, const struct mtmi_bracket *b,
                                 unsigned reach)
{
    if (steps == NULL)
        return (struct mtmi_open){
            .level = b->level, .most = b->code[0] != b->code[1], .above = b->code[0] != b->code[1]};
    unsigned least = b->code[0], most = b->code[1] + reach;
    for (unsigned i = 0; i < reach && least > 0; i++)
        least = steps->lowest[least - 1];
    return (struct mtmi_open){
        .level = steps->level, .least = least, .most = most < 255 ? most : 255, .near = b->code[0]};
}

/* Searches all codes within reach; rung: the choices to start from, then the rungs found. */
static double search(const struct mtm_coder *coder, const struct unsettled *open,
                     const struct mtmi_code_judge *judge, double gain, uint16_t *codes)
{
    struct mtmi_search search; /* large, and most often little of it is used */

    search.judge = *judge;
    search.count = open->count;
    search.base = open->base;
    for (size_t i = 0; i < open->count; i++) {
        const struct mtmi_bracket *b = &open->bracket[i];
        size_t k = open->emitter[i];
        struct mtmi_open *one = &search.open[i];
        *one = rungs_of(coder->emitter[k].steps, b, reach_for(open->count));
        one->wanted = open->wanted[i];
        one->light = times(gain, coder->light[k]);
        search.base = add(search.base, -b->level[0], one->light);
        bool upper = open->wanted[i] - b->level[0] > b->level[1] - open->wanted[i];
        bool high = open->count <= FEW ? codes[k] != b->code[0] : upper;
        search.rung[i] = high ? one->above : one->near;
    }
    search.wanted = search.base;
    for (size_t i = 0; i < open->count; i++)
        search.wanted = add(search.wanted, open->wanted[i], search.open[i].light);
    double cost = mtmi_search_codes(&search);
    if (!(cost < INFINITY)) { /* the lower codes keep the power limit if the levels do */
        for (size_t i = 0; i < open->count; i++)
            search.rung[i] = search.open[i].near;
        cost = mtmi_search_codes(&search);
    }
    for (size_t i = 0; i < open->count; i++) {
        const struct mtmi_steps *steps = coder->emitter[open->emitter[i]].steps;
        codes[open->emitter[i]] =
            steps != NULL ? steps->lowest[search.rung[i]] : open->bracket[i].code[search.rung[i]];
    }
    return cost;
}

/* How near a level behind a dimmer must be to a code's own to be that. */
static double same_behind(double gain)
{
    return MTMI_SAME_LEVEL / gain < SAME_LEVEL_BEHIND ? MTMI_SAME_LEVEL / gain : SAME_LEVEL_BEHIND;
}

/* Sums the light wanted and brackets every emitter's level. Most emitters of an optimum rest at 0
 * or at their top, which need no search. Otherwise written without branches, for which emitters
 * rest at a code is not to be guessed. */
static inline struct mtmi_sums settle(const struct mtm_coder *coder, const double *level,
                                      double gain, struct unsettled *open, uint16_t *codes)
{
    struct mtmi_sums target = {0, 0, 0, 0};
    double same = gain == 1 ? MTMI_SAME_LEVEL : same_behind(gain);

    for (size_t k = 0; k < coder->count; k++) {
        const struct mtmi_ladder *ladder = &coder->emitter[k];
        if (level[k] <= MTMI_SAME_LEVEL && ladder->starts_dark) {
            codes[k] = 0;
            continue;
        }
        double wanted = level[k] > 0 ? level[k] : 0;
        double behind = gain == 1 ? wanted : wanted / gain;
        if (behind == ladder->top_level && ladder->steps != NULL) {
            struct mtmi_sums full = times(wanted, coder->light[k]);
            target = plus(target, full);
            open->base = plus(open->base, full);
            codes[k] = ladder->steps->lowest[255];
            continue;
        }
        struct mtmi_bracket b = ladder->steps != NULL
                                    ? mtmi_steps_bracket(ladder->steps, behind, same)
                                    : mtmi_ladder_bracket(ladder, behind, same);
        size_t i = open->count;
        bool one = b.code[0] == b.code[1];
        bool rests = one & ((b.code[0] == 0) | (b.level[0] >= ladder->top_level));
        target = add(target, wanted, coder->light[k]);
        codes[k] = b.code[0];
        open->base = add(open->base, gain * b.level[0], coder->light[k]);
        open->emitter[i] = (uint8_t)k;
        open->bracket[i] = b;
        open->wanted[i] = behind;
        open->step[i] = times(gain * (b.level[1] - b.level[0]), coder->light[k]);
        open->exact &= !rests | (behind - b.level[0] <= same);
        open->count += !rests;
    }
    return target;
}

double mtmi_round(const struct mtm_coder *coder, const double *level, double gain, uint16_t *codes)
{
    struct unsettled open;

    open.count = 0;
    open.exact = true;
    open.base = (struct mtmi_sums){0, 0, 0, 0};
    struct mtmi_sums target = settle(coder, level, gain, &open, codes);
    if (!(target.v > 0)) {
        memset(codes, 0, coder->count * sizeof *codes);
        return 0;
    }
    double per_both = 1 / (target.all * target.v), per_all = per_both * target.v;
    const struct mtmi_code_judge judge = {target.u * per_all, target.v * per_all, target.all,
                                          per_both * target.all, coder->most_watts};
    if (open.count <= FEW) {
        unsigned high[FEW];
        double cost = choose(&open, &judge, high);
        for (size_t i = 0; i < open.count; i++)
            codes[open.emitter[i]] = open.bracket[i].code[high[i]];
        if (!(cost < INFINITY) || are_best(coder, &open, &judge, gain, cost))
            return cost;
    }
    return search(coder, &open, &judge, gain, codes);
}
