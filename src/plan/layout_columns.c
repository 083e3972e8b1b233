/* SPDX-License-Identifier: MIT */
/* Columns: the linear relaxation over whole bins' fillings, its bound and its rounding.
 *
 * A column is one way to fill a bin. The revised simplex method keeps one filling a size as its
 * basis, with the inverse whole; the filling that is worth most at the duals, found by dynamic
 * programming over sizes and room, enters. What the relaxation wants at least once is filled and
 * taken away, and the rest solved again: sizes of a fifth to a half of a bin are packed so to
 * within a bin or two of the bound, where filling one bin after the other takes up to 4 % more. The
 * knapsack dominates: sizes times copies times room for each column, so the work is counted, not
 * timed (WORK_MAX), and every machine stops at the same column. All costs are 1; nothing here
 * knows of groups or of free stretches. Degenerate steps end where the direction has been eaten by
 * rounding (SMALL): the bound holds all the same, so do not tighten it. */
#include "plan/layout_columns.h"

#include "base/pool.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SIZES_MAX = MTMI_COLUMN_SIZES_MAX };

static const double WORK_MAX = 4e8; /* elementary steps: some tenths of a second */
static const double SMALL = 1e-9;
static const double WHOLE = 1e-6;
static const double WANTED = 0.75; /* taken where nothing is wanted once */

/* min sum x[r] so that sum x[r] filling[r] = demand, x >= 0, for the sizes that are left. */
typedef struct relaxation {
    int capacity;
    size_t size_count;
    size_t run[SIZES_MAX]; /* of the caller's runs */
    int size[SIZES_MAX];
    int copies[SIZES_MAX];    /* of a size, at most what fits into one bin ... */
    double demand[SIZES_MAX]; /* ... and all of them */
    double x[SIZES_MAX];
    double dual[SIZES_MAX];
    double *inverse;   /* [row of the basis][size] */
    uint16_t *filling; /* [row of the basis][size] */
    uint16_t entering[SIZES_MAX];
    double direction[SIZES_MAX];
    double *value; /* [stage][room]: the dearest filling of the first stages */
    double bound;  /* no fewer bins */
    double work;
} relaxation;

/* Room for so many sizes; the tables are used again for each demand. NULL if out of memory. */
static relaxation *relaxation_create(mtmi_pool *pool, size_t size_count, int capacity)
{
    relaxation *r = mtmi_pool_take(pool, 1, sizeof *r);

    if (r == NULL)
        return NULL;
    r->capacity = capacity;
    r->inverse = mtmi_pool_take(pool, size_count * size_count, sizeof *r->inverse);
    r->filling = mtmi_pool_take(pool, size_count * size_count, sizeof *r->filling);
    r->value = mtmi_pool_take(pool, (size_count + 1) * ((size_t)capacity + 1), sizeof *r->value);
    return pool->failed ? NULL : r;
}

/* Starts from fillings of one size each. left: NULL for all of the runs. */
static void relaxation_start(relaxation *r, const mtmi_size_run *runs, const size_t *left,
                             size_t run_count)
{
    r->size_count = 0;
    r->bound = 0;
    for (size_t i = 0; i < run_count; i++) {
        size_t demand = left != NULL ? left[i] : runs[i].count;
        if (demand == 0)
            continue;
        size_t k = r->size_count++;
        r->run[k] = i;
        r->size[k] = (int)runs[i].size;
        r->demand[k] = (double)demand;
        r->copies[k] = r->capacity / r->size[k];
        if (demand < (size_t)r->copies[k])
            r->copies[k] = (int)demand;
    }
    memset(r->inverse, 0, r->size_count * r->size_count * sizeof *r->inverse);
    memset(r->filling, 0, r->size_count * r->size_count * sizeof *r->filling);
    for (size_t k = 0; k < r->size_count; k++) {
        r->filling[k * r->size_count + k] = (uint16_t)r->copies[k];
        r->inverse[k * r->size_count + k] = 1.0 / r->copies[k];
        r->x[k] = r->demand[k] / r->copies[k];
    }
}

