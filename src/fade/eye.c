/* SPDX-License-Identifier: MIT */
/* Eye. For small differences the square of CIEDE2000 is a quadratic form of them: some values of it
 * give its coefficients, and its root (Cholesky's) the coordinates. */
#include "fade/eye.h"

#include <metamer/lab.h>

#include <math.h>

/* The differences that are tried, as a part of the light. */
#define PART 0.01
/* A value that is far below the others, or none, is taken for this part of them. */
#define PART_MIN 0.01

static mtm_lab lab_of(const double *xyz)
{
    return mtm_lab_from_xyz((mtm_xyz){xyz[0], xyz[1], xyz[2]},
                            (mtm_xyz){0.95047, 1, 1.08883}); /* D65, CIE 015:2018, table 9.2 */
}

/* The form's coefficients, below and on the diagonal. */
static void find_form(const double *xyz, double form[3][3])
{
    const mtm_lab base = lab_of(xyz);
    double by[3];

    for (size_t i = 0; i < 3; i++) {
        by[i] = PART * fmax(xyz[i], PART_MIN * (xyz[0] + xyz[1] + xyz[2]));
        for (size_t k = 0; k <= i; k++) {
            double moved[3] = {xyz[0], xyz[1], xyz[2]};

            moved[i] += by[i];
            moved[k] += i != k ? by[k] : 0;
            double difference = mtm_lab_ciede2000(base, lab_of(moved));
            form[i][k] = difference * difference;
        }
    }
    for (size_t i = 0; i < 3; i++)
        for (size_t k = 0; k < i; k++)
            form[i][k] = (form[i][k] - form[i][i] - form[k][k]) / (2 * by[i] * by[k]);
    for (size_t i = 0; i < 3; i++)
        form[i][i] /= by[i] * by[i];
}

mtmi_eye mtmi_eye_at(const double *xyz)
{
    mtmi_eye eye = {{{0}}};
    double form[3][3];

    if (!(xyz[0] + xyz[1] + xyz[2] > 0))
        return eye;
    find_form(xyz, form);
    for (size_t k = 0; k < 3; k++) {
        for (size_t i = k; i < 3; i++) {
            double rest = form[i][k];

            for (size_t j = 0; j < k; j++)
                rest -= eye.row[j][k] * eye.row[j][i];
            /* what is not quite a form may leave nothing */
            eye.row[k][i] = i == k ? sqrt(fmax(rest, 1e-3 * form[k][k])) : rest / eye.row[k][k];
        }
    }
    return eye;
}
