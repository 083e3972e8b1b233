/* SPDX-License-Identifier: MIT */
/* Rounding: the codes about each level; of a few emitters at once, with a quick proof that none
 * farther off is better; else by search.
 *
 * Each emitter alone rounded to its nearest code can miss the colour by many steps: the errors add
 * up. So the codes are chosen together. Emitters whose level lies on a code are settled; of the
 * others the codes below and above are tried in every combination, two emitters (four choices) at a
 * time in pairs of doubles. What is made least is the squared steps of colour and of output
 * (codes.h).
 *
 * Where the best of these is so near that no set with one emitter farther off can be nearer, it is
 * proven and done; this is the common case, and its cost is one or two calls of costs_of, written
 * without branches. Else code_search.c looks through all within reach_for().
 *
 * Do not change lightly: the order in which choices are counted breaks ties (the first of equals
 * wins, so that all machines send the same codes), and reach_for keeps the search from turning the
 * mix into another. tests/solve/codes_test.c compares with trying everything. */
#include "solve/code_search.h"
#include "solve/coder.h"
#include "solve/pair.h"
#include "solve/round_two.h"

#include <math.h>
#include <string.h>

/* All choices of this many emitters are tried at once. */
#define FEW 3

/* Emitters whose code is not settled. */
struct unsettled {
    size_t count;
    bool exact;                            /* the settled ones give what is wanted of them */
    struct mtmi_sums over;                 /* what they give beyond that: below 0 above a top */
    uint8_t emitter[MTM_EMITTERS_MAX + 1]; /* one place more, for the emitter in hand */
    struct mtmi_bracket bracket[MTM_EMITTERS_MAX + 1];
    double wanted[MTM_EMITTERS_MAX + 1]; /* level, without the dimmer */
};

/* What is asked of a coder, and the light of its levels. */
struct task {
    const struct mtm_coder *coder;
    double gain; /* of the dimmer */
    struct mtmi_sums target;
    struct mtmi_cost_basis basis;
};

/* How many codes beyond those about its level are looked at for each of so many emitters. The more
 * there are, the nearer some set of neighbours comes; and wider, the search could turn the mix into
 * another. */
static unsigned reach_for(size_t count)
{
    return count <= 3 ? 8 : count <= 5 ? 3 : count <= 8 ? 1 : 0;
}

static inline struct mtmi_sums times(double scale, struct mtmi_sums a)
{
    return (struct mtmi_sums){scale * a.u, scale * a.v, scale * a.all, scale * a.watts};
}

static inline struct mtmi_sums plus(struct mtmi_sums a, struct mtmi_sums b)
{
    return (struct mtmi_sums){a.u + b.u, a.v + b.v, a.all + b.all, a.watts + b.watts};
}

/* The light of two choices. */
struct two {
    mtmi_pair u, v, all, watts;
};

static inline struct two two_of(struct mtmi_sums a, struct mtmi_sums b)
{
    return (struct two){{a.u, b.u}, {a.v, b.v}, {a.all, b.all}, {a.watts, b.watts}};
}

/* The light of four choices, in two pairs. */
struct four {
    struct two pair[2];
};

/* Both ways for each of two emitters: neither, the first, the second, both. */
static inline struct four both_ways(struct mtmi_sums light, struct mtmi_sums a, struct mtmi_sums b)
{
    struct mtmi_sums with_a = plus(light, a), with_b = plus(light, b), both = plus(with_a, b);

    return (struct four){{two_of(light, with_a), two_of(with_b, both)}};
}

/* Squared steps between light and what is wanted; infinite where the power limit is broken. Black
 * has no chromaticity: only its output counts. */
