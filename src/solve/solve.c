/* SPDX-License-Identifier: MIT */
/* Solve: the quick way where it answers, else the careful one. */
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
    if (solver->quick != NULL)
        return solver->quick->solve(solver, request, answer, error);
    return mtmi_solve_carefully(solver, request, answer, error);
}
