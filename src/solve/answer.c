/* SPDX-License-Identifier: MIT */
/* The answer to any request, degenerate or out of reach: where to aim, how far the ray goes, which
 * of several cells answers, and what its levels truly give. */
#include "solve/answer.h"

#include <math.h>
#include <string.h>

/* A target this near to the gamut, in u', v', is in it. */
#define REACHED 1e-9
/* A level this far outside 0..1 is rounding. */
#define LEVEL_SLACK 1e-11
/* Cells whose rows agree to this, relatively, share a plane: the levels tell which of them it is.
 */
#define SAME_PLANE 1e-12

/* The farthest row along q: 1 / its value is how far the ray goes. */
static size_t exit_row(const struct mtmi_planes *rows, const double q[3], double *most)
{
    size_t best = 0;

    *most = 0;
    for (size_t i = 0; i < rows->cells; i++) {
        double value = rows->a[0][i] * q[0] + rows->a[1][i] * q[1] + rows->a[2][i] * q[2];
        best = value > *most ? i : best;
        *most = value > *most ? value : *most;
    }
    return best;
}

/* The row of the tile that holds p; *watts gets the fewest watts there. */
static size_t tile_row(const struct mtmi_planes *rows, const double p[3], double *watts)
{
    size_t best = 0;

    *watts = -INFINITY;
    for (size_t i = 0; i < rows->cells; i++) {
        double value =
            rows->a[0][i] * p[0] + rows->a[1][i] * p[1] + rows->a[2][i] * p[2] - rows->h[i];
        best = value > *watts ? i : best;
        *watts = value > *watts ? value : *watts;
    }
    return best;
}

/* Levels of the basis at p, and by how much the worst leaves 0..1. */
static double basis_levels(const struct mtmi_cell *cell, const double p[3], double level[3])
{
    double worst = 0;

    for (size_t b = 0; b < 3; b++) {
        level[b] = cell->form[0][b] * p[0] + cell->form[1][b] * p[1] + cell->form[2][b] * p[2] -
                   cell->form[3][b];
        double out = level[b] < 0 ? -level[b] : level[b] - 1;
        worst = out > worst ? out : worst;
    }
    return worst;
}

/* The tile that holds p is the one whose levels are within 0..1, or most nearly; so found, it does
 * not depend on differences of costs, which may be small. */
static const struct mtmi_cell *holding(const mtm_solver *solver, const double p[3], double level[3])
{
    const struct mtmi_cell *chosen = NULL;
    double least = INFINITY;

    for (size_t i = 0; i < solver->tiles.cells; i++) {
        const struct mtmi_cell *cell = &solver->cells[solver->facet_count + i];
        double trial[3], out = basis_levels(cell, p, trial);
        if (out < least) {
            least = out;
            chosen = cell;
            memcpy(level, trial, sizeof trial);
        }
    }
    return chosen;
}

/* The cell that answers at p, and its levels; row is the best. */
static const struct mtmi_cell *answering(const mtm_solver *solver, const struct mtmi_planes *rows,
                                         size_t row, const double p[3], double level[3])
{
    const struct mtmi_cell *cell = &solver->cells[rows->first + row];

    if ((cell->full & MTMI_STIFF) != 0 || basis_levels(cell, p, level) > LEVEL_SLACK)
        cell = holding(solver, p, level);
    return cell;
}

/* Writes levels scaled by scale and what they give. */
static void describe(const mtm_solver *solver, const struct mtmi_cell *cell, const double level[3],
                     double scale, mtm_answer *answer)
{
    double sum[3] = {cell->base[0], cell->base[1], cell->base[2]}, watts = cell->base_w;

    mtmi_write_rests(cell->full, scale, answer->level);
    for (size_t b = 0; b < 3; b++) {
        size_t k = cell->basis[b];
        double bounded = mtmi_clamped(level[b]);
        for (size_t i = 0; i < 3; i++)
            sum[i] += bounded * solver->a[k][i];
        watts += bounded * solver->watts[k];
        if (k < solver->count)
            answer->level[k] = scale * bounded;
    }
    double light = scale * solver->unit;
    answer->xyz = (mtm_xyz){light * sum[0], light * sum[1], light * sum[2]};
    answer->watts = scale * watts;
}