static inline void costs_of(const struct mtmi_cost_basis *basis, const struct four *light,
                            double cost[4])
{
    const double uv_weight = 1 / (MTM_STEP_UV * MTM_STEP_UV);

    for (size_t i = 0; i < 2; i++) {
        mtmi_pair u = light->pair[i].u, v = light->pair[i].v, all = light->pair[i].all;
        mtmi_pair per_all = 1 / all;
        mtmi_pair du = u * per_all - basis->u, dv = v * per_all - basis->v;
        mtmi_pair error = v * basis->per_output - 1;
        mtmi_pair off = error * error * MTMI_COST_BLACK + (du * du + dv * dv) * uv_weight;
        off = mtmi_pair_where_more(light->pair[i].watts, mtmi_pair_alike(basis->most_watts),
                                   mtmi_pair_alike(INFINITY), off);
        off = mtmi_pair_where_more(all, mtmi_pair_alike(MTMI_BLACK * basis->all), off,
                                   mtmi_pair_alike(MTMI_COST_BLACK));
        mtmi_pair_store(cost + 2 * i, off);
    }
}

/* Tries both codes of each of a few emitters. The choices are counted so that of two the one that
 * has the lower code of the first emitter in which they differ comes first. Returns the cost. */
static double choose(const struct task *task, const struct unsettled *open, unsigned upper[FEW])
{
    const struct mtmi_cost_basis *basis = &task->basis;
    struct mtmi_sums base = plus(task->target, open->over), step[FEW] = {{0, 0, 0, 0}};
    size_t n = open->count;
    double cost[4], least = 0, other = 0;

    for (size_t i = 0; i < n; i++) {
        const struct mtmi_bracket *b = &open->bracket[i];
        struct mtmi_sums light = times(task->gain, task->coder->light[open->emitter[i]]);
        base = mtmi_sums_plus(base, b->level[0] - open->wanted[i], light);
        step[i] = times(b->level[1] - b->level[0], light);
    }
    struct mtmi_sums last = n > 0 ? step[n - 1] : step[FEW - 1];
    struct mtmi_sums before = n > 1 ? step[n - 2] : step[FEW - 1];
    struct four four = both_ways(base, last, before);
    costs_of(basis, &four, cost);
    size_t best = mtmi_first_least(cost, &least);
    if (n == FEW) {
        four = both_ways(plus(base, step[0]), last, before);
        costs_of(basis, &four, cost);
        size_t second = 4 + mtmi_first_least(cost, &other);
        best = mtmi_with_noise(other) < least ? second : best;
        least = other < least ? other : least;
    }
    for (size_t i = 0; i < n; i++)
        upper[i] = best >> (n - 1 - i) & 1;
    return least;
}

/* The squared distance of the nearest code but the two about a level. */
static inline double farther(const struct mtmi_table *table, const struct mtmi_bracket *b,
                             double wanted)
{
    const struct mtmi_levels *levels = table->levels;

    if (levels == NULL)
        return INFINITY; /* of 16 bits only the two are looked at */
    double before = b->code[0] > 0 ? wanted - levels->level[b->code[0] - 1] : (double)INFINITY;
    double after = levels->level[b->code[1] + 1] - wanted; /* infinite beyond the top */
    double nearer = before < after ? before : after;
    return nearer * nearer;
}

/* A light's colour and output, as directions of the cost. */
struct direction {
    double u, v, output;
};

