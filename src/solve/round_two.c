/* SPDX-License-Identifier: MIT */
/* Search for the codes of two emitters, where the quick proof does not go. */
#include "solve/round_two.h"

/* How many codes beyond those about its level are looked at for each. */
#define REACH 8

struct search {
    const struct mtmi_cost_basis *basis;
    const struct mtmi_two_bound *bound;
    double watts; /* of all levels */
    struct mtmi_one_of_two *two;
    double cost;  /* the least so far */
    double limit; /* what levels may be off for a cost that is the same, in the bound's measure */
};

static double off_by(const struct mtmi_one_of_two *one, unsigned code)
{
    return one->gain * (one->levels->level[code] - one->level);
}

static unsigned least_code(const struct mtmi_one_of_two *one)
{
    unsigned least = one->levels->lowest[one->about.code];

    for (int i = 0; i < REACH && least > 0; i++)
        least = one->levels->lowest[least - 1];
    return least;
}

static unsigned most_code(const struct mtmi_one_of_two *one)
{
    unsigned most = one->about.code + 1 + REACH;

    return most < MTM_CODE_MAX_8 ? most : MTM_CODE_MAX_8;
}

/* mtmi_code_cost of sums that are taken from what is wanted, so that nothing cancels. */
static double cost_of(const struct search *search, double off_a, double off_b)
{
    const struct mtmi_cost_basis *basis = search->basis;
    const struct mtmi_one_of_two *a = &search->two[0], *b = &search->two[1];
    double all = basis->all + off_a * a->effect.all + off_b * b->effect.all;
    double per_all = (1 / MTM_STEP_UV) / all;
    double u = (off_a * a->effect.u + off_b * b->effect.u) * per_all;
    double v = (off_a * a->effect.v + off_b * b->effect.v) * per_all;
    double output = (off_a * a->effect.output + off_b * b->effect.output) *
                    (basis->per_output / MTM_STEP_OUTPUT);

    if (search->watts + off_a * a->watts + off_b * b->watts > basis->most_watts)
        return INFINITY;
    if (!(all > MTMI_BLACK * basis->all))
        return MTMI_COST_BLACK;
    return u * u + v * v + output * output;
}

static void try_codes(struct search *search, unsigned code_a, double off_a, unsigned code_b,
                      double off_b)
{
    struct mtmi_one_of_two *a = &search->two[0], *b = &search->two[1];
    double cost = cost_of(search, off_a, off_b);
    bool lower = code_a != a->code ? code_a < a->code : code_b < b->code;

    if (!(cost <= mtmi_with_noise(search->cost)) ||
        (mtmi_with_noise(cost) >= search->cost && !lower))
        return;
    a->code = code_a;
    b->code = code_b;
    search->cost = cost < search->cost ? cost : search->cost;
    search->limit = mtmi_with_noise(search->cost) * search->bound->scale;
}

/* Tries the second emitter's codes from the one nearest to what suits the first's outwards. */
static void try_second(struct search *search, unsigned code_a, double off_a)
{
    const struct mtmi_one_of_two *b = &search->two[1];
    const struct mtmi_two_bound *bound = search->bound;
    const unsigned least = least_code(b), most = most_code(b);
    double suits = -bound->ab / bound->bb * off_a, left = bound->own / bound->bb * off_a * off_a;
    unsigned code = b->about.code;

    while (code > least && off_by(b, code) > suits)
        code--;
    while (code < most && off_by(b, code + 1) <= suits)
        code++;
    for (unsigned k = code + 1; k-- > least;) {
        double off = off_by(b, k), miss = off - suits;
        if (left + bound->bb * miss * miss > search->limit)
            break;
        try_codes(search, code_a, off_a, b->levels->lowest[k], off);
    }
    for (unsigned k = code + 1; k <= most; k++) {
        double off = off_by(b, k), miss = off - suits;
        if (left + bound->bb * miss * miss > search->limit)
            break;
        try_codes(search, code_a, off_a, b->levels->lowest[k], off);
    }
}

/* False if the first emitter's code is too far off, whatever the second gives. */
static bool try_first(struct search *search, unsigned code)
{
    double off = off_by(&search->two[0], code);

    if (off * off * search->bound->own > search->limit * search->bound->bb)
        return false;
    try_second(search, search->two[0].levels->lowest[code], off);
    return true;
}

double mtmi_search_two(const struct mtmi_cost_basis *basis, const struct mtmi_two_bound *bound,
                       double watts, struct mtmi_one_of_two two[2], double cost)
{
    struct search search = {basis, bound, watts, two, cost, mtmi_with_noise(cost) * bound->scale};
    const unsigned start = two[0].about.code, least = least_code(&two[0]);
    const unsigned most = most_code(&two[0]);

    bool down = true, up = true;

    for (unsigned i = 0; down || up; i++) {
        down = down && start >= least + i && try_first(&search, start - i);
        up = up && start + 1 + i <= most && try_first(&search, start + 1 + i);
    }
    return search.cost;
}
