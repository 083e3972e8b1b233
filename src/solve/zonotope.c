/* SPDX-License-Identifier: MIT */
/* The zonotope that the emitters reach, cut into cells.
 *
 * What emitters a_k at levels 0..1 can make is a zonotope in XYZ. Every pair that is not parallel
 * spans two of its facets, normal +-(a_i x a_j): there the pair varies and every other emitter
 * rests at 1 if it points outward, at 0 if not. A ray leaves it through the facet whose
 * plane m . p = 1 it meets first, the one with the greatest m . d.
 *
 * Give each emitter its watts as a fourth coordinate: the lower side of that four-dimensional
 * zonotope, seen from XYZ, is a tiling of the first. A tile varies three emitters; its multipliers
 * y (y . a_b = w_b for the three) give every other one a reduced cost w_k - y . a_k, whose sign
 * says whether it rests at 0 or 1, whatever the target. The fewest watts at p are the greatest y .
 * p - h over all tiles. Under a power limit P a ray ends where y . p - h = P: one more plane a
 * tile, y / (P + h).
 *
 * Ties (emitters in the plane of a facet, equal costs) are broken by a second, generic cost, which
 * is the same for all cells, so that the cells still tile. Flat bodies (emitters on one line or at
 * one chromaticity) are made solid by imaginary generators across the flat; targets lie on it, so
 * their level is always 0. */
#include "solve/quick.h"
#include "solve/solver.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Directions that agree to this are one direction; heights over a plane below it are none. */
#define FLAT 1e-9
/* Relative size of a reduced cost that is rounding. */
#define TIE 1e-12
/* Levels of a basis grow with the inverse of what keeps its directions apart; this is much. */
#define STIFF 1e3
/* Rays reach no farther than the number of emitters, so that their rows are above 1/32; 1e-13
 * within the gamut, which is rounding, times this is below. */
#define EDGE_SCALE 1e11

/* What rounding took from a product, exactly (T. J. Dekker, Numerische Mathematik 18, 1971). A
 * fused multiply-add would tell it too, but a processor without one imitates it slowly. */
static double lost(double a, double b, double product)
{
    const double split = 134217729; /* 2^27 + 1: parts a number into halves of its digits */
    double big_a = split * a, big_b = split * b;
    double high_a = big_a - (big_a - a), high_b = big_b - (big_b - b);
    double low_a = a - high_a, low_b = b - high_b;

    return ((high_a * high_b - product) + high_a * low_b + low_a * high_b) + low_a * low_b;
}

/* a b - c d without cancellation (W. Kahan's method). */
static double difference(double a, double b, double c, double d)
{
    double ab = a * b, cd = c * d;

    return (ab - cd) + (lost(a, b, ab) - lost(c, d, cd));
}

static void cross(double out[3], const double a[3], const double b[3])
{
    double x = difference(a[1], b[2], a[2], b[1]);
    double y = difference(a[2], b[0], a[0], b[2]);
    double z = difference(a[0], b[1], a[1], b[0]);

    out[0] = x;
    out[1] = y;
    out[2] = z;
}