/* The distance in u', v' of xyz from the chromaticity asked. */
static double distance_from(mtm_xyz xyz, mtm_xy xy)
{
    double got = 1 / (xyz.x + 15 * xyz.y + 3 * xyz.z);
    double asked = 1 / (-2 * xy.x + 12 * xy.y + 3);
    double du = 4 * xyz.x * got - 4 * xy.x * asked;
    double dv = 9 * xyz.y * got - 9 * xy.y * asked;

    return sqrt(du * du + dv * dv);
}

/* Moves the target into the gamut. */
static mtm_result aim(const mtm_solver *solver, const mtm_request *request, mtm_xy *xy,
                      unsigned *shortfall, mtm_error *error)
{
    mtm_result result = mtmi_request_check_beyond(request, error);
    if (result != MTM_OK)
        return result;

    mtm_uv asked = mtm_uv_from_xy(request->xy);
    *xy = mtmi_hull_nearest(&solver->hull, request->xy);
    if (mtm_uv_distance(asked, mtm_uv_from_xy(*xy)) > REACHED) {
        *xy = mtmi_aim(&solver->hull, request);
        *shortfall |= MTM_SHORT_GAMUT;
    }
    return MTM_OK;
}

/* The most light along q: the levels where the ray leaves the zonotope, scaled down to the output.
 */
static void solve_ray(const mtm_solver *solver, size_t row, const double p[3], double scale,
                      mtm_answer *answer)
{
    double level[3];
    const struct mtmi_cell *cell = answering(solver, &solver->rays, row, p, level);

    describe(solver, cell, level, scale, answer);
}

/* The fewest watts at p. */
static void solve_tile(const mtm_solver *solver, const double p[3], mtm_answer *answer)
{
    double level[3], watts = 0;
    size_t row = tile_row(&solver->tiles, p, &watts);
    const struct mtmi_cell *cell = answering(solver, &solver->tiles, row, p, level);

    describe(solver, cell, level, 1, answer);
}

mtm_result mtmi_answer_carefully(const mtm_solver *solver, const mtm_request *request,
                                 mtm_answer *answer, mtm_error *error)
{
    mtm_xy xy = request->xy;
    unsigned shortfall = 0;
    if (!mtmi_hull_holds(&solver->hull, xy)) {
        mtm_result result = aim(solver, request, &xy, &shortfall, error);
        if (result != MTM_OK)
            return result;
    }

    double p[3] = {xy.x, xy.y, 1 - xy.x - xy.y}, inverse = 0;
    size_t row = exit_row(&solver->rays, p, &inverse);
    double most = solver->unit * xy.y / inverse;
    double output = mtmi_wanted_output(request->output, most, &shortfall);
    bool whole = output >= most, scaled = request->goal != MTM_GOAL_WATTS || !(output > 0);
    double reach = (whole || scaled ? 1 : output / most) / inverse;
    for (size_t i = 0; i < 3; i++)
        p[i] *= reach;
    if (whole || scaled)
        solve_ray(solver, row, p, whole ? 1 : output / most, answer);
    else
        solve_tile(solver, p, answer);

    if (whole && row >= solver->facet_count)
        shortfall |= MTM_SHORT_POWER;
    bool dark = !(answer->xyz.x + answer->xyz.y + answer->xyz.z > 0);
    answer->xy = dark ? xy : mtm_xy_from_xyz(answer->xyz);
    answer->delta_uv =
        distance_from(dark ? (mtm_xyz){xy.x, xy.y, 1 - xy.x - xy.y} : answer->xyz, request->xy);
    answer->most = most;
    answer->shortfall = shortfall;
    return MTM_OK;
}
