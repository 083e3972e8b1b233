/* SPDX-License-Identifier: MIT */
/* Mix: the nearest levels, by the dual method of Goldfarb and Idnani (Math. Programming 27, 1983)
 * for a distance: from the base itself, what is not met is met one by one, each time by the
 * shortest way that keeps what was met, and what has become idle is let go. It ends after finitely
 * many steps. */
#include "fade/mix.h"

#include <math.h>
#include <string.h>

#define EQUALITIES 3 /* X, Y, Z */
/* Constraints: X, Y, Z, power, and both ends of each level. */
#define CONSTRAINTS_MOST (EQUALITIES + 1 + 2 * MTM_EMITTERS_MAX)
#define ROUNDS_MOST (4 * CONSTRAINTS_MOST)
#define MET 1e-13       /* a constraint is met within this */
#define NEARLY_MET 1e-6 /* and good enough within this, where nothing better is to be had */
#define QUICK_ROUNDS 8
#define DEPENDENT 1e-9 /* what is left of a pivot where rows depend on each other */
#define PARALLEL 1e-9  /* what is left of a normal of length 1 that depends on others */

/* normal * level = wanted for the first three, >= wanted for the others; normals have length 1. */
struct constraint {
    double normal[MTM_EMITTERS_MAX];
    double wanted;
};

struct problem {
    size_t levels, count;
    struct constraint constraint[CONSTRAINTS_MOST];
    bool idle[CONSTRAINTS_MOST]; /* depends on others and is met with them */
    double level[MTM_EMITTERS_MAX];
    /* constraints that hold, with their multipliers; basis * upper = their normals */
    size_t held;
    size_t index[MTM_EMITTERS_MAX];
    double sign[MTM_EMITTERS_MAX]; /* equalities may be approached from above */
    double multiplier[MTM_EMITTERS_MAX];
    double basis[MTM_EMITTERS_MAX][MTM_EMITTERS_MAX];
    double upper[MTM_EMITTERS_MAX][MTM_EMITTERS_MAX];
};

bool mtmi_mix_basis_from(const struct mtmi_emitters *from, mtmi_mix_basis *emitters)
{
    mtmi_mix_basis made = {.count = from->count, .limited = isfinite(from->power_limit_w)};

    for (size_t i = 0; i < made.count; i++)
        made.full_y += from->xyz[i].y;
    if (!(made.full_y > 0))
        return false;
    for (size_t i = 0; i < made.count; i++) {
        made.xyz[0][i] = from->xyz[i].x / made.full_y;
        made.xyz[1][i] = from->xyz[i].y / made.full_y;
        made.xyz[2][i] = from->xyz[i].z / made.full_y;
        made.watts[i] = made.limited ? from->watts[i] / from->power_limit_w : 0;
    }
    *emitters = made;
    return true;
}

mtm_xyz mtmi_mix_xyz(const mtmi_mix_basis *emitters, const double *level)
{
    double sum[3] = {0};

    for (size_t k = 0; k < 3; k++)
        for (size_t i = 0; i < emitters->count; i++)
            sum[k] += level[i] * emitters->xyz[k][i];
    return (mtm_xyz){sum[0] * emitters->full_y, sum[1] * emitters->full_y,
                     sum[2] * emitters->full_y};
}

