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

/* Emitters whose code is not settled, and the light either way. */
struct open {
    size_t count;
    size_t emitter[MTM_EMITTERS_MAX];
    struct mtmi_sums step[MTM_EMITTERS_MAX]; /* what the higher code adds */
    bool high[MTM_EMITTERS_MAX];             /* the choice so far */
    struct mtmi_sums base;                   /* the light of all lower codes */
};

static struct mtmi_sums add(struct mtmi_sums a, double scale, struct mtmi_sums b)
{
    return (struct mtmi_sums){a.u + scale * b.u, a.v + scale * b.v, a.all + scale * b.all,
                              a.watts + scale * b.watts};
}

/* Squared steps between the light and the target. Black has no chromaticity: only its output
 * counts. */
static double cost_of(struct mtmi_sums light, struct mtmi_sums target)
{
    const double uv_weight = 1 / (STEP_UV * STEP_UV);
    const double output_weight = 1 / (STEP_OUTPUT * STEP_OUTPUT);
    double error = (light.v - target.v) / target.v;
    double output = error * error * output_weight;

    if (!(light.all > 0))
        return output;
    double du = light.u / light.all - target.u / target.all;
    double dv = light.v / light.all - target.v / target.all;
    return output + (du * du + dv * dv) * uv_weight;
}

/* The same, and no choice at all where the power limit is broken. */
static double cost_within(struct mtmi_sums light, struct mtmi_sums target, double most_watts)
{
    double cost = cost_of(light, target);

    return light.watts <= most_watts ? cost : INFINITY;
}

/* Tries every choice for count (<= BLOCK) open emitters, in the order listed; the others stay. Bit
 * j of a choice belongs to the j-th. Returns the best cost. */
static double choose(struct open *open, const size_t *listed, size_t count, struct mtmi_sums target,
                     double most_watts)
{
    struct mtmi_sums sum[1 << BLOCK];
    double cost[1 << BLOCK];
    bool fixed[MTM_EMITTERS_MAX] = {false};
    size_t best = 0, size = 1;

    for (size_t j = 0; j < count; j++)
        fixed[listed[j]] = true;
    sum[0] = open->base;
    for (size_t i = 0; i < open->count; i++) {
        if (!fixed[i] && open->high[i])
            sum[0] = add(sum[0], 1, open->step[i]);
    }
    for (size_t j = 0; j < count; j++, size *= 2) {
        for (size_t i = 0; i < size; i++)
            sum[size + i] = add(sum[i], 1, open->step[listed[j]]);
    }
    for (size_t i = 0; i < size; i++)
        cost[i] = cost_within(sum[i], target, most_watts);
    for (size_t i = 1; i < size; i++)
        best = cost[i] < cost[best] ? i : best;
    for (size_t j = 0; j < count; j++)
        open->high[listed[j]] = best >> j & 1;
    return cost[best];
}

/* More than BLOCK: from each rounded alone, blocks that overlap take their best choice in turn
 * until none gains. Each step keeps or lowers the cost, so the end is never worse than the start;
 * a block that cannot keep the power limit takes its lower codes. */
static double improve(struct open *open, struct mtmi_sums target, double most_watts)
{
    double cost = INFINITY, before = INFINITY;

    do {
        before = cost;
        for (size_t first = 0; first < open->count; first += BLOCK / 2) {
            size_t listed[BLOCK];
            for (size_t j = 0; j < BLOCK; j++)
                listed[j] = (first + j) % open->count;
            cost = choose(open, listed, BLOCK, target, most_watts);
        }
    } while (cost < before);
    return cost;
}

static void find_open(const struct mtm_coder *coder, const struct mtmi_bracket *bracket,
                      double gain, const double *level, struct open *open)
{
    for (size_t k = 0; k < coder->count; k++) {
        const struct mtmi_bracket *b = &bracket[k];
        open->base = add(open->base, gain * b->level[0], coder->light[k]);
        if (b->code[0] == b->code[1])
            continue;
        size_t i = open->count++;
        open->emitter[i] = k;
        open->step[i] = add((struct mtmi_sums){0, 0, 0, 0}, gain * (b->level[1] - b->level[0]),
                            coder->light[k]);
        open->high[i] = level[k] - b->level[0] > b->level[1] - level[k];
    }
}

double mtmi_round(const struct mtm_coder *coder, const struct mtmi_bracket *bracket,
                  const double *level, double gain, struct mtmi_sums target, uint16_t *codes)
{
    static const size_t in_order[BLOCK] = {0, 1, 2, 3, 4, 5, 6, 7};
    struct open open = {.count = 0};
    double cost = 0;

    find_open(coder, bracket, gain, level, &open);
    if (open.count <= BLOCK)
        cost = choose(&open, in_order, open.count, target, coder->most_watts);
    else
        cost = improve(&open, target, coder->most_watts);
    for (size_t k = 0; k < coder->count; k++)
        codes[k] = bracket[k].code[0];
    for (size_t i = 0; i < open.count; i++)
        codes[open.emitter[i]] = bracket[open.emitter[i]].code[open.high[i]];
    return cost;
}
