/* SPDX-License-Identifier: MIT */
/* Columns: the linear relaxation over whole universes' fillings, its bound and its rounding. */
#include "plan/layout_columns.h"

#include "plan/layout_queue.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { KINDS_MOST = MTMI_COLUMN_KINDS_MOST };

static const double WORK_MOST = 6e8; /* elementary steps: about half a second */
static const double SMALL = 1e-9;
static const double WHOLE = 1e-6;

/* min sum x[r] so that sum x[r] filling[r] = demand, x >= 0. The basis has one filling a kind of
 * item; its inverse is kept whole. All costs are 1. */
typedef struct relaxation {
    int capacity;
    size_t kinds;
    int size[KINDS_MOST];
    int demand[KINDS_MOST]; /* items of the kind, at most what fits into one universe ... */
    double whole_demand[KINDS_MOST]; /* ... and all of them */
    double x[KINDS_MOST];
    double dual[KINDS_MOST];
    double *inverse;  /* [row of the basis][kind] */
    int16_t *filling; /* [row of the basis][kind] */
    int16_t entering[KINDS_MOST];
    double direction[KINDS_MOST];
    double *value; /* [stage][slots]: the dearest filling of the first stages */
    double bound;  /* no fewer universes */
    double work;
} relaxation;

static void relaxation_free(relaxation *r)
{
    if (r == NULL)
        return;
    free(r->value);
    free(r->filling);
    free(r->inverse);
    free(r);
}

/* Room for so many kinds; the tables are reused for each demand. */
static relaxation *relaxation_create(size_t kinds, int capacity)
{
    relaxation *r = calloc(1, sizeof *r);

    if (r == NULL)
        return NULL;
    r->capacity = capacity;
    r->inverse = calloc(kinds * kinds + 1, sizeof *r->inverse);
    r->filling = calloc(kinds * kinds + 1, sizeof *r->filling);
    r->value = calloc((kinds + 1) * ((size_t)capacity + 1), sizeof *r->value);
    if (r->inverse == NULL || r->filling == NULL || r->value == NULL) {
        relaxation_free(r);
        return NULL;
    }
    return r;
}

/* Starts from fillings of one kind each. */
static void relaxation_start(relaxation *r, const mtmi_column_kind *kinds, size_t count)
{
    r->kinds = count;
    r->bound = 0;
    memset(r->inverse, 0, count * count * sizeof *r->inverse);
    memset(r->filling, 0, count * count * sizeof *r->filling);
    for (size_t i = 0; i < count; i++) {
        size_t fit = (size_t)(r->capacity / kinds[i].size);
        r->size[i] = kinds[i].size;
        r->demand[i] = (int)(kinds[i].count < fit ? kinds[i].count : fit);
        r->whole_demand[i] = (double)kinds[i].count;
        r->filling[i * count + i] = (int16_t)r->demand[i];
        r->inverse[i * count + i] = 1.0 / r->demand[i];
        r->x[i] = r->whole_demand[i] / r->demand[i];
    }
}

/* The dearest fillings of each number of slots by the first stages kinds. */
static double *values_of(const relaxation *r, size_t stages)
{
    return &r->value[stages * ((size_t)r->capacity + 1)];
}

static void find_duals(relaxation *r)
{
    for (size_t i = 0; i < r->kinds; i++)
        r->dual[i] = 0;
    for (size_t row = 0; row < r->kinds; row++) {
        for (size_t i = 0; i < r->kinds; i++)
            r->dual[i] += r->inverse[row * r->kinds + i];
    }
    r->work += (double)(r->kinds * r->kinds);
}

/* One stage of the knapsack: up to demand copies of kind i, by the best of all numbers of copies.
 */
static void knapsack_stage(relaxation *r, size_t i)
{
    const double *before = values_of(r, i);
    double *after = values_of(r, i + 1);

    memcpy(after, before, ((size_t)r->capacity + 1) * sizeof *after);
    if (r->dual[i] <= 0)
        return;
    for (int copies = 1; copies <= r->demand[i]; copies++) {
        int taken = copies * r->size[i];
        double worth = copies * r->dual[i];
        for (int v = taken; v <= r->capacity; v++)
            after[v] = fmax(after[v], before[v - taken] + worth);
        r->work += r->capacity - taken;
    }
}

/* The filling that is worth most at the duals; returns its worth. */
static double find_entering(relaxation *r)
{
    int v = r->capacity;

    for (size_t i = 0; i < r->kinds; i++)
        knapsack_stage(r, i);
    for (size_t i = r->kinds; i-- > 0;) {
        const double *before = values_of(r, i);
        const double *after = values_of(r, i + 1);
        int copies = 0;
        while (copies * r->size[i] <= v && copies < r->demand[i] &&
               before[v - copies * r->size[i]] + copies * r->dual[i] < after[v])
            copies++;
        r->entering[i] = (int16_t)copies;
        v -= copies * r->size[i];
    }
    return values_of(r, r->kinds)[r->capacity];
}

/* The row that leaves, or SIZE_MAX where rounding has eaten the direction. */
static size_t find_leaving(relaxation *r)
{
    size_t leaving = SIZE_MAX;
    double least = INFINITY;

    for (size_t row = 0; row < r->kinds; row++) {
        double sum = 0;
        for (size_t i = 0; i < r->kinds; i++)
            sum += r->inverse[row * r->kinds + i] * r->entering[i];
        r->direction[row] = sum;
        if (sum > SMALL && r->x[row] / sum < least) {
            least = r->x[row] / sum;
            leaving = row;
        }
    }
    r->work += (double)(r->kinds * r->kinds);
    return leaving;
}

