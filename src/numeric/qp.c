/* SPDX-License-Identifier: MIT */
/* Quadratic programs of a handful of variables, by the primal active-set method (J. Nocedal and
 * S. Wright, Numerical Optimization, 2nd ed., 16.5). */
#include "numeric/qp.h"

#include <math.h>
#include <string.h>

#define SIZE_MAX_KKT (MTMI_QP_VARIABLES + MTMI_QP_CONSTRAINTS)
#define ROUNDS_MAX 300
/* Added to h, and taken from the empty corner, so that the system always has a solution; relative.
 */
#define SOFTEN 1e-14
#define STILL 1e-11

enum place { FREE, AT_LOW, AT_HIGH };

struct state {
    const struct mtmi_qp *qp;
    double *x;
    enum place place[MTMI_QP_VARIABLES];
    double slope[MTMI_QP_VARIABLES]; /* gradient of the objective at x */
    double step[MTMI_QP_VARIABLES];
    double price[MTMI_QP_CONSTRAINTS]; /* multipliers of the rows */
    double scale;                      /* of h */
};

/* Solves m s = r by elimination with row exchange; m and r are used up. */
static void eliminate(double m[SIZE_MAX_KKT][SIZE_MAX_KKT], double *r, size_t size)
{
    for (size_t k = 0; k < size; k++) {
        size_t pivot = k;
        for (size_t i = k + 1; i < size; i++) {
            if (fabs(m[i][k]) > fabs(m[pivot][k]))
                pivot = i;
        }
        if (m[pivot][k] == 0)
            continue;
        for (size_t j = k; j < size && pivot != k; j++) {
            double swapped = m[k][j];
            m[k][j] = m[pivot][j];
            m[pivot][j] = swapped;
        }
        double swapped = r[k];
        r[k] = r[pivot];
        r[pivot] = swapped;
        for (size_t i = k + 1; i < size; i++) {
            double factor = m[i][k] / m[k][k];
            for (size_t j = k; j < size && factor != 0; j++)
                m[i][j] -= factor * m[k][j];
            r[i] -= factor * r[k];
        }
    }
    for (size_t k = size; k-- > 0;) {
        for (size_t j = k + 1; j < size; j++)
            r[k] -= m[k][j] * r[j];
        r[k] = m[k][k] != 0 ? r[k] / m[k][k] : 0;
    }
}

static void find_slope(struct state *state)
{
    const struct mtmi_qp *qp = state->qp;

    for (size_t i = 0; i < qp->count; i++) {
        state->slope[i] = qp->c[i];
        for (size_t j = 0; j < qp->count; j++)
            state->slope[i] += qp->h[i][j] * state->x[j];
    }
}

/* The step to the least on the free variables alone, and the rows' multipliers. */
static void find_step(struct state *state)
{
    const struct mtmi_qp *qp = state->qp;
    double m[SIZE_MAX_KKT][SIZE_MAX_KKT] = {{0}}, r[SIZE_MAX_KKT] = {0};
    size_t list[MTMI_QP_VARIABLES], free_count = 0;

    for (size_t i = 0; i < qp->count; i++) {
        state->step[i] = 0;
        if (state->place[i] == FREE)
            list[free_count++] = i;
    }
    for (size_t i = 0; i < free_count; i++) {
        for (size_t j = 0; j < free_count; j++)
            m[i][j] = qp->h[list[i]][list[j]];
        m[i][i] += SOFTEN * state->scale;
        r[i] = -state->slope[list[i]];
        for (size_t row = 0; row < qp->rows; row++) {
            m[i][free_count + row] = state->scale * qp->a[row][list[i]];
            m[free_count + row][i] = m[i][free_count + row];
        }
    }
    for (size_t row = 0; row < qp->rows; row++)
        m[free_count + row][free_count + row] = -SOFTEN * state->scale;
    eliminate(m, r, free_count + qp->rows);
    for (size_t i = 0; i < free_count; i++)
        state->step[list[i]] = r[i];
    for (size_t row = 0; row < qp->rows; row++)
        state->price[row] = state->scale * r[free_count + row];
}

/* Goes along the step until a bound stops it; true if one did. */
static bool go(struct state *state)
{
    const struct mtmi_qp *qp = state->qp;
    double share = 1;
    size_t stop = qp->count;

    for (size_t i = 0; i < qp->count; i++) {
        double step = state->step[i], room = step < 0 ? -state->x[i] : qp->upper[i] - state->x[i];
        if (state->place[i] != FREE || !(share * fabs(step) > fabs(room)))
            continue;
        share = fabs(room / step);
        stop = i;
    }
    for (size_t i = 0; i < qp->count; i++)
        state->x[i] += share * state->step[i];
    if (stop == qp->count)
        return false;
    state->place[stop] = state->step[stop] < 0 ? AT_LOW : AT_HIGH;
    state->x[stop] = state->step[stop] < 0 ? 0 : qp->upper[stop];
    return true;
}

/* What one more of a variable would change, the rows kept by the others. */
static double reduced(const struct state *state, size_t i)
{
    double value = state->slope[i];

    for (size_t row = 0; row < state->qp->rows; row++)
        value += state->qp->a[row][i] * state->price[row];
    return value;
}

/* Frees the variable that gains most by leaving its bound; false if none gains. */
static bool release(struct state *state)
{
    double most = STILL * state->scale;
    size_t which = state->qp->count;

    for (size_t i = 0; i < state->qp->count; i++) {
        double value = reduced(state, i);
        double gain = state->place[i] == AT_LOW ? -value : state->place[i] == AT_HIGH ? value : 0;
        if (gain > most && state->qp->upper[i] > 0) {
            most = gain;
            which = i;
        }
    }
    if (which == state->qp->count)
        return false;
    state->place[which] = FREE;
    return true;
}

/* For all feasible y, the objective there less that at x is at least the sum of the reduced slopes
 * times (y - x), and each term at least what a bound makes of it. */
static double proved_gap(const struct state *state)
{
    double gap = 0;

    for (size_t i = 0; i < state->qp->count; i++) {
        double value = reduced(state, i);
        double room = value > 0 ? state->x[i] : state->qp->upper[i] - state->x[i];
        if (value != 0 && room > 0)
            gap += fabs(value) * room;
    }
    return gap;
}

void mtmi_qp_solve(const struct mtmi_qp *qp, double *x, double *gap)
{
    struct state state = {.qp = qp, .x = x};

    for (size_t i = 0; i < qp->count; i++) {
        state.scale = fmax(state.scale, fmax(qp->h[i][i], fabs(qp->c[i])));
        x[i] = fmin(fmax(x[i], 0), qp->upper[i]);
        state.place[i] = x[i] <= 0 ? AT_LOW : x[i] >= qp->upper[i] ? AT_HIGH : FREE;
    }
    *gap = 0;
    if (!(state.scale > 0))
        return;
    for (int round = 0; round < ROUNDS_MAX; round++) {
        find_slope(&state);
        find_step(&state);
        if (go(&state))
            continue; /* on a bound: the rest of the variables look anew */
        find_slope(&state);
        if (!release(&state)) {
            *gap = proved_gap(&state);
            return;
        }
    }
    *gap = INFINITY;
}
