/* SPDX-License-Identifier: MIT */
/* Rounding: which of two codes for each emitter, chosen together. */
#include "solve/coder.h"
#include "solve/pair.h"

#include <math.h>
#include <string.h>

/* All choices of this many emitters are tried at once. */
#define BLOCK 8
/* One just noticeable step: in u', v' (ANSI C78.377's step), and in output (common practice, no
 * source). */
#define STEP_UV 0.0011
#define STEP_OUTPUT 0.02

/* Light below this, relatively, is what is left of sums that cancel. */
#define BLACK 1e-12

/* Emitters whose code is not settled, and the light either way. */
struct open {
    size_t count;
    uint8_t emitter[MTM_EMITTERS_MAX + 1];       /* one place more, for the emitter in hand */
    uint16_t code[MTM_EMITTERS_MAX + 1];         /* the higher one */
    struct mtmi_sums step[MTM_EMITTERS_MAX + 1]; /* what the higher code adds */
    bool high[MTM_EMITTERS_MAX + 1];             /* the choice so far */
    struct mtmi_sums base;                       /* the light of all lower codes */
};

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

/* What light is judged by. */
struct judge {
    double u, v;       /* wanted */
    double per_output; /* 1 / the wanted 9 Y */
    double black;      /* light up to here is none */
    double most_watts;
};

static struct judge judge_for(struct mtmi_sums target, double most_watts)
{
    return (struct judge){target.u / target.all, target.v / target.all, 1 / target.v,
                          BLACK * target.all, most_watts};
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

static inline void add_to_all(struct four *four, double sign, struct mtmi_sums step)
{
    for (size_t i = 0; i < 2; i++) {
        four->pair[i].u = mtmi_pair_plus(four->pair[i].u, alike(sign * step.u));
        four->pair[i].v = mtmi_pair_plus(four->pair[i].v, alike(sign * step.v));
        four->pair[i].all = mtmi_pair_plus(four->pair[i].all, alike(sign * step.all));
        four->pair[i].watts = mtmi_pair_plus(four->pair[i].watts, alike(sign * step.watts));
    }
}

/* Squared steps between light and what is wanted; infinite where the power limit is broken. Black
 * has no chromaticity: only its output counts. */
static inline void costs_of(const struct judge *judge, const struct four *light, double cost[4])
{
    const mtmi_pair uv_weight = alike(1 / (STEP_UV * STEP_UV)), one = alike(1);
    const mtmi_pair output_weight = alike(1 / (STEP_OUTPUT * STEP_OUTPUT));

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
        off = mtmi_pair_where_more(all, alike(judge->black), off, output_weight);
        mtmi_pair_store(cost + 2 * i, off);
    }
}

/* The first of the least costs; sums instead of branches, for which is least is not to be guessed.
 */
static inline size_t least(const double cost[4])
{
    size_t low = cost[1] < cost[0], high = 2 + (cost[3] < cost[2]);

    return low + (high - low) * (cost[high] < cost[low]);
}

/* The lowest bit that is set. */
static size_t lowest_bit(size_t bits)
{
    size_t bit = 0;

    for (; (bits & 1) == 0; bits >>= 1)
        bit++;
    return bit;
}

/* The light of the choice so far without that of the emitters listed. */
static struct mtmi_sums light_of_others(const struct open *open, const size_t *listed, size_t count)
{
    struct mtmi_sums light = open->base;

    for (size_t i = 0; i < open->count; i++)
        light = add(light, open->high[i], open->step[i]);
    for (size_t j = 0; j < count; j++)
        light = add(light, -(double)open->high[listed[j]], open->step[listed[j]]);
    return light;
}

/* Tries every choice for count (<= BLOCK) open emitters, in the order listed; the others stay. Both
 * ways of the first two are tried at a time; the choices of the others are walked so that each
 * differs from the last in one emitter (Gray code). Returns the best cost. */
