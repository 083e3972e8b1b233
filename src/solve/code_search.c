/* SPDX-License-Identifier: MIT */
/* Code search: the codes whose light is nearest to what is wanted, by branch and bound. */
#include "solve/code_search.h"

#include <math.h>

/* A direction of which less than this is left, relatively and squared, is none of its own. */
#define SAME_DIRECTION 1e-12

/* Emitters that are told apart by what they do to colour and output: the others are tried. */
#define AXES 3

/* Steps of u', v' and of output. */
struct steps {
    double u, v, output;
};

static const struct steps none = {0, 0, 0};

struct walk {
    struct mtmi_search *search;
    double least, bound;                   /* cost; and up to where one is the same */
    struct steps effect[MTM_EMITTERS_MAX]; /* of a level of 1 */
    struct steps axis[AXES];               /* each at right angles to those before it, over its
                                            * squared length */
    double squared[AXES];                  /* the squared length */
    double share[AXES][AXES];              /* of an effect (second) along an axis (first) */
    unsigned candidate[MTM_EMITTERS_MAX];  /* being tried */
};

static struct steps moved(struct steps a, double scale, struct steps b)
{
    return (struct steps){a.u + scale * b.u, a.v + scale * b.v, a.output + scale * b.output};
}

static double along(struct steps a, struct steps b)
{
    return a.u * b.u + a.v * b.v + a.output * b.output;
}

static bool is_lower(const struct walk *walk)
{
    for (size_t i = 0; i < walk->search->count; i++) {
        if (walk->candidate[i] != walk->search->candidate[i])
            return walk->candidate[i] < walk->search->candidate[i];
    }
    return false;
}

static void set_least(struct walk *walk, double cost)
{
    walk->least = cost;
    walk->bound = mtmi_with_noise(cost);
}

static void try_light(struct walk *walk, struct mtmi_sums light)
{
    double cost = mtmi_code_cost(&walk->search->basis, light);

    if (!(cost <= walk->bound) || (mtmi_with_noise(cost) >= walk->least && !is_lower(walk)))
        return;
    for (size_t i = 0; i < walk->search->count; i++)
        walk->search->candidate[i] = walk->candidate[i];
    set_least(walk, cost < walk->least ? cost : walk->least);
}

/* The candidate at or below a level; the least if there is none. */
static unsigned candidate_below(const struct mtmi_open *open, double level)
{
    unsigned candidate = open->near;

    while (candidate > open->least && open->level[candidate] > level)
        candidate--;
    while (candidate < open->most && open->level[candidate + 1] <= level)
        candidate++;
    return candidate;
}

/* Tries the candidates of emitter i from the one nearest to its best level outwards, as long as the
 * bound allows, and those of the emitters before it. off: what the emitters behind put along the
 * axes, in levels; cost: the least that they leave. */
static void descend(struct walk *walk, size_t i, const double off[AXES], double cost,
                    struct mtmi_sums light)
{
    const struct mtmi_open *open = &walk->search->open[i];
    const double *level = open->level;
    double best = open->wanted - off[i], squared = walk->squared[i];
    unsigned low = candidate_below(open, best), high = low + 1;
    bool more_low = true, more_high = high <= open->most;

    while (more_low || more_high) {
        bool take_low = !more_high || (more_low && best - level[low] <= level[high] - best);
        unsigned candidate = take_low ? low : high;
        double miss = level[candidate] - best, reached = cost + squared * miss * miss;
        if (!(reached <= walk->bound)) {
            more_low = more_low && !take_low;
            more_high = more_high && take_low;
            continue;
        }
        walk->candidate[i] = candidate;
        struct mtmi_sums lit = mtmi_sums_plus(light, level[candidate], open->light);
        if (i == 0) {
            try_light(walk, lit);
        } else {
            double next[AXES] = {0};
            for (size_t k = 0; k < i; k++)
                next[k] = off[k] + walk->share[k][i] * (level[candidate] - open->wanted);
            descend(walk, i - 1, next, reached, lit);
        }
        if (take_low) {
            more_low = low > open->least;
            low -= more_low;
        } else {
            more_high = high < open->most;
            high += more_high;
        }
    }
}

/* Tries every candidate of the emitters beyond the axes. */
static void try_others(struct walk *walk, size_t i, struct steps off, struct mtmi_sums light)
{
    const struct mtmi_open *open = &walk->search->open[i];

    if (i < AXES) {
        double along_axis[AXES];
        for (size_t k = 0; k < AXES; k++)
            along_axis[k] = along(off, walk->axis[k]);
        descend(walk, i, along_axis, 0, light);
        return;
    }
    for (unsigned candidate = open->least; candidate <= open->most; candidate++) {
        walk->candidate[i] = candidate;
        try_others(walk, i - 1, moved(off, open->level[candidate] - open->wanted, walk->effect[i]),
                   mtmi_sums_plus(light, open->level[candidate], open->light));
    }
}

double mtmi_sum_far(const struct mtmi_cost_basis *basis, double cost, double most)
{
    double steps = sqrt(cost), lowest_v = basis->v - MTM_STEP_UV * steps;
    if (lowest_v < 0.25 * basis->v)
        return most;
    return (1 + MTM_STEP_OUTPUT * steps) / (basis->per_output * lowest_v);
}

/* What light does to the parts of the cost, in steps where X + 15 Y + 3 Z is
 * 1 / (MTM_STEP_UV * per_sum). */
static struct steps effect_of(const struct mtmi_cost_basis *basis, struct mtmi_sums light,
                              double per_sum)
{
    return (struct steps){(light.u - basis->u * light.all) * per_sum,
                          (light.v - basis->v * light.all) * per_sum,
                          light.v * basis->per_output * (1 / MTM_STEP_OUTPUT)};
}

static void set_axes(struct walk *walk)
{
    for (size_t k = 0; k < AXES && k < walk->search->count; k++) {
        struct steps left = walk->effect[k];
        double whole = along(left, left);
        for (size_t j = 0; j < k; j++) {
            walk->share[j][k] = along(walk->axis[j], walk->effect[k]);
            left = moved(left, -walk->share[j][k] * walk->squared[j], walk->axis[j]);
        }
        double squared = along(left, left);
        bool own = squared > SAME_DIRECTION * whole;
        walk->squared[k] = own ? squared : 0;
        walk->axis[k] = own ? moved(none, 1 / squared, left) : none;
    }
}

double mtmi_search_codes(struct mtmi_search *search)
{
    const struct mtmi_cost_basis *basis = &search->basis;
    struct walk walk; /* large, and most often little of it is used */
    struct mtmi_sums light = search->base;
    double most = search->base.all;

    for (size_t i = 0; i < search->count; i++) {
        const struct mtmi_open *open = &search->open[i];
        light = mtmi_sums_plus(light, open->level[search->candidate[i]], open->light);
        most += open->level[open->most] * open->light.all;
    }
    walk.search = search;
    set_least(&walk, mtmi_code_cost(basis, light));
    if (!(walk.least < INFINITY))
        return walk.least;
    double per_sum = 1 / (MTM_STEP_UV * mtmi_sum_within(basis, walk.bound, most));
    for (size_t i = 0; i < search->count; i++)
        walk.effect[i] = effect_of(basis, search->open[i].light, per_sum);
    set_axes(&walk);
    struct steps off = effect_of(basis, search->wanted, per_sum);
    off.output -= 1 / MTM_STEP_OUTPUT;
    try_others(&walk, search->count - 1, off, search->base);
    return walk.least;
}