static double dot(const double a[3], const double b[3])
{
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* Scales to length 1; returns the length it had. */
static double make_unit(double a[3])
{
    double length = sqrt(dot(a, a));

    if (length > 0) {
        for (int i = 0; i < 3; i++)
            a[i] /= length;
    }
    return length;
}

/* While cells are made. */
struct maker {
    mtm_solver *solver;
    double unit[MTMI_GENERATORS_MAX][3];    /* directions */
    double length[MTMI_GENERATORS_MAX];     /* 0: dark */
    double second[MTMI_GENERATORS_MAX + 1]; /* the cost that breaks ties */
    double dual[3][3];                      /* of the basis of the cell in work */
    size_t cell_count;
};

static void add_imaginary(struct maker *maker, const double direction[3])
{
    size_t k = maker->solver->all_count++;

    memcpy(maker->solver->a[k], direction, sizeof maker->solver->a[k]);
    memcpy(maker->unit[k], direction, sizeof maker->unit[k]);
    maker->solver->watts[k] = 0;
    maker->length[k] = 1;
}

/* The generator that leaves the line of direction (or the plane of that normal) the most. */
static size_t farthest(const struct maker *maker, const double direction[3], bool plane,
                       double *most)
{
    size_t best = 0;

    *most = 0;
    for (size_t k = 0; k < maker->solver->count; k++) {
        double across[3];
        if (!(maker->length[k] > 0))
            continue;
        cross(across, direction, maker->unit[k]);
        double value = plane ? fabs(dot(direction, maker->unit[k])) : sqrt(dot(across, across));
        if (value > *most) {
            *most = value;
            best = k;
        }
    }
    return best;
}

/* Adds what the emitters lack to span three dimensions. */
static void make_solid(struct maker *maker)
{
    size_t lit = 0;
    double most = 0, normal[3];

    while (!(maker->length[lit] > 0))
        lit++;
    const double *first = maker->unit[lit];
    size_t second = farthest(maker, first, false, &most);
    if (most <= FLAT) {
        /* one chromaticity: anything across it will do */
        double axis[3] = {first[0] < 0.8, first[0] >= 0.8, 0};
        cross(normal, first, axis);
        (void)make_unit(normal);
        add_imaginary(maker, normal);
        second = maker->solver->all_count - 1;
    }
    cross(normal, first, maker->unit[second]);
    (void)make_unit(normal);
    (void)farthest(maker, normal, true, &most);
    if (most <= FLAT)
        add_imaginary(maker, normal);
}

/* dual[b] . v[c] = 1 where b = c, else 0. */
static void make_duals(double dual[3][3], const double *v[3])
{
    cross(dual[0], v[1], v[2]);
    cross(dual[1], v[2], v[0]);
    cross(dual[2], v[0], v[1]);
    double det = dot(dual[0], v[0]);
    for (int b = 0; b < 3; b++) {
        for (int i = 0; i < 3; i++)
            dual[b][i] /= det;
    }
}

static bool in_basis(const struct mtmi_cell *cell, size_t k)
{
    return cell->basis[0] == k || cell->basis[1] == k || cell->basis[2] == k;
}

/* w_k less what the basis would pay for the same light: below 0, k rests at 1. *first gets the
 * part in watts, 0 where it is rounding. */
static bool pays(const struct maker *maker, const struct mtmi_cell *cell, size_t k, double *first)
{
    const mtm_solver *solver = maker->solver;
    double cost = solver->watts[k], size = cost, tie = maker->second[k];

    for (size_t b = 0; b < 3; b++) {
        double share = dot(maker->dual[b], solver->a[k]);
        double watts = solver->watts[cell->basis[b]];
        cost -= share * watts;
        size += sqrt(dot(maker->dual[b], maker->dual[b])) * maker->length[k] * watts;
        tie -= share * maker->second[cell->basis[b]];
    }
    *first = fabs(cost) <= TIE * size ? 0 : cost;
    return *first != 0 ? *first < 0 : tie < 0;
}

static void rest_at_full(struct mtmi_cell *cell, const mtm_solver *solver, size_t k)
{
    cell->full |= (uint32_t)1 << k;
    for (int i = 0; i < 3; i++)
        cell->base[i] += solver->a[k][i];
    cell->base_w += solver->watts[k];
}

static struct mtmi_cell *open_cell(struct maker *maker, size_t p, size_t q, size_t r)
{
    struct mtmi_cell *cell = &maker->solver->cells[maker->cell_count];

    memset(cell, 0, sizeof *cell);
    cell->basis[0] = (uint8_t)p;
    cell->basis[1] = (uint8_t)q;
    cell->basis[2] = (uint8_t)r;
    return cell;
}

static void close_cell(struct maker *maker, struct mtmi_cell *cell)
{
    const mtm_solver *solver = maker->solver;

    for (size_t b = 0; b < 3; b++) {
        double length = cell->basis[b] == MTMI_NONE ? 0 : maker->length[cell->basis[b]];
        if (length * sqrt(dot(maker->dual[b], maker->dual[b])) > STIFF)
            cell->full |= MTMI_STIFF;
    }
    for (size_t lane = 0; lane < 3; lane++) {
        size_t b = cell->basis[lane] == MTMI_NONE ? 1 : lane;
        const double *dual = maker->dual[b];
        cell->slot[lane] = cell->basis[b];
        for (size_t i = 0; i < 3; i++) {
            cell->form[i][lane] = dual[i];
            cell->form[i][3] += solver->watts[cell->basis[lane]] * maker->dual[lane][i];
        }
        cell->form[3][lane] = dot(dual, cell->base);
    }
    cell->form[3][3] = -cell->base_w;
    for (size_t i = 0; i < 3; i++)
        cell->form[3][3] += cell->form[i][3] * cell->base[i];
    maker->cell_count++;
}

/* The facet over p and q on the side of the unit normal, or nothing if nothing lies on that side:
 * then it is a face of the gamut's cone. */
static void make_facet(struct maker *maker, size_t p, size_t q, const double normal[3])
{
    mtm_solver *solver = maker->solver;
    struct mtmi_cell *cell = open_cell(maker, p, q, MTMI_NONE);
    const double *v[3] = {solver->a[p], solver->a[q], normal};
    double height = 0, watts = 0;

    make_duals(maker->dual, v);
    memset(maker->dual[2], 0, sizeof maker->dual[2]);
    for (size_t k = 0; k < solver->all_count; k++) {
        if (!(maker->length[k] > 0) || in_basis(cell, k))
            continue;
        double up = dot(normal, maker->unit[k]);
        if (up > FLAT) {
            height += dot(normal, solver->a[k]);
            rest_at_full(cell, solver, k);
        } else if (up >= -FLAT && pays(maker, cell, k, &watts)) {
            rest_at_full(cell, solver, k);
        }
    }
    if (!(height > 0))
        return;
    for (int i = 0; i < 3; i++)
        solver->rays.a[i][maker->cell_count] = normal[i] / height;
    close_cell(maker, cell);
}

/* The tile of three emitters that span a solid; a row for its watts, and one for the limit. */
static void make_tile(struct maker *maker, size_t p, size_t q, size_t r)
{
    mtm_solver *solver = maker->solver;
    struct mtmi_cell *cell = open_cell(maker, p, q, r);
    const double *v[3] = {solver->a[p], solver->a[q], solver->a[r]};
    size_t row = maker->cell_count - solver->facet_count;
    double h = 0, y[3];

    make_duals(maker->dual, v);
    for (size_t k = 0; k < solver->all_count; k++) {
        double watts = 0;
        if (!(maker->length[k] > 0) || in_basis(cell, k))
            continue;
        if (pays(maker, cell, k, &watts)) {
            h -= watts;
            rest_at_full(cell, solver, k);
        }
    }
    for (int i = 0; i < 3; i++) {
        y[i] = 0;
        for (int b = 0; b < 3; b++)
            y[i] += solver->watts[cell->basis[b]] * maker->dual[b][i];
        solver->tiles.a[i][row] = y[i];
        solver->rays.a[i][maker->cell_count] = y[i] / (solver->power_limit_w + h);
    }
    solver->tiles.h[row] = h;
    close_cell(maker, cell);
}

static bool solid(const struct maker *maker, size_t p, size_t q, size_t r)
{
    const size_t pairs[3][2] = {{p, q}, {q, r}, {r, p}};
    double normal[3], longest = 0;

    for (int i = 0; i < 3; i++) {
        cross(normal, maker->unit[pairs[i][0]], maker->unit[pairs[i][1]]);
        longest = fmax(longest, sqrt(dot(normal, normal)));
    }
    /* normal is now r x p */
    return fabs(dot(normal, maker->unit[q])) > FLAT * longest;
}

static void make_facets(struct maker *maker)
{
    size_t count = maker->solver->all_count;

    for (size_t p = 0; p < count; p++) {
        for (size_t q = p + 1; q < count; q++) {
            double normal[3];
            cross(normal, maker->solver->a[p], maker->solver->a[q]);
            if (!(make_unit(normal) > FLAT * maker->length[p] * maker->length[q]))
                continue;
            double opposite[3] = {-normal[0], -normal[1], -normal[2]};
            make_facet(maker, p, q, normal);
            make_facet(maker, p, q, opposite);
        }
    }
    maker->solver->facet_count = maker->cell_count;
}

static void make_tiles(struct maker *maker)
{
    size_t count = maker->solver->all_count;

    for (size_t p = 0; p < count; p++) {
        for (size_t q = p + 1; q < count; q++) {
            for (size_t r = q + 1; r < count; r++) {
                if (solid(maker, p, q, r))
                    make_tile(maker, p, q, r);
            }
        }
    }
}

static size_t whole_groups(size_t count)
{
    return (count + MTMI_PLANE_GROUP - 1) / MTMI_PLANE_GROUP * MTMI_PLANE_GROUP;
}

static double *place_rows(struct mtmi_planes *rows, double *at, size_t count)
{
    for (int i = 0; i < 3; i++, at += count)
        rows->a[i] = at;
    rows->h = at;
    return at + count;
}

static bool allocate(mtm_solver *solver)
{
    size_t n = solver->all_count < 3 ? 3 : solver->all_count;
    size_t facets = n * (n - 1), tiles = n * (n - 1) * (n - 2) / 6;
    size_t rays = whole_groups(facets + tiles + solver->hull.count);
    size_t tile_rows = whole_groups(tiles);
    size_t row_bytes = 4 * (rays + tile_rows) * sizeof *solver->row_block;

    solver->cells = aligned_alloc(MTMI_LINE, (facets + tiles) * sizeof *solver->cells);
    solver->row_block = aligned_alloc(MTMI_LINE, row_bytes);
    if (solver->cells == NULL || solver->row_block == NULL)
        return false;
    memset(solver->row_block, 0, row_bytes);
    double *at = place_rows(&solver->rays, solver->row_block, rays);
    (void)place_rows(&solver->tiles, at, tile_rows);
    return true;
}

/* The rows after the cells' and the edges' never win. */
static void finish_rows(struct mtmi_planes *rows, size_t cells, size_t edges)
{
    rows->cells = cells;
    rows->count = whole_groups(cells + edges);
    for (size_t i = cells + edges; i < rows->count; i++) {
        for (int j = 0; j < 3; j++)
            rows->a[j][i] = 0;
        rows->h[i] = DBL_MAX;
    }
    for (rows->mask = 1; rows->mask + 1 < rows->count;)
        rows->mask = 2 * rows->mask + 1;
}

/* Beyond the gamut by more than rounding, an edge's row is greater than that of any ray in it. */
static void add_edges(mtm_solver *solver, size_t row)
{
    const struct mtmi_hull *hull = &solver->hull;

    for (size_t i = 0; hull->count >= 3 && i < hull->count; i++, row++) {
        const double *edge = hull->edge[i];
        solver->rays.a[0][row] = -EDGE_SCALE * (edge[0] + edge[2]);
        solver->rays.a[1][row] = -EDGE_SCALE * (edge[1] + edge[2]);
        solver->rays.a[2][row] = -EDGE_SCALE * edge[2];
    }
}

static void finish(mtm_solver *solver, size_t cell_count)
{
    double total = 0;
    size_t edges = solver->hull.count >= 3 ? solver->hull.count : 0;

    for (size_t k = 0; k < solver->count; k++)
        total += solver->watts[k];
    size_t rays = total > solver->power_limit_w ? cell_count : solver->facet_count;
    add_edges(solver, rays);
    finish_rows(&solver->rays, rays, edges);
    finish_rows(&solver->tiles, cell_count - solver->facet_count, 0);
    solver->tiles.first = solver->facet_count;
    solver->quick = edges > 0 && solver->all_count == solver->count ? mtmi_quick_best() : NULL;
}

bool mtmi_zonotope_prepare(mtm_solver *solver)
{
    struct maker maker = {.solver = solver};

    solver->all_count = solver->count;
    for (size_t k = 0; k < solver->count; k++) {
        memcpy(maker.unit[k], solver->a[k], sizeof maker.unit[k]);
        maker.length[k] = make_unit(maker.unit[k]);
    }
    make_solid(&maker);
    for (size_t k = 0; k < solver->all_count; k++) /* digits of roots: no pattern */
        maker.second[k] = maker.length[k] * (1 + fmod(1000 * sqrt((double)k + 0.3), 1));

    if (!allocate(solver))
        return false;
    make_facets(&maker);
    make_tiles(&maker);
    finish(solver, maker.cell_count);
    return true;
}

void mtmi_zonotope_release(mtm_solver *solver)
{
    free(solver->cells);
    free(solver->row_block);
}
