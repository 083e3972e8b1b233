/* SPDX-License-Identifier: MIT */
/* Mix: the nearest levels, found through their dual: level = clamp(base + rows' * lambda) for the
 * few multipliers lambda of the rows X, Y, Z and power. The dual is concave and piecewise
 * quadratic, so Newton's steps with an exact search along each end after a few rounds. */
#include "control/fade_mix.h"

#include <math.h>
#include <string.h>

#define ROWS_MOST 4
#define ROUNDS_MOST 60
#define SEARCH_ROUNDS 40
#define RIDGE 1e-12 /* keeps the matrix regular where fewer than three emitters are free */

/* What is solved: rows of coefficients and what each must sum to. */
struct problem {
    size_t rows, count;
    const double *row[ROWS_MOST];
    double wanted[ROWS_MOST];
    double tolerance[ROWS_MOST];
    const double *base;
};

bool mtmi_emitters_from(const mtm_fixture *fixture, mtm_observer observer, mtmi_emitters *emitters)
{
    double limit = mtm_fixture_power_limit_w(fixture);
    mtmi_emitters made = {.count = mtm_fixture_emitter_count(fixture), .limited = isfinite(limit)};

    for (size_t i = 0; i < made.count; i++)
        made.full_y += mtm_fixture_emitter(fixture, i)->xyz[observer].y;
    if (!(made.full_y > 0))
        return false;
    for (size_t i = 0; i < made.count; i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, i);

        made.xyz[0][i] = emitter->xyz[observer].x / made.full_y;
        made.xyz[1][i] = emitter->xyz[observer].y / made.full_y;
        made.xyz[2][i] = emitter->xyz[observer].z / made.full_y;
        made.watts[i] = made.limited ? emitter->watts / limit : 0;
    }
    *emitters = made;
    return true;
}

mtm_xyz mtmi_mix_xyz(const mtmi_emitters *emitters, const double *level)
{
    double sum[3] = {0};

    for (size_t k = 0; k < 3; k++)
        for (size_t i = 0; i < emitters->count; i++)
            sum[k] += level[i] * emitters->xyz[k][i];
    return (mtm_xyz){sum[0] * emitters->full_y, sum[1] * emitters->full_y,
                     sum[2] * emitters->full_y};
}

/* Levels and what is still missing for multipliers; returns true if nothing is. */
static bool apply(const struct problem *problem, const double *lambda, double *level, double *rest)
{
    bool done = true;

    for (size_t i = 0; i < problem->count; i++) {
        double v = problem->base[i];

        for (size_t k = 0; k < problem->rows; k++)
            v += lambda[k] * problem->row[k][i];
        level[i] = v > 0 ? (v < 1 ? v : 1) : 0;
    }
    for (size_t k = 0; k < problem->rows; k++) {
        rest[k] = problem->wanted[k];
        for (size_t i = 0; i < problem->count; i++)
            rest[k] -= problem->row[k][i] * level[i];
        done = done && fabs(rest[k]) <= problem->tolerance[k];
    }
    return done;
}

/* Solves matrix * step = rest for a symmetric positive matrix, by Cholesky's factors. */
static void solve(size_t n, double matrix[ROWS_MOST][ROWS_MOST], const double *rest, double *step)
{
    for (size_t j = 0; j < n; j++) {
        for (size_t k = 0; k < j; k++)
            matrix[j][j] -= matrix[j][k] * matrix[j][k];
        matrix[j][j] = sqrt(fmax(matrix[j][j], RIDGE * RIDGE));
        for (size_t i = j + 1; i < n; i++) {
            for (size_t k = 0; k < j; k++)
                matrix[i][j] -= matrix[i][k] * matrix[j][k];
            matrix[i][j] /= matrix[j][j];
        }
    }
    for (size_t i = 0; i < n; i++) {
        step[i] = rest[i];
        for (size_t k = 0; k < i; k++)
            step[i] -= matrix[i][k] * step[k];
        step[i] /= matrix[i][i];
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; k++)
            step[i] -= matrix[k][i] * step[k];
        step[i] /= matrix[i][i];
    }
}

/* Newton's step from the emitters that are free to move. */
static void newton(const struct problem *problem, const double *level, const double *rest,
                   double *step)
{
    double matrix[ROWS_MOST][ROWS_MOST] = {{0}};
    double trace = 0;

    for (size_t i = 0; i < problem->count; i++) {
        if (!(level[i] > 0 && level[i] < 1))
            continue;
        for (size_t k = 0; k < problem->rows; k++)
            for (size_t m = 0; m <= k; m++)
                matrix[k][m] += problem->row[k][i] * problem->row[m][i];
    }
    for (size_t k = 0; k < problem->rows; k++)
        trace += matrix[k][k];
    for (size_t k = 0; k < problem->rows; k++)
        matrix[k][k] += RIDGE * (1 + trace);
    solve(problem->rows, matrix, rest, step);
}

static double along(const struct problem *problem, const double *step, const double *rest)
{
    double sum = 0;

    for (size_t k = 0; k < problem->rows; k++)
        sum += step[k] * rest[k];
    return sum;
}

/* Goes from lambda along step to where the slope of the dual vanishes; true if all is reached. */
static bool search(const struct problem *problem, const double *step, double *lambda, double *level,
                   double *rest)
{
    double start[ROWS_MOST];
    double low = 0;
    double high = 1;
    bool done = false;

    memcpy(start, lambda, sizeof start);
    for (int i = 0; i < SEARCH_ROUNDS && !done; i++) {
        double part = i == 0 ? 1 : 0.5 * (low + high);

        for (size_t k = 0; k < problem->rows; k++)
            lambda[k] = start[k] + part * step[k];
        done = apply(problem, lambda, level, rest);
        bool short_of = along(problem, step, rest) >= 0;
        if (i == 0 && short_of)
            break;
        *(short_of ? &low : &high) = part;
        if (high - low < 1e-3 * high)
            break;
    }
    return done;
}

static bool run(const struct problem *problem, double *level)
{
    double lambda[ROWS_MOST] = {0};
    double rest[ROWS_MOST] = {0};
    double step[ROWS_MOST] = {0};
    bool done = apply(problem, lambda, level, rest);

    for (int i = 0; i < ROUNDS_MOST && !done; i++) {
        newton(problem, level, rest, step);
        done = search(problem, step, lambda, level, rest);
    }
    return done;
}

bool mtmi_mix_nearest(const mtmi_emitters *emitters, const double *base, mtm_xyz wanted,
                      double *level)
{
    const double scale = emitters->full_y;
    const double sum = (fabs(wanted.x) + fabs(wanted.y) + fabs(wanted.z)) / scale;
    const double tolerance = 1e-13 + 1e-9 * sum;
    struct problem problem = {
        .rows = 3,
        .count = emitters->count,
        .row = {emitters->xyz[0], emitters->xyz[1], emitters->xyz[2], emitters->watts},
        .wanted = {wanted.x / scale, wanted.y / scale, wanted.z / scale, 1},
        .tolerance = {tolerance, tolerance, tolerance, 1e-12},
        .base = base,
    };
    double power = 0;
    bool done = run(&problem, level);

    for (size_t i = 0; i < emitters->count; i++)
        power += level[i] * emitters->watts[i];
    if (!done || power <= 1 + 1e-9)
        return done;
    problem.rows = 4; /* too much power: the nearest levels then lie on the limit */
    return run(&problem, level);
}