/* The dearest fillings of each room by the first stages sizes. */
static double *values_of(const relaxation *r, size_t stages)
{
    return &r->value[stages * ((size_t)r->capacity + 1)];
}

static void find_duals(relaxation *r)
{
    for (size_t k = 0; k < r->size_count; k++)
        r->dual[k] = 0;
    for (size_t row = 0; row < r->size_count; row++) {
        for (size_t k = 0; k < r->size_count; k++)
            r->dual[k] += r->inverse[row * r->size_count + k];
    }
    r->work += (double)(r->size_count * r->size_count);
}

/* One stage of the knapsack: the best of all numbers of copies of one size. */
static void knapsack_stage(relaxation *r, size_t k)
{
    const double *before = values_of(r, k);
    double *after = values_of(r, k + 1);

    memcpy(after, before, ((size_t)r->capacity + 1) * sizeof *after);
    for (int copies = 1; r->dual[k] > 0 && copies <= r->copies[k]; copies++) {
        int taken = copies * r->size[k];
        double worth = copies * r->dual[k];
        for (int v = taken; v <= r->capacity; v++)
            after[v] = fmax(after[v], before[v - taken] + worth);
        r->work += r->capacity - taken;
    }
}

/* The filling that is worth most at the duals; returns its worth. */
static double find_entering(relaxation *r)
{
    int v = r->capacity;

    for (size_t k = 0; k < r->size_count; k++)
        knapsack_stage(r, k);
    for (size_t k = r->size_count; k-- > 0;) {
        const double *before = values_of(r, k);
        const double *after = values_of(r, k + 1);
        int copies = 0;
        while (copies * r->size[k] <= v && copies < r->copies[k] &&
               before[v - copies * r->size[k]] + copies * r->dual[k] < after[v])
            copies++;
        r->entering[k] = (uint16_t)copies;
        v -= copies * r->size[k];
    }
    return values_of(r, r->size_count)[r->capacity];
}

/* The row that leaves, or SIZE_MAX where rounding has eaten the direction. */
static size_t find_leaving(relaxation *r)
{
    size_t leaving = SIZE_MAX;
    double least = INFINITY;

    for (size_t row = 0; row < r->size_count; row++) {
        double sum = 0;
        for (size_t k = 0; k < r->size_count; k++)
            sum += r->inverse[row * r->size_count + k] * r->entering[k];
        r->direction[row] = sum;
        if (sum > SMALL && r->x[row] / sum < least) {
            least = r->x[row] / sum;
            leaving = row;
        }
    }
    r->work += (double)(r->size_count * r->size_count);
    return leaving;
}

static void exchange(relaxation *r, size_t leaving)
{
    double *pivot = &r->inverse[leaving * r->size_count];
    double scale = 1 / r->direction[leaving];

    for (size_t k = 0; k < r->size_count; k++)
        pivot[k] *= scale;
    r->x[leaving] *= scale;
    for (size_t row = 0; row < r->size_count; row++) {
        double factor = r->direction[row];
        if (row == leaving || factor == 0)
            continue;
        for (size_t k = 0; k < r->size_count; k++)
            r->inverse[row * r->size_count + k] -= factor * pivot[k];
        r->x[row] = fmax(0, r->x[row] - factor * r->x[leaving]);
    }
    memcpy(&r->filling[leaving * r->size_count], r->entering, r->size_count * sizeof *r->entering);
    r->work += (double)(r->size_count * r->size_count);
}

/* Farley: duals divided by the dearest filling's worth are duals that no filling exceeds. Returns
 * the bins that the relaxation wants now. */
static double raise_bound(relaxation *r, double worth)
{
    double sum = 0;
    double bins = 0;

    for (size_t k = 0; k < r->size_count; k++) {
        sum += fmax(0, r->dual[k]) * r->demand[k];
        bins += r->x[k];
    }
    r->bound = fmax(r->bound, sum / fmax(1, worth));
    return bins;
}

