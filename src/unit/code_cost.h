/* SPDX-License-Identifier: MIT */
/* Cost of codes: how far the light of codes is from the light wanted, in steps of colour and of
 * output.
 *
 * Matches and fades round by this one measure. The cost is the sum of three squares: what u', v'
 * and the output are off, each in steps. Light is held in the sums that u', v' and the output are
 * made of, so that adding an emitter adds to all of them and only the cost divides. */
#ifndef METAMER_UNIT_CODE_COST_H
#define METAMER_UNIT_CODE_COST_H

#include "base/number.h"
#include "unit/table.h"

#include <metamer/colour.h>
#include <metamer/tolerance.h>

#include <math.h>

/** Light below this, relatively, is what is left of sums that cancel. */
#define MTMI_BLACK 1e-12

/** Light in the sums that u', v' and the output are made of, 4 X, 9 Y, X + 15 Y + 3 Z, and its
 *  watts. */
struct mtmi_sums {
    double u, v, all, watts;
};

static inline struct mtmi_sums mtmi_sums_of(mtm_xyz xyz, double watts)
{
    return (struct mtmi_sums){4 * xyz.x, 9 * xyz.y, xyz.x + 15 * xyz.y + 3 * xyz.z, watts};
}

/** a + scale b. */
static inline struct mtmi_sums mtmi_sums_plus(struct mtmi_sums a, double scale, struct mtmi_sums b)
{
    return (struct mtmi_sums){a.u + scale * b.u, a.v + scale * b.v, a.all + scale * b.all,
                              a.watts + scale * b.watts};
}

/** What the cost of a light is reckoned from. */
struct mtmi_cost_basis {
    double u, v;       /* wanted */
    double all;        /* wanted X + 15 Y + 3 Z */
    double per_output; /* 1 / the wanted 9 Y */
    double most_watts; /* INFINITY: no limit */
};

/** Reckoned from this light, whose output is above 0. */
static inline struct mtmi_cost_basis mtmi_cost_basis_of(struct mtmi_sums wanted, double most_watts)
{
    double per_both = 1 / (wanted.all * wanted.v), per_all = per_both * wanted.v;

    return (struct mtmi_cost_basis){wanted.u * per_all, wanted.v * per_all, wanted.all,
                                    per_both * wanted.all, most_watts};
}

/** What light is off, in steps. */
struct mtmi_off {
    double u, v, output;
};

static inline struct mtmi_off mtmi_off_by(const struct mtmi_cost_basis *basis,
                                          struct mtmi_sums light)
{
    double per_all = 1 / light.all;

    return (struct mtmi_off){(light.u * per_all - basis->u) * (1 / MTM_STEP_UV),
                             (light.v * per_all - basis->v) * (1 / MTM_STEP_UV),
                             (light.v * basis->per_output - 1) * (1 / MTM_STEP_OUTPUT)};
}

static inline double mtmi_off_squared(struct mtmi_off off)
{
    return off.u * off.u + off.v * off.v + off.output * off.output;
}

/** True for light that is none. */
static inline bool mtmi_is_black(const struct mtmi_cost_basis *basis, struct mtmi_sums light)
{
    return !(light.all > MTMI_BLACK * basis->all);
}

/** The cost of light that is none: it has no chromaticity, so only its output counts. */
#define MTMI_COST_BLACK (1 / (MTM_STEP_OUTPUT * MTM_STEP_OUTPUT))

/** Squared steps; infinite where the power limit is broken. */
static inline double mtmi_code_cost(const struct mtmi_cost_basis *basis, struct mtmi_sums light)
{
    if (light.watts > basis->most_watts)
        return INFINITY;
    return mtmi_is_black(basis, light) ? MTMI_COST_BLACK
                                       : mtmi_off_squared(mtmi_off_by(basis, light));
}

/** How near a level behind a dimmer, which multiplies it by gain, must be to a code's own to be
 * that: MTMI_SAME_LEVEL, but no more than 1e-6 of the emitter's own. */
static inline double mtmi_same_behind(double gain)
{
    if (gain == 1)
        return MTMI_SAME_LEVEL;
    return MTMI_SAME_LEVEL / gain < 1e-6 ? MTMI_SAME_LEVEL / gain : 1e-6;
}

#endif
