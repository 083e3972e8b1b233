/* SPDX-License-Identifier: MIT */
/* One unit's levels where its emitters depend on them: a fixed point around the linear solver. */
#ifndef METAMER_TRIM_UNIT_H
#define METAMER_TRIM_UNIT_H

#include <metamer/calibration.h>
#include <metamer/solve.h>

/** What a unit may be sent: that of its fixture and its limits. */
struct mtmi_trim_bounds {
    double power_limit_w;          /* less what headroom keeps; INFINITY without one */
    double most[MTM_EMITTERS_MAX]; /* level of each emitter; 0: it stays dark */
};

struct mtmi_trim_bounds mtmi_trim_bounds_of(const mtm_fixture *fixture);

/** Where the iteration came to rest. */
typedef struct mtmi_settled {
    double level[MTM_EMITTERS_MAX];
    mtm_xyz xyz; /* by the unit's model */
    int rounds;
    bool settled;
    unsigned shortfall;
} mtmi_settled;

/** The power limit of a unit: that of its bounds, or the load that readings show it to hold. */
double mtmi_trim_limit(const mtm_unit_model *model, const struct mtmi_trim_bounds *bounds);

/** Solves one unit, with the mix that gives most light, for a chromaticity and an output
 * (MTM_OUTPUT_MAX or _LM). */
MTM_CHECKED mtm_result mtmi_trim_solve(const mtm_unit_model *model,
                                       const struct mtmi_trim_bounds *bounds, mtm_xy xy,
                                       mtm_output output, mtmi_settled *settled, mtm_error *error);

/** The most light within a distance in u', v' of a chromaticity. */
MTM_CHECKED mtm_result mtmi_trim_most_within(const mtm_unit_model *model,
                                             const struct mtmi_trim_bounds *bounds, mtm_xy xy,
                                             double distance_uv, double *most, mtm_error *error);

#endif