static inline struct direction direction_of(const struct mtmi_cost_basis *basis,
                                            struct mtmi_sums light, double output_weight)
{
    return (struct direction){light.u - basis->u * light.all, light.v - basis->v * light.all,
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
static bool are_best(const struct task *task, const struct unsettled *open, double cost)
{
    const struct mtm_coder *coder = task->coder;
    const struct mtmi_cost_basis *basis = &task->basis;
    const double gain = task->gain;
    double bound = mtmi_with_noise(cost), far[FEW] = {0};
    double sum = mtmi_sum_within(basis, bound, INFINITY);
    double weight = basis->per_output * sum * (MTM_STEP_UV / MTM_STEP_OUTPUT);
    double limit = bound * (MTM_STEP_UV * MTM_STEP_UV) * sum * sum;
    struct direction direction[FEW];

    if (open->count == 0)
        return true;
    if (!open->exact)
        return false;
    for (size_t i = 0; i < open->count; i++) {
        size_t k = open->emitter[i];
        direction[i] = direction_of(basis, coder->light[k], weight);
        far[i] =
            gain * gain * farther(&coder->channels.emitter[k], &open->bracket[i], open->wanted[i]);
    }
    if (open->count == 1)
        return far[0] * along(direction[0], direction[0]) > limit;
    struct direction side = across(direction[0], direction[1]);
    double area = along(side, side);
    if (open->count == 2)
        return far[0] * area > limit * along(direction[1], direction[1]) &&
               far[1] * area > limit * along(direction[0], direction[0]);
    struct direction other = across(direction[1], direction[2]),
                     another = across(direction[2], direction[0]);
    double volume = along(side, direction[2]), squared = volume * volume;
    return far[0] * squared > limit * along(other, other) &&
           far[1] * squared > limit * along(another, another) && far[2] * squared > limit * area;
}

/* The candidates of an emitter that are looked at. */
static struct mtmi_open candidates_of(const struct mtmi_levels *levels,
                                      const struct mtmi_bracket *b, unsigned lowest, unsigned reach)
{
    if (levels == NULL)
        return (struct mtmi_open){
            .level = b->level, .most = b->code[0] != b->code[1], .above = b->code[0] != b->code[1]};
    unsigned least = b->code[0], most = b->code[1] + reach;
    for (unsigned i = 0; i < reach && least > lowest; i++)
        least = levels->lowest[least - 1];
    least = least < lowest ? lowest : least;
    return (struct mtmi_open){.level = levels->level,
                              .least = least,
                              .most = most < MTM_CODE_MAX_8 ? most : MTM_CODE_MAX_8,
                              .near = b->code[0],
                              .above = b->code[1]};
}

/* Searches all codes within reach; codes: where to start from, then those found. */
static double search(const struct task *task, const struct unsettled *open, uint32_t *codes)
{
    const struct mtm_coder *coder = task->coder;
    struct mtmi_search search; /* large, and most often little of it is used */

    search.basis = task->basis;
    search.count = open->count;
    search.wanted = search.base = plus(task->target, open->over);
    for (size_t i = 0; i < open->count; i++) {
        const struct mtmi_bracket *b = &open->bracket[i];
        size_t k = open->emitter[i];
        struct mtmi_open *one = &search.open[i];
        unsigned lowest = coder->lowest_level > 0 ? mtmi_coder_least_code(coder, k, task->gain) : 0;
        *one = candidates_of(coder->channels.emitter[k].levels, b, lowest, reach_for(open->count));
        one->wanted = open->wanted[i];
        one->light = times(task->gain, coder->light[k]);
        search.base = mtmi_sums_plus(search.base, -open->wanted[i], one->light);
        bool upper = open->wanted[i] - b->level[0] > b->level[1] - open->wanted[i];
        bool high = open->count <= FEW ? codes[k] != b->code[0] : upper;
        search.candidate[i] = high ? one->above : one->near;
    }
    double cost = mtmi_search_codes(&search);
    if (!(cost < INFINITY)) { /* the lower codes keep the power limit if the levels do */
        for (size_t i = 0; i < open->count; i++)
            search.candidate[i] = search.open[i].near;
        cost = mtmi_search_codes(&search);
    }
    for (size_t i = 0; i < open->count; i++) {
        const struct mtmi_levels *levels = coder->channels.emitter[open->emitter[i]].levels;
        codes[open->emitter[i]] = levels != NULL ? levels->lowest[search.candidate[i]]
                                                 : open->bracket[i].code[search.candidate[i]];
    }
    return cost;
}

/* Sums the light wanted and lists the emitters that are neither dark nor full. Written without
 * branches, since which of an optimum's are is not to be guessed. */
static inline struct mtmi_sums sort_out(const struct mtm_coder *coder, const double *level,
                                        double gain, struct unsettled *open, uint32_t *codes)
{
    mtmi_pair uv = mtmi_pair_alike(0), rest = mtmi_pair_alike(0);
    const double scale = gain == 1 ? 1 : 0; /* a dimmed level is looked at more closely */
    double sum[4];
    size_t count = 0;

    for (size_t k = 0; k < coder->channels.count; k++) {
        const struct mtmi_table *table = &coder->channels.emitter[k];
        const struct mtmi_sums *light = &coder->light[k];
        double wanted = mtmi_within(level[k], 0, 1);

        uv += wanted * (mtmi_pair){light->u, light->v};
        rest += wanted * (mtmi_pair){light->all, light->watts};
        bool below_full = wanted * scale<table->full_level, lit = wanted> table->dark_most;
        codes[k] = table->full_code & (below_full - 1U);
        open->emitter[count] = (uint8_t)k;
        open->wanted[count] = wanted;
        count += lit & below_full;
    }
    open->count = count;
    mtmi_pair_store(sum, uv);
    mtmi_pair_store(sum + 2, rest);
    return (struct mtmi_sums){sum[0], sum[1], sum[2], sum[3]};
}

/* A lit emitter is not below its lowest level. */
static void lift(const struct mtm_coder *coder, size_t emitter, double gain, struct mtmi_bracket *b)
{
    const struct mtmi_table *table = &coder->channels.emitter[emitter];
    const unsigned least = mtmi_coder_least_code(coder, emitter, gain);

    for (size_t i = 0; i < 2; i++) {
        if (b->code[i] >= least)
            continue;
        b->code[i] = least;
        b->level[i] = mtmi_table_level(table, least);
    }
}

/* True if every emitter that is wanted lit can be, behind a dimmer of this level. */
static bool can_be_lit(const struct mtm_coder *coder, const double *level, double gain)
{
    for (size_t k = 0; k < coder->channels.count; k++) {
        if (level[k] > 0 && mtmi_coder_least_code(coder, k, gain) == 0)
            return false;
    }
    return true;
}

/* Brackets the levels of the emitters listed, and keeps those that no code of theirs settles. */
static inline void settle(const struct mtm_coder *coder, double gain, struct unsettled *open,
                          uint32_t *codes)
{
    const double same = mtmi_same_behind(gain);
    const size_t listed = open->count;

    open->exact = true;
    open->over = (struct mtmi_sums){0, 0, 0, 0};
    open->count = 0;
    for (size_t j = 0; j < listed; j++) {
        const size_t k = open->emitter[j], i = open->count;
        const struct mtmi_table *table = &coder->channels.emitter[k];
        double wanted = open->wanted[j], behind = gain == 1 ? wanted : wanted / gain;
        struct mtmi_bracket b = table->levels != NULL
                                    ? mtmi_levels_bracket(table->levels, behind, same)
                                    : mtmi_table_bracket(table, behind, same);
        if (coder->lowest_level > 0)
            lift(coder, k, gain, &b);
        bool one = b.code[0] == b.code[1];
        bool rests = one & ((b.code[0] == 0) | (b.level[0] >= table->top_level));

        codes[k] = b.code[0];
        open->emitter[i] = (uint8_t)k;
        open->bracket[i] = b;
        open->wanted[i] = behind;
        open->count += !rests;
        if (rests) {
            open->exact &= behind - b.level[0] <= same;
            open->over = mtmi_sums_plus(open->over, gain * b.level[0] - wanted, coder->light[k]);
        }
    }
}

/* For any number of emitters. */
static double round_any(const struct task *task, struct unsettled *open, uint32_t *codes)
{
    settle(task->coder, task->gain, open, codes);
    if (open->count <= FEW) {
        unsigned high[FEW];
        double cost = choose(task, open, high);
        for (size_t i = 0; i < open->count; i++)
            codes[open->emitter[i]] = open->bracket[i].code[high[i]];
        if (!(cost < INFINITY) || are_best(task, open, cost))
            return cost;
    }
    return search(task, open, codes);
}

double mtmi_round(const struct mtm_coder *coder, const double *level, double gain, uint32_t *codes)
{
    struct unsettled open;
    struct mtmi_sums target = sort_out(coder, level, gain, &open, codes);
    double cost = 0;

    if (!(target.v > 0)) {
        memset(codes, 0, coder->channels.count * sizeof *codes);
        return 0;
    }
    const struct mtmi_cost_basis basis = mtmi_cost_basis_of(target, coder->most_watts);
    if (coder->lowest_level > 0 && !can_be_lit(coder, level, gain))
        return INFINITY;
    if (open.count == 2 && !(coder->lowest_level > 0) &&
        mtmi_choose_two(coder, &basis, open.emitter, open.wanted, gain, mtmi_same_behind(gain),
                        target.watts, codes, &cost))
        return cost;
    const struct task task = {coder, gain, target, basis};
    return round_any(&task, &open, codes);
}
