/* SPDX-License-Identifier: MIT */
/* The quick way on any processor, and the choice of the fastest. */
#include "solve/answer.h"
#include "solve/quick.h"

#include <math.h>

static double mark(double value, uint64_t mask, uint64_t row)
{
    uint64_t bits;

    memcpy(&bits, &value, sizeof bits);
    bits = (bits & ~mask) | row;
    memcpy(&value, &bits, sizeof bits);
    return value;
}

typedef double all;

static inline all all_of(double value)
{
    return value;
}

static inline double one_of(all value)
{
    return value;
}

static inline double search(const struct mtmi_planes *rows, const double q[3], bool with_h,
                            double scale)
{
    double best[4] = {-INFINITY, -INFINITY, -INFINITY, -INFINITY};

    for (size_t i = 0; i < rows->count; i += 4) {
        for (size_t j = 0; j < 4; j++) {
            size_t row = i + j;
            double value = rows->a[0][row] * q[0] + rows->a[1][row] * q[1] + rows->a[2][row] * q[2];
            double marked = mark(with_h ? scale * value - rows->h[row] : value, rows->mask, row);
            best[j] = marked > best[j] ? marked : best[j];
        }
    }
    double left = best[1] > best[0] ? best[1] : best[0];
    double right = best[3] > best[2] ? best[3] : best[2];
    return right > left ? right : left;
}

static inline all farthest(const struct mtmi_planes *rows, const all q[3])
{
    return search(rows, q, false, 1);
}

static inline all greatest(const struct mtmi_planes *rows, const all q[3], all scale)
{
    return search(rows, q, true, scale);
}

typedef struct quad {
    double of[4];
} quad;

static inline quad quad_form(const double form[4][4], const double p[3])
{
    quad value;

    for (size_t i = 0; i < 4; i++)
        value.of[i] = form[0][i] * p[0] + form[1][i] * p[1] + form[2][i] * p[2] - form[3][i];
    return value;
}

static inline bool quad_within(quad value, double slack)
{
    bool within = true;

    for (size_t i = 0; i < 3; i++)
        within = within & (value.of[i] >= -slack) & (value.of[i] <= 1 + slack);
    return within;
}

static inline quad quad_clamped(quad value)
{
    for (size_t i = 0; i < 3; i++)
        value.of[i] = mtmi_clamped(value.of[i]);
    return value;
}

static inline void quad_write(quad value, double scale, const struct mtmi_cell *cell,
                              mtm_answer *answer)
{
    mtmi_write_rests(cell->full, scale, answer->level);
    for (size_t i = 0; i < 3; i++)
        answer->level[cell->slot[i]] = scale * value.of[i];
    answer->watts = scale * value.of[3];
}

#define QUICK static inline
#include "solve/quick_tmpl.h"

static bool answer_portable(const mtm_solver *solver, const mtm_request *request,
                            mtm_answer *answer)
{
    return answer_output(solver, request, request->output, answer);
}

static mtm_result solve_portable(const mtm_solver *solver, const mtm_request *request,
                                 mtm_answer *answer, mtm_error *error)
{
    if (answer_portable(solver, request, answer))
        return MTM_OK;
    return mtmi_solve_carefully(solver, request, answer, error);
}

static bool runs_anywhere(void)
{
    return true;
}

const struct mtmi_quick mtmi_quick_portable = {"portable", answer_portable, solve_portable,
                                               runs_anywhere};

const struct mtmi_quick *mtmi_quick_best(void)
{
    if (mtmi_quick_avx2.answer != NULL && mtmi_quick_avx2.runs())
        return &mtmi_quick_avx2;
    return &mtmi_quick_portable;
}
