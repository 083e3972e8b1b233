/* SPDX-License-Identifier: MIT */
/* Lowest levels: sets of lit emitters, one quadratic program after another. */
#include "unit/lowest.h"

#include "numeric/qp.h"

#include <string.h>

/* So many emitters are tried lit and dark in every combination. */
#define TRIED_MAX 5
/* Light within so many squared steps is that wanted. */
#define SAME_LIGHT 1e-12
#define ROUNDS 20
/* How far one step towards more light or fewer watts goes, in levels. */
#define STRIDE 10.0
#define ROWS 3 /* u', v', output */
/* Rows stand in these instead of steps, so that they are about 1. */
#define UNIT MTM_STEP_UV

_Static_assert(MTMI_QP_VARIABLES > MTM_EMITTERS_MAX, "a level a variable, and watts to spare");
_Static_assert(MTMI_QP_CONSTRAINTS > ROWS, "colour, output and watts");

/* One set of lit emitters. */
struct set {
    const struct mtmi_lowest *lowest;
    struct mtmi_cost_basis basis;
    bool any_output;
    size_t count; /* lit */
    uint8_t emitter[MTM_EMITTERS_MAX];
};

bool mtmi_lowest_breaks(const struct mtmi_lowest *lowest, const double *level)
{
    for (size_t k = 0; k < lowest->count; k++) {
        bool dark = lowest->most[k] < lowest->least[k];
        if (level[k] > 0 && (dark || level[k] < lowest->least[k] - MTMI_SAME_LEVEL))
            return true;
    }
    return false;
}

static struct mtmi_sums light_of(const struct mtmi_lowest *lowest, const double *level)
{
    struct mtmi_sums sum = {0, 0, 0, 0};

    for (size_t k = 0; k < lowest->count; k++)
        sum = mtmi_sums_plus(sum, level[k], lowest->light[k]);
    return sum;
}

/* Bounds and the watts, the variables being what levels have above the least; x: those of level. */
static void set_up(const struct set *set, const double *level, struct mtmi_qp *qp, double *x)
{
    const struct mtmi_lowest *lowest = set->lowest;
    double spare = lowest->most_watts;

    *qp = (struct mtmi_qp){.count = set->count};
    for (size_t i = 0; i < set->count; i++) {
        size_t k = set->emitter[i];
        qp->upper[i] = lowest->most[k] - lowest->least[k];
        x[i] = level[k] - lowest->least[k];
        spare -= level[k] * lowest->light[k].watts;
    }
    if (!isfinite(lowest->most_watts))
        return;
    for (size_t i = 0; i < set->count; i++)
        qp->a[0][i] = lowest->light[set->emitter[i]].watts / lowest->most_watts;
    qp->a[0][qp->count] = 1;
    qp->upper[qp->count] = INFINITY;
    x[qp->count] = fmax(0, spare / lowest->most_watts);
    qp->count++;
    qp->rows = 1;
}

static void take(const struct set *set, const double *x, double *level)
{
    for (size_t i = 0; i < set->count; i++) {
        size_t k = set->emitter[i];
        level[k] = fmin(set->lowest->least[k] + fmax(x[i], 0), set->lowest->most[k]);
    }
}

/* What one more of each lit emitter changes of u', v' (about this one, by so much light) and of the
 * output, and what they are off now; returns the number of rows. */
static size_t find_rows(const struct set *set, struct mtmi_sums now, mtm_uv about, double all,
                        double row[ROWS][MTM_EMITTERS_MAX], double off[ROWS])
{
    const double output = UNIT / MTM_STEP_OUTPUT * set->basis.per_output;

    for (size_t i = 0; i < set->count; i++) {
        const struct mtmi_sums *light = &set->lowest->light[set->emitter[i]];
        row[0][i] = (light->u - about.u * light->all) / all;
        row[1][i] = (light->v - about.v * light->all) / all;
        row[2][i] = light->v * output;
    }
    off[0] = (now.u - set->basis.u * now.all) / all;
    off[1] = (now.v - set->basis.v * now.all) / all;
    off[2] = now.v * output - UNIT / MTM_STEP_OUTPUT;
    return set->any_output ? 2 : 3;
}