static double choose(struct open *open, const size_t *listed, size_t count,
                     const struct judge *judge)
{
    const struct mtmi_sums none = {0, 0, 0, 0};
    struct mtmi_sums light =
        count < open->count ? light_of_others(open, listed, count) : open->base;
    struct four four = both_ways(light, count > 0 ? open->step[listed[0]] : none,
                                 count > 1 ? open->step[listed[1]] : none);
    size_t choice = 0, best = 0, walks = count > 2 ? (size_t)1 << (count - 2) : 1;
    double best_cost = INFINITY;

    for (size_t i = 1;; i++) {
        double cost[4];
        costs_of(judge, &four, cost);
        size_t way = least(cost);
        best = cost[way] < best_cost ? choice + way : best;
        best_cost = cost[way] < best_cost ? cost[way] : best_cost;
        if (i == walks)
            break;
        size_t j = 2 + lowest_bit(i);
        choice ^= (size_t)1 << j;
        add_to_all(&four, choice >> j & 1 ? 1 : -1, open->step[listed[j]]);
    }
    for (size_t j = 0; j < count; j++)
        open->high[listed[j]] = best >> j & 1;
    return best_cost;
}

/* More than BLOCK: from each rounded alone, blocks that overlap take their best choice in turn
 * until none gains. Each step keeps or lowers the cost, so the end is never worse than the start;
 * a block that cannot keep the power limit takes its lower codes. */
static double improve(struct open *open, const struct judge *judge)
{
    double cost = INFINITY, before = INFINITY;

    do {
        before = cost;
        for (size_t first = 0; first < open->count; first += BLOCK / 2) {
            size_t listed[BLOCK];
            for (size_t j = 0; j < BLOCK; j++)
                listed[j] = (first + j) % open->count;
            cost = choose(open, listed, BLOCK, judge);
        }
    } while (cost < before);
    return cost;
}

/* Adds an emitter: the light of its lower code, and the step to the higher one where there is one.
 * Written without branches, for which emitters rest at a code is not to be guessed. */
static inline void note(struct open *open, size_t k, const struct mtmi_bracket *b, double behind,
                        double gain, struct mtmi_sums light)
{
    size_t i = open->count;

    open->base = add(open->base, gain * b->level[0], light);
    open->emitter[i] = (uint8_t)k;
    open->code[i] = b->code[1];
    open->step[i] = times(gain * (b->level[1] - b->level[0]), light);
    open->high[i] = behind - b->level[0] > b->level[1] - behind;
    open->count += b->code[0] != b->code[1];
}

/* Sums the light wanted and brackets every emitter's level. Most emitters of an optimum rest at 0
 * or at their top, which need no search. */
static struct mtmi_sums find_open(const struct mtm_coder *coder, const double *level, double gain,
                                  struct open *open, uint16_t *codes)
{
    struct mtmi_sums target = {0, 0, 0, 0};

    for (size_t k = 0; k < coder->count; k++) {
        const struct mtmi_ladder *ladder = &coder->emitter[k];
        if (level[k] <= 0 && ladder->starts_dark) {
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
        struct mtmi_bracket b = ladder->steps != NULL ? mtmi_steps_bracket(ladder->steps, behind)
                                                      : mtmi_ladder_bracket(ladder, behind);
        target = add(target, wanted, coder->light[k]);
        codes[k] = b.code[0];
        note(open, k, &b, behind, gain, coder->light[k]);
    }
    return target;
}

double mtmi_round(const struct mtm_coder *coder, const double *level, double gain, uint16_t *codes)
{
    static const size_t in_order[BLOCK] = {0, 1, 2, 3, 4, 5, 6, 7};
    struct open open;
    double cost = 0;

    open.count = 0;
    memset(open.emitter, 0, sizeof open.emitter);
    memset(open.code, 0, sizeof open.code);
    open.base = (struct mtmi_sums){0, 0, 0, 0};
    struct mtmi_sums target = find_open(coder, level, gain, &open, codes);
    if (!(target.v > 0)) {
        memset(codes, 0, coder->count * sizeof *codes);
        return 0;
    }
    struct judge judge = judge_for(target, coder->most_watts);
    if (open.count <= BLOCK)
        cost = choose(&open, in_order, open.count, &judge);
    else
        cost = improve(&open, &judge);
    for (size_t i = 0; i < open.count; i++) {
        uint16_t *code = &codes[open.emitter[i]];
        *code = (uint16_t)(*code + open.high[i] * (open.code[i] - *code));
    }
    return cost;
}
