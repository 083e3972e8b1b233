/* SPDX-License-Identifier: MIT */
/* The rule, made quick: a sound request, a target inside the gamut, one cell that answers. All else
 * is left to the careful way, which gives the same answers. */
#ifndef METAMER_SOLVE_QUICK_H
#define METAMER_SOLVE_QUICK_H

#include "solve/solver.h"

/** A way to answer, for one kind of processor. */
struct mtmi_quick {
    const char *name;
    /** False, and nothing is written, where the careful way is needed. The zonotope is not flat. */
    bool (*answer)(const mtm_solver *solver, const mtm_request *request, mtm_answer *answer);
    /** Answers; calls mtmi_solve_carefully, as its last act, where that is needed. */
    mtm_result (*solve)(const mtm_solver *solver, const mtm_request *request, mtm_answer *answer,
                        mtm_error *error);
    bool (*runs)(void); /* on this processor */
};

extern const struct mtmi_quick mtmi_quick_avx2; /* answer is NULL where it is not built */
extern const struct mtmi_quick mtmi_quick_portable;
/** The fastest that runs here; static storage. */
const struct mtmi_quick *mtmi_quick_best(void);

#endif
