/* SPDX-License-Identifier: MIT */
/* The inside of a coder. */
#ifndef METAMER_SOLVE_CODER_H
#define METAMER_SOLVE_CODER_H

#include "solve/ladder.h"

#include <metamer/codes.h>

/** Light in the sums that u', v' and the output are made of, 4 X, 9 Y, X + 15 Y + 3 Z, and its
 *  watts. */
struct mtmi_sums {
    double u, v, all, watts;
};

struct mtm_coder {
    size_t count;
    struct mtmi_ladder emitter[MTM_EMITTERS_MAX];
    struct mtmi_sums light[MTM_EMITTERS_MAX]; /* at full level */
    double most_watts; /* the fixture's power limit, and a little for sums that round */
    bool has_dimmer;
    struct mtmi_ladder dimmer;
    struct mtmi_steps *steps[MTM_EMITTERS_MAX + 1]; /* owned; of the distinct 8-bit curves */
    size_t steps_count;
    const mtm_curve *steps_curve[MTM_EMITTERS_MAX + 1]; /* borrowed, only while it is made */
};

/**
 * Chooses for each emitter one of the two codes about its level, so that the light is nearest to
 * that of the levels; all 0 if that is none.
 * @param level count levels
 * @param gain  the dimmer's level: what the emitters' own levels are multiplied by
 * @param codes count codes, set
 * @return the cost: squared steps of u', v' and of output
 */
double mtmi_round(const struct mtm_coder *coder, const double *level, double gain, uint16_t *codes);

#endif
