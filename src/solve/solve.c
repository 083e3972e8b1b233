/* SPDX-License-Identifier: MIT */
/* Solve: the quick way where it answers, else the careful one; and a pixel by it. */
#include "solve/answer.h"
#include "solve/quick.h"

#include "base/error.h"

mtm_result mtmi_solve_carefully(const mtm_solver *solver, const mtm_request *request,
                                mtm_answer *answer, mtm_error *error)
{
    mtm_result result = mtmi_request_check(solver, request, error);

    if (result != MTM_OK)
        return result;
    return mtmi_answer_carefully(solver, request, answer, error);
}

mtm_result mtm_solver_solve(const mtm_solver *solver, const mtm_request *request,
                            mtm_answer *answer, mtm_error *error)
{
    if (solver == NULL || request == NULL || answer == NULL)
        return mtmi_fail(error, MTM_INVALID, "a solve needs a solver, a request and an answer");
    mtm_result result = solver->quick != NULL
                            ? solver->quick->solve(solver, request, answer, error)
                            : mtmi_solve_carefully(solver, request, answer, error);
    for (size_t k = 0; result == MTM_OK && solver->limited && k < solver->count; k++)
        answer->level[k] *= solver->most[k];
    return result;
}

static bool is_share(double value)
{
    return value >= 0 && value <= 1;
}

mtm_result mtm_solver_solve_rgb(const mtm_solver *solver, const mtm_rgb_space *space, mtm_rgb rgb,
                                mtm_answer *answer, mtm_error *error)
{
    mtm_answer most;

    if (solver == NULL || space == NULL || answer == NULL)
        return mtmi_fail(error, MTM_INVALID, "a solver, an RGB space and an answer are needed");
    if (!is_share(rgb.r) || !is_share(rgb.g) || !is_share(rgb.b))
        return mtmi_fail(error, MTM_INVALID, "R %g, G %g, B %g: each may be from 0 to 1", rgb.r,
                         rgb.g, rgb.b);
    mtm_request request = {.xy = space->white};
    mtm_result result = mtm_solver_solve(solver, &request, &most, error);
    if (result != MTM_OK)
        return result;
    mtm_xyz xyz = mtm_rgb_to_xyz(space, rgb);
    if (xyz.y > 0)
        request.xy = mtm_xy_from_xyz(xyz);
    request.output = (mtm_output){MTM_OUTPUT_LM, most.xyz.y * xyz.y};
    return mtm_solver_solve(solver, &request, answer, error);
}
