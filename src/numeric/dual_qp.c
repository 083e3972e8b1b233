/* SPDX-License-Identifier: MIT */
/* The point of a convex set that is nearest to a given one: the dual method of D. Goldfarb and A.
 * Idnani (Mathematical Programming 27, 1983) for a distance. From the given point itself, what is
 * not met is met one by one, each time by the shortest step that keeps what was met, and what has
 * become idle is let go. It ends after finitely many steps. */
#include "numeric/dual_qp.h"

#include <math.h>
#include <string.h>

#define ROUNDS_MAX (4 * MTMI_DUAL_QP_CONSTRAINTS_MAX)
#define MET 1e-13       /* a constraint is met within this */
#define NEARLY_MET 1e-6 /* and good enough within this, where nothing better is to be had */
#define PARALLEL 1e-9   /* what is left of a normal of length 1 that depends on others */

struct state {
    const struct mtmi_dual_qp *qp;
    bool idle[MTMI_DUAL_QP_CONSTRAINTS_MAX]; /* depends on others and is met with them */
    double x[MTMI_DUAL_QP_VARIABLES_MAX];
    /* constraints that hold, with their multipliers; basis * upper = their normals */
    size_t held;
    size_t index[MTMI_DUAL_QP_VARIABLES_MAX];
    double sign[MTMI_DUAL_QP_VARIABLES_MAX]; /* equalities may be approached from above */
    double multiplier[MTMI_DUAL_QP_VARIABLES_MAX];
    double basis[MTMI_DUAL_QP_VARIABLES_MAX][MTMI_DUAL_QP_VARIABLES_MAX];
    double upper[MTMI_DUAL_QP_VARIABLES_MAX][MTMI_DUAL_QP_VARIABLES_MAX];
};

static double dot(const double *a, const double *b, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += a[i] * b[i];
    return sum;
}

void mtmi_dual_qp_add(struct mtmi_dual_qp *qp, const double *normal, double factor, double wanted)
{
    struct mtmi_dual_qp_constraint *constraint = &qp->constraint[qp->count++];
    double length = sqrt(dot(normal, normal, qp->variables));
    double scale = length > 0 ? factor / length : 0;

    for (size_t i = 0; i < qp->variables; i++)
        constraint->normal[i] = scale * normal[i];
    constraint->wanted = length > 0 ? wanted / length : 0;
}

static double slack(const struct state *state, size_t at)
{
    const struct mtmi_dual_qp_constraint *constraint = &state->qp->constraint[at];

    return dot(constraint->normal, state->x, state->qp->variables) - constraint->wanted;
}

static bool is_held(const struct state *state, size_t at)
{
    for (size_t i = 0; i < state->held; i++) {
        if (state->index[i] == at)
            return true;
    }
    return false;
}

/* The constraint to be met next: equalities first, then what is missed most. False: none. */
static bool choose(const struct state *state, size_t *chosen)
{
    double worst = -MET;
    bool found = false;

    for (size_t i = 0; i < state->qp->count; i++) {
        if (state->idle[i] || is_held(state, i))
            continue;
        if (i < state->qp->equalities) {
            *chosen = i;
            return true;
        }
        double missed = slack(state, i);
        if (missed < worst) {
            worst = missed;
            *chosen = i;
            found = true;
        }
    }
    return found;
}

/* Splits a normal into what the held ones make of it (share, by the basis) and what is left. */
static double split(const struct state *state, const double *normal, double *share, double *rest)
{
    memcpy(rest, normal, state->qp->variables * sizeof *rest);
    for (size_t k = 0; k < state->held; k++)
        share[k] = 0;
    for (int pass = 0; pass < 2; pass++) { /* twice is enough against rounding */
        for (size_t k = 0; k < state->held; k++) {
            double part = dot(state->basis[k], rest, state->qp->variables);

            share[k] += part;
            for (size_t i = 0; i < state->qp->variables; i++)
                rest[i] -= part * state->basis[k][i];
        }
    }
    return sqrt(dot(rest, rest, state->qp->variables));
}

