/* SPDX-License-Identifier: MIT */
/* The quick way on any processor, and the choice of the fastest. */
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

static inline double search(const struct mtmi_rows *rows, const double q[3], bool with_h,
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

#define QUICK static inline
#define FARTHEST(rows, q) search(rows, q, false, 1)
#define GREATEST(rows, q, scale) search(rows, q, true, scale)
#include "solve/quick_body.h"

static bool answer_portable(const mtm_solver *solver, const mtm_request *request,
                            mtm_answer *answer)
{
    return answer_quickly(solver, request, answer);
}

static bool runs_anywhere(void)
{
    return true;
}

const struct mtmi_quick mtmi_quick_portable = {"portable", answer_portable, runs_anywhere};

const struct mtmi_quick *mtmi_quick_best(void)
{
    if (mtmi_quick_avx2.answer != NULL && mtmi_quick_avx2.runs())
        return &mtmi_quick_avx2;
    return &mtmi_quick_portable;
}
