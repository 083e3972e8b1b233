/* SPDX-License-Identifier: MIT */
/* Eye: light in coordinates where distances are about CIEDE2000. */
#ifndef METAMER_FADE_EYE_H
#define METAMER_FADE_EYE_H

/** X, Y and Z to coordinates. A plain value. */
typedef struct mtmi_eye {
    double row[3][3]; /* what is below the diagonal is 0 */
} mtmi_eye;

/** The eye near a light: X, Y, Z beside a white of Y = 1. True to small differences from it. */
mtmi_eye mtmi_eye_at(const double *xyz);

/** Light to coordinates; the distance of two is Euclid's. */
static inline void mtmi_eye_see(const mtmi_eye *eye, const double *xyz, double *seen)
{
    seen[0] = eye->row[0][0] * xyz[0] + eye->row[0][1] * xyz[1] + eye->row[0][2] * xyz[2];
    seen[1] = eye->row[1][1] * xyz[1] + eye->row[1][2] * xyz[2];
    seen[2] = eye->row[2][2] * xyz[2];
}

#endif
