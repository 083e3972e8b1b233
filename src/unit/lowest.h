/* SPDX-License-Identifier: MIT */
/* Lowest levels: of levels that no emitter may have, the nearest that all may.
 *
 * Some emitters light unevenly below a share of their light. Each is then dark or at least there,
 * so what a unit may give is not convex: it is a box for each set of emitters that are lit. Each
 * such set is one small program; sets are tried one after another, of five emitters all 31, of more
 * only those that differ in five: those that are too low, then the lit ones nearest to that, then
 * dark ones. */
#ifndef METAMER_UNIT_LOWEST_H
#define METAMER_UNIT_LOWEST_H

#include "unit/code_cost.h"

#include <metamer/fixture.h>

/** A unit's emitters. A plain value. */
struct mtmi_lowest {
    size_t count;
    double least[MTM_EMITTERS_MAX];           /* level of a lit one, at least */
    double most[MTM_EMITTERS_MAX];            /* and at most; below least: it stays dark */
    struct mtmi_sums light[MTM_EMITTERS_MAX]; /* at full level */
    double most_watts;                        /* INFINITY: no limit */
};

/** Which of the levels that give what is wanted. */
enum mtmi_lowest_goal {
    MTMI_LOWEST_NEAREST, /* nearest to those given, by the sum of squares */
    MTMI_LOWEST_LIGHT,   /* most light: the output is not what is wanted, but the colour */
    MTMI_LOWEST_WATTS    /* fewest watts */
};

/** True if an emitter is lit below its least level, or one that must stay dark is lit. */
bool mtmi_lowest_breaks(const struct mtmi_lowest *lowest, const double *level);

/**
 * Moves levels to those that all emitters may have. Where some give the same light (with
 * MTMI_LOWEST_LIGHT, the same colour), those of the goal; else those whose light costs least
 * (code_cost.h), which may be none.
 * @param level count levels, whose light is wanted
 * @return the cost, in squared steps; with MTMI_LOWEST_LIGHT 0 where the colour is kept
 */
double mtmi_lowest_hold(const struct mtmi_lowest *lowest, enum mtmi_lowest_goal goal,
                        double *level);

#endif