/* Iterates until the bound, rounded up, has met the sum, or the work is spent. */
static void relaxation_solve(relaxation *r)
{
    while (r->size_count > 0 && r->work < WORK_MAX) {
        find_duals(r);
        double worth = find_entering(r);
        double bins = raise_bound(r, worth);
        if (worth <= 1 + SMALL || ceil(r->bound - WHOLE) >= ceil(bins - WHOLE))
            return;
        size_t leaving = find_leaving(r);
        if (leaving == SIZE_MAX)
            return;
        exchange(r, leaving);
    }
}

bool mtmi_columns_bound(const mtmi_size_run *runs, size_t run_count, int capacity, size_t *least)
{
    mtmi_pool pool = {0};
    relaxation *r = relaxation_create(&pool, run_count, capacity);

    if (r != NULL) {
        relaxation_start(r, runs, NULL, run_count);
        relaxation_solve(r);
        *least = (size_t)fmax(0, ceil(r->bound - WHOLE));
    }
    mtmi_pool_free(&pool);
    return r != NULL;
}

/* A plan in the making. */
typedef struct planning {
    relaxation *r;
    mtmi_columns *columns;
    size_t columns_most;
    size_t *left; /* by run */
    size_t run_count, pieces_left;
} planning;

/* Plans one filling of the basis if all of it is left. */
static bool take_filling(planning *p, size_t row)
{
    const relaxation *r = p->r;
    const uint16_t *filling = &r->filling[row * r->size_count];
    uint16_t *planned = &p->columns->fillings[p->columns->count * p->run_count];
    size_t pieces = 0;

    for (size_t k = 0; k < r->size_count; k++) {
        pieces += filling[k];
        if (filling[k] > p->left[r->run[k]])
            return false;
    }
    if (pieces == 0 || p->columns->count == p->columns_most)
        return false;
    for (size_t k = 0; k < r->size_count; k++) {
        planned[r->run[k]] = filling[k];
        p->left[r->run[k]] -= filling[k];
    }
    p->pieces_left -= pieces;
    p->columns->count++;
    return true;
}

/* Whole parts first; then what is wanted for the most part; then what is wanted most. */
static void round_down(planning *p)
{
    relaxation *r = p->r;
    size_t before = p->columns->count;
    size_t most = 0;

    for (size_t row = 0; row < r->size_count; row++) {
        while (r->x[row] >= 1 - WHOLE && take_filling(p, row))
            r->x[row] -= 1;
        most = r->x[row] > r->x[most] ? row : most;
    }
    if (p->columns->count > before)
        return;
    for (size_t row = 0; row < r->size_count; row++) {
        if (r->x[row] >= WANTED)
            (void)take_filling(p, row);
    }
    if (p->columns->count == before)
        (void)take_filling(p, most);
}

static void plan(planning *p, const mtmi_size_run *runs)
{
    size_t before = SIZE_MAX;

    while (p->pieces_left > 0 && p->columns->count != before && p->r->work < WORK_MAX) {
        before = p->columns->count;
        relaxation_start(p->r, runs, p->left, p->run_count);
        relaxation_solve(p->r);
        round_down(p);
    }
}

bool mtmi_columns_plan(const mtmi_size_run *runs, size_t run_count, int capacity,
                       mtmi_columns *columns)
{
    planning p = {.columns = columns, .run_count = run_count};
    mtmi_pool pool = {0};
    double sum = 0;

    *columns = (mtmi_columns){0};
    p.r = relaxation_create(&pool, run_count, capacity);
    p.left = mtmi_pool_take(&pool, run_count, sizeof *p.left);
    for (size_t i = 0; i < run_count; i++) {
        p.pieces_left += runs[i].count;
        sum += runs[i].size * (double)runs[i].count;
    }
    p.columns_most = run_count + 1 + (size_t)(2 * sum / capacity); /* twice as many as sums need */
    columns->fillings = calloc(p.columns_most * run_count + 1, sizeof *columns->fillings);
    bool done = !pool.failed && columns->fillings != NULL;
    if (done) {
        for (size_t i = 0; i < run_count; i++)
            p.left[i] = runs[i].count;
        plan(&p, runs);
    }
    mtmi_pool_free(&pool);
    return done;
}
