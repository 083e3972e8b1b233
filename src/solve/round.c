/* SPDX-License-Identifier: MIT */
/* Rounding: which of two codes for each emitter, chosen together. */
#include "solve/coder.h"

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

static inline struct mtmi_sums minus(struct mtmi_sums a, struct mtmi_sums b)
{
    return (struct mtmi_sums){a.u - b.u, a.v - b.v, a.all - b.all, a.watts - b.watts};
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

/* Squared steps between light and what is wanted; infinite where the power limit is broken. Black
 * has no chromaticity: only its output counts. */
static inline double cost_of(const struct judge *judge, struct mtmi_sums light)
{
    const double uv_weight = 1 / (STEP_UV * STEP_UV);
    const double output_weight = 1 / (STEP_OUTPUT * STEP_OUTPUT);
    double per_all = 1 / light.all;
    double du = light.u * per_all - judge->u, dv = light.v * per_all - judge->v;
    double error = light.v * judge->per_output - 1;

    if (!(light.all > judge->black))
        return output_weight;
    if (light.watts > judge->most_watts)
        return INFINITY;
    return error * error * output_weight + (du * du + dv * dv) * uv_weight;
}

/* The lowest bit that is set. */
static size_t lowest_bit(size_t bits)
{
    size_t bit = 0;

    for (; (bits & 1) == 0; bits >>= 1)
        bit++;
    return bit;
}

/* Tries every choice for count (<= BLOCK) open emitters, in the order listed; the others stay. The
 * choices are walked so that each differs from the last in one emitter (Gray code). Returns the
 * best cost. */
static double choose(struct open *open, const size_t *listed, size_t count,
                     const struct judge *judge)
{
    struct mtmi_sums light = open->base;
    size_t choice = 0, best = 0;

    if (count < open->count) {
        for (size_t i = 0; i < open->count; i++)
            light = add(light, open->high[i], open->step[i]);
        for (size_t j = 0; j < count; j++)
            light = add(light, -(double)open->high[listed[j]], open->step[listed[j]]);
    }
    double best_cost = cost_of(judge, light);
    for (size_t i = 1; i < (size_t)1 << count; i++) {
        size_t j = lowest_bit(i);
        choice ^= (size_t)1 << j;
        const struct mtmi_sums *step = &open->step[listed[j]];
        light = choice >> j & 1 ? plus(light, *step) : minus(light, *step);
        double cost = cost_of(judge, light);
        best = cost < best_cost ? choice : best;
        best_cost = cost < best_cost ? cost : best_cost;
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
        if (open.high[i])
            codes[open.emitter[i]] = open.code[i];
    }
    return cost;
}