/* Moves levels to the least of the squares of off + row (levels - those now). */
static void go_to_least(const struct set *set, double row[ROWS][MTM_EMITTERS_MAX],
                        const double off[ROWS], size_t rows, double *level)
{
    struct mtmi_qp qp;
    double x[MTMI_QP_VARIABLES], gap = 0;

    set_up(set, level, &qp, x);
    for (size_t r = 0; r < rows; r++) {
        double rest = off[r];
        for (size_t i = 0; i < set->count; i++)
            rest -= row[r][i] * x[i];
        for (size_t i = 0; i < set->count; i++) {
            qp.c[i] += row[r][i] * rest;
            for (size_t j = 0; j < set->count; j++)
                qp.h[i][j] += row[r][i] * row[r][j];
        }
    }
    mtmi_qp_solve(&qp, x, &gap);
    take(set, x, level);
}

/* Squared steps between the light of levels and what is wanted of it. */
static double cost_of(const struct set *set, const double *level)
{
    struct mtmi_off off = mtmi_off_by(&set->basis, light_of(set->lowest, level));

    off.output = set->any_output ? 0 : off.output;
    return mtmi_off_squared(off);
}

/* Levels that give what is wanted, if any of this set do: X, Y, Z are linear in them. */
static bool meet(const struct set *set, double *level)
{
    double row[ROWS][MTM_EMITTERS_MAX], off[ROWS];
    const mtm_uv wanted = {set->basis.u, set->basis.v};

    for (size_t i = 0; i < set->count; i++)
        level[set->emitter[i]] = set->lowest->least[set->emitter[i]];
    size_t rows = find_rows(set, light_of(set->lowest, level), wanted, set->basis.all, row, off);
    go_to_least(set, row, off, rows, level);
    return cost_of(set, level) <= SAME_LIGHT;
}

/* The levels whose light costs least, by Newton's method without second derivatives. */
static double go_near(struct set *set, double *level)
{
    double row[ROWS][MTM_EMITTERS_MAX], off[ROWS], next[MTM_EMITTERS_MAX];
    const bool any_output = set->any_output;

    set->any_output = false;
    double cost = cost_of(set, level);
    for (int round = 0; round < ROUNDS; round++) {
        const struct mtmi_sums now = light_of(set->lowest, level);
        size_t rows =
            find_rows(set, now, (mtm_uv){now.u / now.all, now.v / now.all}, now.all, row, off);
        memcpy(next, level, sizeof next);
        go_to_least(set, row, off, rows, next);
        double there = cost_of(set, next);
        for (int halved = 0; there >= cost && halved < 6; halved++) {
            for (size_t k = 0; k < set->lowest->count; k++)
                next[k] = (next[k] + level[k]) / 2;
            there = cost_of(set, next);
        }
        if (!(there < cost * (1 - 1e-12)))
            break;
        cost = there;
        memcpy(level, next, sizeof next);
    }
    set->any_output = any_output;
    return cost;
}

/* Of the levels that give what is wanted, those of the goal; level: some of them, then these.
 * Returns what is to be least. */
static double go_to_goal(const struct set *set, enum mtmi_lowest_goal goal, const double *given,
                         double *level)
{
    const struct mtmi_lowest *lowest = set->lowest;
    double row[ROWS][MTM_EMITTERS_MAX], off[ROWS], x[MTMI_QP_VARIABLES], gap = 0, value = 0;
    const mtm_uv wanted = {set->basis.u, set->basis.v};
    size_t rows = find_rows(set, light_of(lowest, level), wanted, set->basis.all, row, off);
    double scale = 0;

    for (size_t i = 0; i < set->count; i++) {
        const struct mtmi_sums *light = &lowest->light[set->emitter[i]];
        scale = fmax(scale, goal == MTMI_LOWEST_LIGHT ? light->v : light->watts);
    }
    for (int round = 0; round < ROUNDS; round++) {
        struct mtmi_qp qp;
        double moved = 0;
        set_up(set, level, &qp, x);
        for (size_t r = 0; r < rows; r++)
            memcpy(qp.a[qp.rows++], row[r], set->count * sizeof row[r][0]);
        for (size_t i = 0; i < set->count; i++) {
            size_t k = set->emitter[i];
            double pull = goal == MTMI_LOWEST_LIGHT ? -lowest->light[k].v : lowest->light[k].watts;
            qp.h[i][i] = 1;
            qp.c[i] = goal == MTMI_LOWEST_NEAREST ? lowest->least[k] - given[k]
                                                  : STRIDE * pull / fmax(scale, 1e-300) - x[i];
        }
        mtmi_qp_solve(&qp, x, &gap);
        for (size_t i = 0; i < set->count; i++) {
            size_t k = set->emitter[i];
            moved = fmax(moved, fabs(lowest->least[k] + x[i] - level[k]));
        }
        take(set, x, level);
        if (goal == MTMI_LOWEST_NEAREST || !(moved > MTMI_SAME_LEVEL))
            break;
    }
    for (size_t k = 0; k < lowest->count; k++) {
        double away = level[k] - given[k];
        value += goal == MTMI_LOWEST_NEAREST ? away * away
                 : goal == MTMI_LOWEST_LIGHT ? -level[k] * lowest->light[k].v
                                             : level[k] * lowest->light[k].watts;
    }
    return value;
}

