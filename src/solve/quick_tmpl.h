/* SPDX-License-Identifier: MIT */
/* The quick way, for one processor: included after QUICK (what stands before each function),
 * and these are defined:
 *   all                       a number, on processors with vectors in each of four lanes
 *   all all_of(double), double one_of(all)
 *   all farthest(rows, q)     what the search finds at q
 *   all greatest(rows, q, scale)    and at scale times q
 *   quad                      four numbers
 *   quad quad_form(form, p)   form[0] p[0] + form[1] p[1] + form[2] p[2] - form[3]
 *   bool quad_within(quad, slack)    the first three are within 0..1, or out by slack
 *   quad quad_clamped(quad)   the first three brought into 0..1
 *   void quad_write(quad, scale, cell, answer)    scale times it and what rests, as levels, watts
 */
#include "solve/answer.h"
#include "solve/quick.h"

#include <float.h>

/* A level this far outside 0..1 is rounding, and its light need not be summed again. */
#define CLEAN 1e-12

QUICK bool sound(const mtm_request *request, mtm_output output)
{
    return request->xy.x >= 0 && request->xy.y > 0 && request->xy.x + request->xy.y <= 1 &&
           (unsigned)request->goal <= MTM_GOAL_WATTS &&
           (unsigned)request->beyond <= MTM_BEYOND_CCT &&
           (output.type == MTM_OUTPUT_MAX ||
            (output.value > 0 && ((output.type == MTM_OUTPUT_SHARE && output.value <= 1) ||
                                  (output.type == MTM_OUTPUT_LM && output.value <= DBL_MAX))));
}

/* The levels of a cell at p, times scale, and their watts; false if they are not clean, and then
 * nothing is written. */
QUICK bool fill(const struct mtmi_cell *cell, const all p[3], double scale, mtm_answer *answer)
{
    quad value = quad_form(cell->form, p);

    if ((cell->full & MTMI_STIFF) != 0)
        return false;
    if (!quad_within(value, 0)) {
        if (!quad_within(value, CLEAN))
            return false;
        value = quad_clamped(value);
    }
    quad_write(value, scale, cell, answer);
    return true;
}

/* The tile that holds share times p, where share is less than the ray's exit; makes it p. */
QUICK const struct mtmi_cell *enter(const mtm_solver *solver, const all q[3], all reach,
                                    double share, all p[3])
{
    all found = greatest(&solver->tiles, q, all_of(share) * reach);

    for (size_t i = 0; i < 3; i++)
        p[i] *= all_of(share);
    return &solver->cells[solver->facet_count + mtmi_plane_of(&solver->tiles, one_of(found))];
}

/* The output is the request's own, given apart so that it can be a constant. */
QUICK bool answer_output(const mtm_solver *solver, const mtm_request *request, mtm_output stated,
                         mtm_answer *answer)
{
    if (!sound(request, stated))
        return false;
    const struct mtmi_planes *rays = &solver->rays;
    const all x = all_of(request->xy.x), y = all_of(request->xy.y);
    const all q[3] = {x, y, all_of(1) - x - y};
    all found = farthest(rays, q), reach = all_of(1) / found;
    size_t row = mtmi_plane_of(rays, one_of(found));

    if (row >= rays->cells)
        return false;
    all p[3] = {reach * q[0], reach * q[1], reach * q[2]};
    double most = solver->unit * one_of(p[1]), output = most, share = 1;
    const struct mtmi_cell *cell = &solver->cells[row];
    unsigned shortfall = 0;
    if (stated.type == MTM_OUTPUT_SHARE) {
        share = stated.value;
        output = share * most;
    } else if (stated.type == MTM_OUTPUT_LM) {
        output = mtmi_wanted_output(stated, most, &shortfall);
        share = output / most;
    }
    if (!(output < most)) {
        shortfall |= row >= solver->facet_count ? MTM_SHORT_POWER : 0;
    } else if (request->goal == MTM_GOAL_WATTS) {
        cell = enter(solver, q, reach, share, p);
        share = 1;
    }
    if (!fill(cell, p, share, answer))
        return false;
    double light = share * solver->unit;
    answer->xyz = (mtm_xyz){light * one_of(p[0]), light * one_of(p[1]), light * one_of(p[2])};
    answer->xy = request->xy;
    answer->delta_uv = 0;
    answer->most = most;
    answer->shortfall = shortfall;
    return true;
}
