/* SPDX-License-Identifier: MIT */
/* Feasible set: all mixtures of one chromaticity and output, and the ways to evaluate them. */
#ifndef METAMER_SOLVE_FEASIBLE_SET_H
#define METAMER_SOLVE_FEASIBLE_SET_H

#include "numeric/qp.h"
#include "quality/kernel.h"
#include "unit/emitters.h"

#include <metamer/spectral.h>

struct mtm_spectral {
    mtm_solver *solver;
    struct mtmi_emitters emitters; /* its spectra are those here */
    const mtmi_quality_kernel *kernel;
    mtmi_quality_light *light;                       /* of each emitter at full level */
    mtm_spectrum *spectrum;                          /* the same */
    double gram[MTM_EMITTERS_MAX][MTM_EMITTERS_MAX]; /* products of the spectra, summed */
};

/** The feasible set in the variables of a quadratic program: x = level times unit, in which every
 *  emitter's full share of the light is about 1. */
struct mtmi_feasible_set {
    const mtm_spectral *spectral;
    struct mtmi_qp set; /* rows and upper bounds; h and c are 0 */
    double unit[MTM_EMITTERS_MAX];
    double start[MTMI_QP_VARIABLES]; /* a feasible x */
    mtm_xyz xyz;                     /* what every mixture gives */
    mtm_answer answer;               /* the linear answer it was made from */
    bool open;                       /* no output is stated: the mixture is scaled at the end */
};

/** limit_w: on the watts; no less than the fewest at the output. A stated output is above 0. */
MTM_CHECKED mtm_result mtmi_feasible_set_prepare(const mtm_spectral *spectral,
                                                 const mtm_request *request, double limit_w,
                                                 struct mtmi_feasible_set *feasible,
                                                 mtm_error *error);
/** The answer of a mixture, as bright as it goes where no output is stated. */
void mtmi_feasible_set_answer(const struct mtmi_feasible_set *feasible, const double *x,
                              mtm_answer *answer);
/** The white of the chromaticity aimed at; MTM_RANGE where it has no colour temperature. */
MTM_CHECKED mtm_result mtmi_feasible_set_white(const struct mtmi_feasible_set *feasible,
                                               mtm_white *white, mtm_error *error);
/** The default reference of the set's temperature: Planckian below 4000 K, else daylight. */
MTM_CHECKED mtm_result mtmi_feasible_set_reference(const struct mtmi_feasible_set *feasible,
                                                   mtm_spectrum *spectrum, mtm_error *error);

/** mtm_spectral_rendering under a limit of its own; of all mixtures of a stated output, which is
 *  above 0, the best. */
MTM_CHECKED mtm_result mtmi_rendering(const mtm_spectral *spectral, const mtm_request *request,
                                      double limit_w, mtm_index index,
                                      const mtm_spectrum *reference, mtm_best *best,
                                      mtm_error *error);

/** The sum of the products of two spectra at each wavelength. */
double mtmi_spectrum_product(const mtm_spectrum *a, const mtm_spectrum *b);

#endif