static double dot(const double *a, const double *b, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

/* Adds factor * normal * level >= wanted, scaled to a normal of length 1. */
static void add(struct problem *problem, const double *normal, double factor, double wanted)
{
    struct constraint *constraint = &problem->constraint[problem->count++];
    double length = sqrt(dot(normal, normal, problem->levels));
    double scale = length > 0 ? factor / length : 0;

    for (size_t i = 0; i < problem->levels; i++)
        constraint->normal[i] = scale * normal[i];
    constraint->wanted = length > 0 ? wanted / length : 0;
}

static void set_up(struct problem *problem, const mtmi_mix_basis *emitters, const double *base,
                   mtm_xyz wanted)
{
    problem->levels = emitters->count;
    problem->count = 0;
    problem->held = 0;
    memset(problem->idle, 0, sizeof problem->idle);
    memcpy(problem->level, base, emitters->count * sizeof *base);
    add(problem, emitters->xyz[0], 1, wanted.x / emitters->full_y);
    add(problem, emitters->xyz[1], 1, wanted.y / emitters->full_y);
    add(problem, emitters->xyz[2], 1, wanted.z / emitters->full_y);
    if (emitters->limited)
        add(problem, emitters->watts, -1, -1);
    for (size_t i = 0; i < emitters->count; i++) {
        double unit[MTM_EMITTERS_MAX] = {0};

        unit[i] = 1;
        add(problem, unit, 1, 0);
        add(problem, unit, -1, -1);
    }
}

static double slack(const struct problem *problem, size_t at)
{
    const struct constraint *constraint = &problem->constraint[at];

    return dot(constraint->normal, problem->level, problem->levels) - constraint->wanted;
}

static bool is_held(const struct problem *problem, size_t at)
{
    for (size_t i = 0; i < problem->held; i++) {
        if (problem->index[i] == at)
            return true;
    }
    return false;
}

/* The constraint to be met next: equalities first, then what is missed most. False: none. */
static bool choose(const struct problem *problem, size_t *chosen)
{
    double worst = -MET;
    bool found = false;

    for (size_t i = 0; i < problem->count; i++) {
        if (problem->idle[i] || is_held(problem, i))
            continue;
        if (i < EQUALITIES) {
            *chosen = i;
            return true;
        }
        double missed = slack(problem, i);
        if (missed < worst) {
            worst = missed;
            *chosen = i;
            found = true;
        }
    }
    return found;
}

/* Splits a normal into what the held ones make of it (share, by the basis) and what is left. */
static double split(const struct problem *problem, const double *normal, double *share,
                    double *rest)
{
    memcpy(rest, normal, problem->levels * sizeof *rest);
    for (size_t k = 0; k < problem->held; k++)
        share[k] = 0;
    for (int pass = 0; pass < 2; pass++) { /* twice is enough against rounding */
        for (size_t k = 0; k < problem->held; k++) {
            double part = dot(problem->basis[k], rest, problem->levels);

            share[k] += part;
            for (size_t i = 0; i < problem->levels; i++)
                rest[i] -= part * problem->basis[k][i];
        }
    }
    return sqrt(dot(rest, rest, problem->levels));
}

/* Holds a constraint that does not depend on the others. */
static void hold(struct problem *problem, size_t at, double sign, double multiplier)
{
    size_t k = problem->held;
    double normal[MTM_EMITTERS_MAX] = {0};
    double share[MTM_EMITTERS_MAX] = {0};
    double rest[MTM_EMITTERS_MAX] = {0};

    for (size_t i = 0; i < problem->levels; i++)
        normal[i] = sign * problem->constraint[at].normal[i];
    double left = split(problem, normal, share, rest);
    for (size_t i = 0; i < problem->levels; i++)
        problem->basis[k][i] = rest[i] / left;
    for (size_t i = 0; i < k; i++)
        problem->upper[i][k] = share[i];
    problem->upper[k][k] = left;
    problem->index[k] = at;
    problem->sign[k] = sign;
    problem->multiplier[k] = multiplier;
    problem->held++;
}

/* Lets the held constraint number k go. */
static void let_go(struct problem *problem, size_t k)
{
    size_t count = problem->held;
    size_t index[MTM_EMITTERS_MAX];
    double sign[MTM_EMITTERS_MAX];
    double multiplier[MTM_EMITTERS_MAX];

    memcpy(index, problem->index, sizeof index);
    memcpy(sign, problem->sign, sizeof sign);
    memcpy(multiplier, problem->multiplier, sizeof multiplier);
    problem->held = k;
    for (size_t i = k + 1; i < count; i++)
        hold(problem, index[i], sign[i], multiplier[i]);
}

/* How the multipliers of the held ones fall when that of another rises by 1. */
static void fall(const struct problem *problem, const double *share, double *falls)
{
    for (size_t i = problem->held; i-- > 0;) {
        falls[i] = share[i];
        for (size_t k = i + 1; k < problem->held; k++)
            falls[i] -= problem->upper[i][k] * falls[k];
        falls[i] /= problem->upper[i][i];
    }
}

/* The held inequality that becomes idle first, and when. */
static double first_idle(const struct problem *problem, const double *falls, size_t *idle)
{
    double when = INFINITY;

    for (size_t i = 0; i < problem->held; i++) {
        if (problem->index[i] < EQUALITIES || !(falls[i] > 0))
            continue;
        if (problem->multiplier[i] / falls[i] < when) {
            when = problem->multiplier[i] / falls[i];
            *idle = i;
        }
    }
    return when;
}

/* Meets one constraint; false where that cannot be. */
static bool meet(struct problem *problem, size_t at)
{
    double sign = at < EQUALITIES && slack(problem, at) > 0 ? -1 : 1;
    double multiplier = 0;
    double normal[MTM_EMITTERS_MAX] = {0};
    double share[MTM_EMITTERS_MAX] = {0};
    double way[MTM_EMITTERS_MAX] = {0};
    double falls[MTM_EMITTERS_MAX] = {0};
    size_t idle = 0;

    for (size_t i = 0; i < problem->levels; i++)
        normal[i] = sign * problem->constraint[at].normal[i];
    for (int round = 0; round < ROUNDS_MOST; round++) {
        double missing = -sign * slack(problem, at);
        double left = split(problem, normal, share, way);

        if (problem->held == problem->levels) /* what is left is rounding */
            left = 0;
        fall(problem, share, falls);
        double partial = first_idle(problem, falls, &idle);
        double full = left > PARALLEL ? missing / (left * left) : INFINITY;
        double step = partial < full ? partial : full;
        if (!isfinite(step)) {
            problem->idle[at] = true;
            return missing <= NEARLY_MET;
        }
        for (size_t i = 0; i < problem->levels && isfinite(full); i++)
            problem->level[i] += step * way[i];
        for (size_t i = 0; i < problem->held; i++)
            problem->multiplier[i] -= step * falls[i];
        multiplier += step;
        if (full <= partial) {
            hold(problem, at, sign, multiplier);
            return true;
        }
        let_go(problem, idle);
    }
    return false;
}

static bool mix_exactly(const mtmi_mix_basis *emitters, const double *base, mtm_xyz wanted,
                        double *level)
{
    struct problem problem;
    size_t next = 0;
    bool possible = true;

    set_up(&problem, emitters, base, wanted);
    for (int round = 0; round < ROUNDS_MOST && possible && choose(&problem, &next); round++)
        possible = meet(&problem, next);
    for (size_t i = 0; i < emitters->count; i++) {
        double v = problem.level[i];

        level[i] = v > 0 ? (v < 1 ? v : 1) : 0;
    }
    return possible;
}

/* Levels for the multipliers of X, Y, Z, and what is missing then. */
static void try_multipliers(const mtmi_mix_basis *emitters, const double *base,
                            const double *multiplier, double *level, double *missing)
{
    for (size_t i = 0; i < emitters->count; i++) {
        double v = base[i] + multiplier[0] * emitters->xyz[0][i] +
                   multiplier[1] * emitters->xyz[1][i] + multiplier[2] * emitters->xyz[2][i];

        level[i] = v > 0 ? (v < 1 ? v : 1) : 0;
        for (size_t k = 0; k < 3; k++)
            missing[k] -= level[i] * emitters->xyz[k][i];
    }
}

/* Solves the normal equations of the emitters that are free to move; false if they are too few. */
static bool solve_free(const mtmi_mix_basis *emitters, const double *level, const double *missing,
                       double *step)
{
    double m[3][3] = {{0}};

    for (size_t i = 0; i < emitters->count; i++) {
        if (!(level[i] > 0 && level[i] < 1))
            continue;
        for (size_t k = 0; k < 3; k++)
            for (size_t j = 0; j <= k; j++)
                m[k][j] += emitters->xyz[k][i] * emitters->xyz[j][i];
    }
    double l10 = m[1][0] / m[0][0];
    double l20 = m[2][0] / m[0][0];
    double d1 = m[1][1] - l10 * m[1][0];
    double l21 = (m[2][1] - l20 * m[1][0]) / d1;
    double d2 = m[2][2] - l20 * m[2][0] - l21 * l21 * d1;
    if (!(m[0][0] > 0 && d1 > DEPENDENT * m[1][1] && d2 > DEPENDENT * m[2][2]))
        return false;
    double y1 = missing[1] - l10 * missing[0];
    step[2] = (missing[2] - l20 * missing[0] - l21 * y1) / d2;
    step[1] = y1 / d1 - l21 * step[2];
    step[0] = missing[0] / m[0][0] - l10 * step[1] - l20 * step[2];
    return true;
}

/* The common case, fast: Newton's method on the multipliers of X, Y and Z. Where it comes to rest
 * the levels are nearest; where it does not, or with too much power, the exact way is gone. */
static bool mix_quickly(const mtmi_mix_basis *emitters, const double *base, mtm_xyz wanted,
                        double *level)
{
    const double scale = 1 / emitters->full_y;
    double multiplier[3] = {0};
    double step[3] = {0};
    double power = 0;
    bool done = false;

    for (int round = 0; round < QUICK_ROUNDS && !done; round++) {
        double missing[3] = {wanted.x * scale, wanted.y * scale, wanted.z * scale};

        try_multipliers(emitters, base, multiplier, level, missing);
        done = fabs(missing[0]) + fabs(missing[1]) + fabs(missing[2]) <= MET;
        if (!done && !solve_free(emitters, level, missing, step))
            return false;
        for (size_t k = 0; k < 3; k++)
            multiplier[k] += step[k];
    }
    for (size_t i = 0; i < emitters->count; i++)
        power += level[i] * emitters->watts[i];
    return done && power <= 1;
}

bool mtmi_mix_nearest(const mtmi_mix_basis *emitters, const double *base, mtm_xyz wanted,
                      double *level)
{
    if (mix_quickly(emitters, base, wanted, level))
        return true;
    return mix_exactly(emitters, base, wanted, level);
}