/* In which order emitters are chosen to be tried: too low, lit, dark; the lowest first. */
static double urgency(const struct mtmi_lowest *lowest, const double *level, size_t k)
{
    if (lowest->most[k] < lowest->least[k])
        return INFINITY; /* it can only be dark */
    if (level[k] > 0)
        return level[k] < lowest->least[k] ? level[k] - 2 : level[k];
    return 2;
}

static size_t choose_tried(const struct mtmi_lowest *lowest, const double *level,
                           uint8_t tried[TRIED_MAX])
{
    uint32_t chosen = 0;
    size_t count = 0;

    while (count < TRIED_MAX) {
        size_t which = lowest->count;
        for (size_t k = 0; k < lowest->count; k++) {
            double own = urgency(lowest, level, k);
            if ((chosen >> k & 1) == 0 && isfinite(own) &&
                (which == lowest->count || own < urgency(lowest, level, which) - MTMI_SAME_LEVEL))
                which = k;
        }
        if (which == lowest->count)
            break;
        chosen |= (uint32_t)1 << which;
        tried[count++] = (uint8_t)which;
    }
    return count;
}

/* Lights the tried emitters whose bit is set, and those that are not tried as they were; false
 * where that is none, or their least is more than the watts allow. */
static bool light_set(struct set *set, const double *given, const uint8_t *tried, size_t count,
                      unsigned bits)
{
    const struct mtmi_lowest *lowest = set->lowest;
    double watts = 0;

    set->count = 0;
    for (size_t k = 0; k < lowest->count; k++) {
        bool lit = given[k] >= lowest->least[k] - MTMI_SAME_LEVEL && given[k] > 0;
        for (size_t i = 0; i < count; i++)
            lit = tried[i] == k ? (bits >> i & 1) != 0 : lit;
        if (!lit || lowest->most[k] < lowest->least[k])
            continue;
        watts += lowest->least[k] * lowest->light[k].watts;
        set->emitter[set->count++] = (uint8_t)k;
    }
    return set->count > 0 && watts <= lowest->most_watts;
}

/* The best so far. Sets that give what is wanted come before all others. */
struct best {
    bool meets;
    double value; /* of the goal; else the cost */
    double level[MTM_EMITTERS_MAX];
};

static void compare(struct best *best, bool meets, double value, const double *level)
{
    double noise = 1e-9 * (fabs(best->value) + 1e-6);

    if (meets == best->meets ? !(value < best->value - noise) : !meets)
        return;
    best->meets = meets;
    best->value = value;
    memcpy(best->level, level, sizeof best->level);
}

double mtmi_lowest_hold(const struct mtmi_lowest *lowest, enum mtmi_lowest_goal goal, double *level)
{
    struct set set = {.lowest = lowest, .any_output = goal == MTMI_LOWEST_LIGHT};
    struct best best = {.value = MTMI_COST_BLACK}; /* all dark */
    uint8_t tried[TRIED_MAX];
    double tries[MTM_EMITTERS_MAX];

    if (!mtmi_lowest_breaks(lowest, level))
        return 0;
    const struct mtmi_sums wanted = light_of(lowest, level);
    if (!(wanted.v > 0 && wanted.all > 0)) {
        memset(level, 0, lowest->count * sizeof *level);
        return 0;
    }
    set.basis = mtmi_cost_basis_of(wanted, lowest->most_watts);
    size_t count = choose_tried(lowest, level, tried);
    for (unsigned bits = 0; bits >> count == 0; bits++) {
        memset(tries, 0, sizeof tries);
        if (!light_set(&set, level, tried, count, bits))
            continue;
        bool meets = meet(&set, tries);
        if (!meets && best.meets)
            continue;
        double value = meets ? go_to_goal(&set, goal, level, tries) : go_near(&set, tries);
        compare(&best, meets, value, tries);
    }
    memcpy(level, best.level, lowest->count * sizeof *level);
    return best.meets ? 0 : best.value;
}
