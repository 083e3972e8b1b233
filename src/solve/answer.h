/* SPDX-License-Identifier: MIT */
/* The steps from a request to an answer. */
#ifndef METAMER_SOLVE_ANSWER_H
#define METAMER_SOLVE_ANSWER_H

#include "base/number.h"
#include "solve/solver.h"

/** Says what is wrong with a stated output. */
MTM_CHECKED mtm_result mtmi_output_check(mtm_output output, mtm_error *error);
/** Says what is wrong with a request. */
MTM_CHECKED mtm_result mtmi_request_check(const mtm_solver *solver, const mtm_request *request,
                                          mtm_error *error);
/** The same for what only matters where the target cannot be reached. */
MTM_CHECKED mtm_result mtmi_request_check_beyond(const mtm_request *request, mtm_error *error);

/** The answer to any request that has been checked. */
MTM_CHECKED mtm_result mtmi_answer_carefully(const mtm_solver *solver, const mtm_request *request,
                                             mtm_answer *answer, mtm_error *error);

/** Both: checks a request and answers it. */
MTM_CHECKED mtm_result mtmi_solve_carefully(const mtm_solver *solver, const mtm_request *request,
                                            mtm_answer *answer, mtm_error *error);

static inline double mtmi_clamped(double level)
{
    double at_least_0 = level > 0 ? level : 0;

    return at_least_0 < 1 ? at_least_0 : 1;
}

/** The output asked, bounded by the most. */
static inline double mtmi_wanted_output(mtm_output output, double most, unsigned *shortfall)
{
    if (output.type == MTM_OUTPUT_MAX)
        return most;
    double wanted = output.type == MTM_OUTPUT_SHARE ? output.value * most : output.value;
    if (wanted <= most)
        return wanted;
    if (mtmi_exceeds(wanted, most))
        *shortfall |= MTM_SHORT_OUTPUT;
    return most;
}

/** Scales an answer at its mix's most to an output: the same mix, less of it. */
static inline void mtmi_answer_scale(mtm_output output, mtm_answer *answer)
{
    double wanted = mtmi_wanted_output(output, answer->most, &answer->shortfall);
    double share = answer->most > 0 ? wanted / answer->most : 0;

    if (!(share < 1))
        return;
    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        answer->level[k] *= share;
    answer->xyz = (mtm_xyz){share * answer->xyz.x, share * answer->xyz.y, share * answer->xyz.z};
    answer->watts *= share;
    answer->shortfall &= (unsigned)~MTM_SHORT_POWER;
}

/** Writes what the emitters of a cell rest at, times scale; all places. */
static inline void mtmi_write_rests(uint32_t full, double scale, double out[MTM_EMITTERS_MAX])
{
    static const double rests[16][4] = {
        {0, 0, 0, 0}, {1, 0, 0, 0}, {0, 1, 0, 0}, {1, 1, 0, 0}, {0, 0, 1, 0}, {1, 0, 1, 0},
        {0, 1, 1, 0}, {1, 1, 1, 0}, {0, 0, 0, 1}, {1, 0, 0, 1}, {0, 1, 0, 1}, {1, 1, 0, 1},
        {0, 0, 1, 1}, {1, 0, 1, 1}, {0, 1, 1, 1}, {1, 1, 1, 1},
    };

    for (size_t group = 0; group < MTM_EMITTERS_MAX / 4; group++) {
        const double *rest = rests[full >> 4 * group & 15];
        double a = scale * rest[0], b = scale * rest[1], c = scale * rest[2], d = scale * rest[3];
        out[4 * group] = a; /* all read before any is written, so that four move at a time */
        out[4 * group + 1] = b;
        out[4 * group + 2] = c;
        out[4 * group + 3] = d;
    }
}

#endif
