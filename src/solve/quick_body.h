/* SPDX-License-Identifier: MIT */
/* The quick way, for one processor: included after QUICK (what stands before each function),
 * FARTHEST(rows, q) and GREATEST(rows, q, scale), which searches at scale times q, are defined. */
#include "solve/answer.h"
#include "solve/quick.h"

#include <float.h>

/* A level this far outside 0..1 is rounding, and its light need not be summed again. */
#define CLEAN 1e-12

QUICK bool sound(const mtm_request *request)
{
    mtm_output output = request->output;

    return request->xy.x >= 0 && request->xy.y > 0 && request->xy.x + request->xy.y <= 1 &&
           (unsigned)request->goal <= MTM_GOAL_COOLEST &&
           (unsigned)request->beyond <= MTM_BEYOND_CCT &&
           (output.kind == MTM_OUTPUT_MAX ||
            (output.value > 0 && ((output.kind == MTM_OUTPUT_FRACTION && output.value <= 1) ||
                                  (output.kind == MTM_OUTPUT_LM && output.value <= DBL_MAX))));
}

/* Brings three levels that are out of 0..1 by rounding into it; false if one is out by more. */
QUICK bool settle(double level[3])
{
    for (size_t b = 0; b < 3; b++) {
        if (!(level[b] >= -CLEAN && level[b] <= 1 + CLEAN))
            return false;
        level[b] = mtmi_clamped(level[b]);
    }
    return true;
}

/* l (1 - l): not below 0 within 0..1. */
QUICK double inside(double level)
{
    return level * (1 - level);
}

/* The levels of a cell at p, times scale, and their watts; false if they are not clean, and then
 * nothing is written. */
QUICK bool fill(const struct mtmi_cell *cell, const double p[3], double scale, mtm_answer *answer)
{
    double value[4];

    for (size_t i = 0; i < 4; i++)
        value[i] = cell->form[0][i] * p[0] + cell->form[1][i] * p[1] + cell->form[2][i] * p[2] -
                   cell->form[3][i];
    double first = value[0], second = value[1], third = value[2];
    double worst = inside(first), other = inside(second), last = inside(third);
    worst = other < worst ? other : worst;
    worst = last < worst ? last : worst;
    if ((cell->full & MTMI_STIFF) != 0)
        return false;
    if (!(worst >= 0)) {
        double level[3] = {first, second, third};
        if (!settle(level))
            return false;
        first = level[0];
        second = level[1];
        third = level[2];
    }
    mtmi_write_rests(cell->full, scale, answer->level);
    answer->level[cell->slot[0]] = scale * first;
    answer->level[cell->slot[1]] = scale * second;
    answer->level[cell->slot[2]] = scale * third;
    answer->watts = scale * value[3];
    return true;
}

QUICK bool answer_quickly(const mtm_solver *solver, const mtm_request *request, mtm_answer *answer)
{
    if (!sound(request))
        return false;
    const struct mtmi_rows *rays = &solver->rays;
    const double q[3] = {request->xy.x, request->xy.y, 1 - request->xy.x - request->xy.y};
    double found = FARTHEST(rays, q), reach = 1 / found;
    size_t row = mtmi_row_of(rays, found);

    if (row >= rays->cells)
        return false;
    double most = solver->unit * (reach * q[1]), output = most, share = 1;
    const struct mtmi_cell *cell = &solver->cells[row];
    double p[3] = {reach * q[0], reach * q[1], reach * q[2]};
    unsigned shortfall = 0;
    if (request->output.kind == MTM_OUTPUT_FRACTION) {
        share = request->output.value;
        output = share * most;
    } else if (request->output.kind == MTM_OUTPUT_LM) {
        output = mtmi_wanted_output(request->output, most, &shortfall);
        share = output / most;
    }
    if (!(output < most)) {
        shortfall |= row >= solver->facet_count ? MTM_SHORT_POWER : 0;
    } else if (request->goal != MTM_GOAL_BRIGHTEST) {
        found = GREATEST(&solver->tiles, q, share * reach);
        for (size_t i = 0; i < 3; i++)
            p[i] *= share;
        share = 1;
        cell = &solver->cells[solver->facet_count + mtmi_row_of(&solver->tiles, found)];
    }
    if (!fill(cell, p, share, answer))
        return false;
    double light = share * solver->unit;
    answer->xyz = (mtm_xyz){light * p[0], light * p[1], light * p[2]};
    answer->xy = request->xy;
    answer->delta_uv = 0;
    answer->most = most;
    answer->shortfall = shortfall;
    return true;
}
