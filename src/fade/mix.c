/* SPDX-License-Identifier: MIT */
/* Mix: the nearest levels. Newton's method on the multipliers of X, Y and Z finds them nearly
 * always; where it does not, the dual method for quadratic programs does. */
#include "fade/mix.h"

#include "numeric/dual_qp.h"

#include <math.h>
#include <string.h>

#define EQUALITIES 3 /* X, Y, Z */
#define MET 1e-13    /* X, Y and Z are met within this */
#define QUICK_ROUNDS 8
#define DEPENDENT 1e-9 /* what is left of a pivot where rows depend on each other */

_Static_assert(MTMI_DUAL_QP_VARIABLES_MAX >= MTM_EMITTERS_MAX, "a level a variable");
_Static_assert(MTMI_DUAL_QP_CONSTRAINTS_MAX >= EQUALITIES + 1 + 2 * MTM_EMITTERS_MAX,
               "X, Y, Z, power, and both ends of each level");

bool mtmi_mix_basis_from(const struct mtmi_emitters *from, mtmi_mix_basis *emitters)
{
    mtmi_mix_basis made = {.count = from->count, .limited = isfinite(from->power_limit_w)};

    for (size_t i = 0; i < made.count; i++)
        made.full_y += from->xyz[i].y;
    if (!(made.full_y > 0))
        return false;
    for (size_t i = 0; i < made.count; i++) {
        made.xyz[0][i] = from->xyz[i].x / made.full_y;
        made.xyz[1][i] = from->xyz[i].y / made.full_y;
        made.xyz[2][i] = from->xyz[i].z / made.full_y;
        made.most[i] = from->most[i];
        made.watts[i] = made.limited ? from->watts[i] / from->power_limit_w : 0;
    }
    *emitters = made;
    return true;
}

mtm_xyz mtmi_mix_xyz(const mtmi_mix_basis *emitters, const double *level)
{
    double sum[3] = {0};

    for (size_t k = 0; k < 3; k++)
        for (size_t i = 0; i < emitters->count; i++)
            sum[k] += level[i] * emitters->xyz[k][i];
    return (mtm_xyz){sum[0] * emitters->full_y, sum[1] * emitters->full_y,
                     sum[2] * emitters->full_y};
}

static void set_up(struct mtmi_dual_qp *qp, const mtmi_mix_basis *emitters, mtm_xyz wanted)
{
    qp->variables = emitters->count;
    qp->equalities = EQUALITIES;
    qp->count = 0;
    mtmi_dual_qp_add(qp, emitters->xyz[0], 1, wanted.x / emitters->full_y);
    mtmi_dual_qp_add(qp, emitters->xyz[1], 1, wanted.y / emitters->full_y);
    mtmi_dual_qp_add(qp, emitters->xyz[2], 1, wanted.z / emitters->full_y);
    if (emitters->limited)
        mtmi_dual_qp_add(qp, emitters->watts, -1, -1);
    for (size_t i = 0; i < emitters->count; i++) {
        double unit[MTM_EMITTERS_MAX] = {0};

        unit[i] = 1;
        mtmi_dual_qp_add(qp, unit, 1, 0);
        mtmi_dual_qp_add(qp, unit, -1, -emitters->most[i]);
    }
}

static bool mix_exactly(const mtmi_mix_basis *emitters, const double *base, mtm_xyz wanted,
                        double *level)
{
    struct mtmi_dual_qp qp;

    set_up(&qp, emitters, wanted);
    memcpy(level, base, emitters->count * sizeof *level);
    bool possible = mtmi_dual_qp_nearest(&qp, level);
    for (size_t i = 0; i < emitters->count; i++) {
        double v = level[i];

        level[i] = v > 0 ? fmin(v, emitters->most[i]) : 0;
    }
    return possible;
}

/* Levels for the multipliers of X, Y, Z, and what is missing then. */
static void try_multipliers(const mtmi_mix_basis *emitters, const double *base,
                            const double *multiplier, double *level, double *missing)
{
    for (size_t i = 0; i < emitters->count; i++) {
        double v = base[i] + multiplier[0] * emitters->xyz[0][i] +
                   multiplier[1] * emitters->xyz[1][i] + multiplier[2] * emitters->xyz[2][i];

        level[i] = v > 0 ? fmin(v, emitters->most[i]) : 0;
        for (size_t k = 0; k < 3; k++)
            missing[k] -= level[i] * emitters->xyz[k][i];
    }
}

/* Solves the normal equations of the emitters that are free to move; false if they are too few. */
static bool solve_free(const mtmi_mix_basis *emitters, const double *level, const double *missing,
                       double *step)
{
    double m[3][3] = {{0}};

    for (size_t i = 0; i < emitters->count; i++) {
        if (!(level[i] > 0 && level[i] < emitters->most[i]))
            continue;
        for (size_t k = 0; k < 3; k++)
            for (size_t j = 0; j <= k; j++)
                m[k][j] += emitters->xyz[k][i] * emitters->xyz[j][i];
    }
    double l10 = m[1][0] / m[0][0];
    double l20 = m[2][0] / m[0][0];
    double d1 = m[1][1] - l10 * m[1][0];
    double l21 = (m[2][1] - l20 * m[1][0]) / d1;
    double d2 = m[2][2] - l20 * m[2][0] - l21 * l21 * d1;
    if (!(m[0][0] > 0 && d1 > DEPENDENT * m[1][1] && d2 > DEPENDENT * m[2][2]))
        return false;
    double y1 = missing[1] - l10 * missing[0];
    step[2] = (missing[2] - l20 * missing[0] - l21 * y1) / d2;
    step[1] = y1 / d1 - l21 * step[2];
    step[0] = missing[0] / m[0][0] - l10 * step[1] - l20 * step[2];
    return true;
}

/* The common case, fast: Newton's method on the multipliers of X, Y and Z. Where it comes to rest
 * the levels are nearest; where it does not, or with too much power, the exact way is gone. */
static bool mix_quickly(const mtmi_mix_basis *emitters, const double *base, mtm_xyz wanted,
                        double *level)
{
    const double scale = 1 / emitters->full_y;
    double multiplier[3] = {0};
    double step[3] = {0};
    double power = 0;
    bool done = false;

    for (int round = 0; round < QUICK_ROUNDS && !done; round++) {
        double missing[3] = {wanted.x * scale, wanted.y * scale, wanted.z * scale};

        try_multipliers(emitters, base, multiplier, level, missing);
        done = fabs(missing[0]) + fabs(missing[1]) + fabs(missing[2]) <= MET;
        if (!done && !solve_free(emitters, level, missing, step))
            return false;
        for (size_t k = 0; k < 3; k++)
            multiplier[k] += step[k];
    }
    for (size_t i = 0; i < emitters->count; i++)
        power += level[i] * emitters->watts[i];
    return done && power <= 1;
}

bool mtmi_mix_nearest(const mtmi_mix_basis *emitters, const double *base, mtm_xyz wanted,
                      double *level)
{
    if (mix_quickly(emitters, base, wanted, level))
        return true;
    return mix_exactly(emitters, base, wanted, level);
}
