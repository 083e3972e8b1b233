/* SPDX-License-Identifier: MIT */
/* The mixture nearest to a spectrum: one convex quadratic program. */
#include "solve/feasible_set.h"

#include "base/error.h"
#include "solve/answer.h"

#include <math.h>
#include <string.h>

/* |sum x S / unit - scale R|^2 relative to |scale R|^2, less 1, as a program in x. */
static void pose(const struct mtmi_feasible_set *feasible, const mtm_spectrum *reference,
                 double scale, struct mtmi_qp *qp)
{
    const mtm_spectral *spectral = feasible->spectral;
    double square = scale * scale * mtmi_spectrum_product(reference, reference);

    *qp = feasible->set;
    for (size_t k = 0; k < spectral->emitters.count; k++) {
        qp->c[k] = -2 * scale * mtmi_spectrum_product(reference, &spectral->spectrum[k]) /
                   feasible->unit[k] / square;
        for (size_t j = 0; j < spectral->emitters.count; j++)
            qp->h[k][j] =
                2 * spectral->gram[k][j] / (feasible->unit[k] * feasible->unit[j]) / square;
    }
}

static double objective(const struct mtmi_qp *qp, const double *x)
{
    double sum = 1;

    for (size_t i = 0; i < qp->count; i++) {
        sum += qp->c[i] * x[i];
        for (size_t j = 0; j < qp->count; j++)
            sum += 0.5 * qp->h[i][j] * x[i] * x[j];
    }
    return sum;
}

mtm_result mtm_spectral_nearest(const mtm_spectral *spectral, const mtm_request *request,
                                const mtm_spectrum *reference, mtm_best *best, mtm_error *error)
{
    struct mtmi_feasible_set feasible;
    struct mtmi_qp qp;
    mtm_spectrum usual;
    double x[MTMI_QP_VARIABLES], gap = 0;

    if (spectral == NULL || request == NULL || best == NULL)
        return mtmi_fail(error, MTM_INVALID, "nearest needs a fixture, a request and a place");
    mtm_request open = *request;
    open.output = (mtm_output){MTM_OUTPUT_MAX, 0};
    mtm_result result = mtmi_output_check(request->output, error);
    if (result == MTM_OK)
        result = mtmi_feasible_set_prepare(spectral, &open, spectral->emitters.power_limit_w,
                                           &feasible, error);
    if (result == MTM_OK && reference == NULL) {
        result = mtmi_feasible_set_reference(&feasible, &usual, error);
        reference = &usual;
    }
    if (result != MTM_OK)
        return result;
    double output = mtm_xyz_from_spectrum(reference, MTM_OBSERVER_2).y;
    if (!(output > 0 && isfinite(output)))
        return mtmi_fail(error, MTM_INVALID, "the reference spectrum gives no light");
    pose(&feasible, reference, feasible.xyz.y / output, &qp);
    memcpy(x, feasible.start, sizeof x);
    mtmi_qp_solve(&qp, x, &gap);
    double value = objective(&qp, x);
    mtmi_feasible_set_answer(&feasible, x, &best->answer);
    mtmi_answer_scale(request->output, &best->answer);
    best->value = sqrt(fmax(value, 0));
    best->bound = sqrt(fmax(value - gap, 0));
    best->tried = 1;
    return MTM_OK;
}