/* Holds a constraint that does not depend on the others. */
static void hold(struct state *state, size_t at, double sign, double multiplier)
{
    size_t k = state->held;
    double normal[MTMI_DUAL_QP_VARIABLES_MAX] = {0};
    double share[MTMI_DUAL_QP_VARIABLES_MAX] = {0};
    double rest[MTMI_DUAL_QP_VARIABLES_MAX] = {0};

    for (size_t i = 0; i < state->qp->variables; i++)
        normal[i] = sign * state->qp->constraint[at].normal[i];
    double left = split(state, normal, share, rest);
    for (size_t i = 0; i < state->qp->variables; i++)
        state->basis[k][i] = rest[i] / left;
    for (size_t i = 0; i < k; i++)
        state->upper[i][k] = share[i];
    state->upper[k][k] = left;
    state->index[k] = at;
    state->sign[k] = sign;
    state->multiplier[k] = multiplier;
    state->held++;
}

/* Lets the held constraint number k go. */
static void let_go(struct state *state, size_t k)
{
    size_t count = state->held;
    size_t index[MTMI_DUAL_QP_VARIABLES_MAX];
    double sign[MTMI_DUAL_QP_VARIABLES_MAX];
    double multiplier[MTMI_DUAL_QP_VARIABLES_MAX];

    memcpy(index, state->index, sizeof index);
    memcpy(sign, state->sign, sizeof sign);
    memcpy(multiplier, state->multiplier, sizeof multiplier);
    state->held = k;
    for (size_t i = k + 1; i < count; i++)
        hold(state, index[i], sign[i], multiplier[i]);
}

/* How the multipliers of the held ones fall when that of another rises by 1. */
static void fall(const struct state *state, const double *share, double *falls)
{
    for (size_t i = state->held; i-- > 0;) {
        falls[i] = share[i];
        for (size_t k = i + 1; k < state->held; k++)
            falls[i] -= state->upper[i][k] * falls[k];
        falls[i] /= state->upper[i][i];
    }
}

/* The held inequality that becomes idle first, and when. */
static double first_idle(const struct state *state, const double *falls, size_t *idle)
{
    double when = INFINITY;

    for (size_t i = 0; i < state->held; i++) {
        if (state->index[i] < state->qp->equalities || !(falls[i] > 0))
            continue;
        if (state->multiplier[i] / falls[i] < when) {
            when = state->multiplier[i] / falls[i];
            *idle = i;
        }
    }
    return when;
}

/* Meets one constraint; false where that cannot be. */
static bool meet(struct state *state, size_t at)
{
    double sign = at < state->qp->equalities && slack(state, at) > 0 ? -1 : 1;
    double multiplier = 0;
    double normal[MTMI_DUAL_QP_VARIABLES_MAX] = {0};
    double share[MTMI_DUAL_QP_VARIABLES_MAX] = {0};
    double step[MTMI_DUAL_QP_VARIABLES_MAX] = {0};
    double falls[MTMI_DUAL_QP_VARIABLES_MAX] = {0};
    size_t idle = 0;

    for (size_t i = 0; i < state->qp->variables; i++)
        normal[i] = sign * state->qp->constraint[at].normal[i];
    for (int round = 0; round < ROUNDS_MAX; round++) {
        double missing = -sign * slack(state, at);
        double left = split(state, normal, share, step);

        if (state->held == state->qp->variables) /* what is left is rounding */
            left = 0;
        fall(state, share, falls);
        double partial = first_idle(state, falls, &idle);
        double full = left > PARALLEL ? missing / (left * left) : INFINITY;
        double length = partial < full ? partial : full;
        if (!isfinite(length)) {
            state->idle[at] = true;
            return missing <= NEARLY_MET;
        }
        for (size_t i = 0; i < state->qp->variables && isfinite(full); i++)
            state->x[i] += length * step[i];
        for (size_t i = 0; i < state->held; i++)
            state->multiplier[i] -= length * falls[i];
        multiplier += length;
        if (full <= partial) {
            hold(state, at, sign, multiplier);
            return true;
        }
        let_go(state, idle);
    }
    return false;
}

bool mtmi_dual_qp_nearest(const struct mtmi_dual_qp *qp, double *x)
{
    struct state state;
    size_t next = 0;
    bool possible = true;

    state.qp = qp;
    state.held = 0;
    memset(state.idle, 0, sizeof state.idle);
    memcpy(state.x, x, qp->variables * sizeof *x);
    for (int round = 0; round < ROUNDS_MAX && possible && choose(&state, &next); round++)
        possible = meet(&state, next);
    memcpy(x, state.x, qp->variables * sizeof *x);
    return possible;
}
