/* SPDX-License-Identifier: MIT */
/* Piecewise cubics through points: the one that stays monotone, and the spline. */
#ifndef METAMER_NUMERIC_CUBIC_H
#define METAMER_NUMERIC_CUBIC_H

#include <stddef.h>

/** Hermite's cubic on an interval of length h, at the share t of it, from the values and slopes of
 *  both ends. */
static inline double mtmi_hermite(double h, double y0, double y1, double slope0, double slope1,
                                  double t)
{
    double u = 1 - t;

    return (1 + 2 * t) * u * u * y0 + t * t * (3 - 2 * t) * y1 +
           h * t * u * (u * slope0 - t * slope1);
}

/**
 * Slopes of the monotone piecewise cubic through (x, y): Fritsch and Butland's weighted harmonic
 * mean inside, a one-sided three-point slope, limited, at the ends (Fritsch and Carlson, SIAM J.
 * Numer. Anal. 17, 1980; Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5, 1984).
 *
 * @param x     count (>= 2) abscissae, strictly rising
 * @param slope count places
 */
void mtmi_monotone_slopes(const double *x, const double *y, size_t count, double *slope);

/** The cubic's value; outside the points, the value of the nearer end. */
double mtmi_monotone_value(const double *x, const double *y, const double *slope, size_t count,
                           double at);

/**
 * Slopes of the cubic spline through (x, y), continuous to its second derivative. At both ends it
 * leaves like the parabola through three points (C. de Boor, A Practical Guide to Splines, 1978,
 * chapter IV).
 *
 * @param x       count (>= 3) abscissae, strictly rising
 * @param slope   count places
 * @param scratch count places
 */
void mtmi_spline_slopes(const double *x, const double *y, size_t count, double *slope,
                        double *scratch);

#endif