static void exchange(relaxation *r, size_t leaving)
{
    double *pivot = &r->inverse[leaving * r->kinds];
    double scale = 1 / r->direction[leaving];

    for (size_t i = 0; i < r->kinds; i++)
        pivot[i] *= scale;
    r->x[leaving] *= scale;
    for (size_t row = 0; row < r->kinds; row++) {
        double factor = r->direction[row];
        if (row == leaving || factor == 0)
            continue;
        for (size_t i = 0; i < r->kinds; i++)
            r->inverse[row * r->kinds + i] -= factor * pivot[i];
        r->x[row] = fmax(0, r->x[row] - factor * r->x[leaving]);
    }
    memcpy(&r->filling[leaving * r->kinds], r->entering, r->kinds * sizeof *r->entering);
    r->work += (double)(r->kinds * r->kinds);
}

static double universes_of(const relaxation *r)
{
    double sum = 0;

    for (size_t row = 0; row < r->kinds; row++)
        sum += r->x[row];
    return sum;
}

/* Farley: duals divided by the dearest filling's worth are duals that no filling exceeds. */
static void raise_bound(relaxation *r, double worth)
{
    double sum = 0;

    for (size_t i = 0; i < r->kinds; i++)
        sum += fmax(0, r->dual[i]) * r->whole_demand[i];
    r->bound = fmax(r->bound, sum / fmax(1, worth));
}

/* Iterates until the bound, rounded up, has met the sum, or the work is spent. */
static void relaxation_solve(relaxation *r, double work_most)
{
    while (r->kinds > 0 && r->work < work_most) {
        find_duals(r);
        double worth = find_entering(r);
        raise_bound(r, worth);
        if (worth <= 1 + SMALL || ceil(r->bound - WHOLE) >= ceil(universes_of(r) - WHOLE))
            return;
        size_t leaving = find_leaving(r);
        if (leaving == SIZE_MAX)
            return;
        exchange(r, leaving);
    }
}

size_t mtmi_columns_kinds(const size_t *histogram, mtmi_column_kind *kinds)
{
    size_t count = 0;

    for (int size = MTMI_UNIVERSE_SLOTS; size >= 1; size--) {
        if (histogram[size] > 0)
            kinds[count++] = (mtmi_column_kind){size, histogram[size]};
    }
    return count;
}

bool mtmi_columns_bound(const mtmi_column_kind *kinds, size_t count, int capacity, size_t *least)
{
    relaxation *r = relaxation_create(count, capacity);

    if (r == NULL)
        return false;
    relaxation_start(r, kinds, count);
    relaxation_solve(r, WORK_MOST);
    *least = (size_t)fmax(0, ceil(r->bound - WHOLE));
    relaxation_free(r);
    return true;
}

static size_t kinds_left(const mtmi_queues *queues, mtmi_column_kind *kinds)
{
    size_t histogram[MTMI_UNIVERSE_SLOTS + 1] = {0};

    for (int size = 1; size <= MTMI_UNIVERSE_SLOTS; size++)
        histogram[size] = mtmi_queues_left(queues, size);
    return mtmi_columns_kinds(histogram, kinds);
}

/* Takes one filling from the queues if all of it is there. */
static bool take_filling(const relaxation *r, size_t row, mtmi_queues *queues, size_t into,
                         size_t *bin)
{
    const int16_t *filling = &r->filling[row * r->kinds];
    int items = 0;

    for (size_t i = 0; i < r->kinds; i++) {
        items += filling[i];
        if ((size_t)filling[i] > mtmi_queues_left(queues, r->size[i]))
            return false;
    }
    for (size_t i = 0; i < r->kinds; i++) {
        for (int copies = 0; copies < filling[i]; copies++)
            mtmi_queues_take(queues, r->size[i], into, bin);
    }
    return items > 0;
}

/* Whole parts first; then fillings wanted by at least a half; then, if none was taken, the one
 * wanted most. Returns how many universes were filled. */
static size_t round_down(relaxation *r, mtmi_queues *queues, size_t into, size_t *bin)
{
    size_t taken = 0;
    size_t most = 0;

    for (size_t row = 0; row < r->kinds; row++) {
        for (; r->x[row] >= 1 - WHOLE && take_filling(r, row, queues, into + taken, bin); taken++)
            r->x[row] -= 1;
        if (r->x[row] > r->x[most])
            most = row;
    }
    if (taken == 0) {
        for (size_t row = 0; row < r->kinds; row++)
            taken += r->x[row] >= 0.75 && take_filling(r, row, queues, into + taken, bin);
    }
    if (taken == 0)
        taken += take_filling(r, most, queues, into, bin);
    return taken;
}

bool mtmi_columns_pack(const mtmi_pack *pack, size_t *bin)
{
    mtmi_column_kind kinds[KINDS_MOST];
    mtmi_queues queues;
    relaxation *r = NULL;
    size_t opened = 0;
    size_t taken = 1;
    bool done = false;

    if (!mtmi_queues_create(pack, &queues))
        return false;
    if (!mtmi_queues_fill_old(pack, &queues, bin))
        goto done;
    r = relaxation_create(kinds_left(&queues, kinds), MTMI_UNIVERSE_SLOTS);
    if (r == NULL)
        goto done;
    while (queues.left > 0 && taken > 0 && r->work < WORK_MOST) {
        relaxation_start(r, kinds, kinds_left(&queues, kinds));
        relaxation_solve(r, WORK_MOST);
        taken = round_down(r, &queues, pack->bin_count + opened, bin);
        opened += taken;
    }
    mtmi_queues_fill_new(pack, &queues, opened, bin);
    done = true;
done:
    relaxation_free(r);
    mtmi_queues_free(&queues);
    return done;
}
