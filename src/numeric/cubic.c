/* SPDX-License-Identifier: MIT */
/* Piecewise cubics through points. */
#include "numeric/cubic.h"

#include <math.h>

/* Three-point slope at an end, limited so that the cubic stays monotone (SIAM 1980, section 4). */
static double end_slope(double h0, double h1, double d0, double d1)
{
    double slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);

    if (slope * d0 <= 0)
        return 0;
    if (d0 * d1 <= 0 && fabs(slope) > 3 * fabs(d0))
        return 3 * d0;
    return slope;
}

void mtmi_monotone_slopes(const double *x, const double *y, size_t count, double *slope)
{
    if (count == 2) {
        slope[0] = slope[1] = (y[1] - y[0]) / (x[1] - x[0]);
        return;
    }
    for (size_t i = 1; i + 1 < count; i++) {
        double h0 = x[i] - x[i - 1];
        double h1 = x[i + 1] - x[i];
        double d0 = (y[i] - y[i - 1]) / h0;
        double d1 = (y[i + 1] - y[i]) / h1;
        double w0 = 2 * h1 + h0;
        double w1 = h1 + 2 * h0;
        slope[i] = d0 * d1 > 0 ? (w0 + w1) / (w0 / d0 + w1 / d1) : 0;
        if (i == 1)
            slope[0] = end_slope(h0, h1, d0, d1);
        if (i + 2 == count)
            slope[count - 1] = end_slope(h1, h0, d1, d0);
    }
}

double mtmi_monotone_value(const double *x, const double *y, const double *slope, size_t count,
                           double at)
{
    size_t i = 0;

    if (!(at > x[0]))
        return y[0];
    if (at >= x[count - 1])
        return y[count - 1];
    while (at >= x[i + 1])
        i++;
    return mtmi_hermite(x[i + 1] - x[i], y[i], y[i + 1], slope[i], slope[i + 1],
                        (at - x[i]) / (x[i + 1] - x[i]));
}

static double secant(const double *x, const double *y, size_t i)
{
    return (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
}

/* Slope at an end of the parabola through three points: of the intervals near and far from it. */
static double parabola_slope(const double *x, const double *y, size_t near, size_t far)
{
    double h = x[near + 1] - x[near];
    double both = h + x[far + 1] - x[far];

    return secant(x, y, near) + h * (secant(x, y, near) - secant(x, y, far)) / both;
}

void mtmi_spline_slopes(const double *x, const double *y, size_t count, double *slope,
                        double *scratch)
{
    size_t last = count - 1;

    slope[0] = parabola_slope(x, y, 0, 1);
    slope[last] = parabola_slope(x, y, last - 1, last - 2);
    scratch[0] = 0;
    for (size_t i = 1; i < last; i++) { /* elimination in a matrix of three diagonals */
        double left = 1 / (x[i] - x[i - 1]);
        double right = 1 / (x[i + 1] - x[i]);
        double pivot = 2 * (left + right) - left * scratch[i - 1];
        double secants = left * secant(x, y, i - 1) + right * secant(x, y, i);

        scratch[i] = right / pivot;
        slope[i] = (3 * secants - left * slope[i - 1]) / pivot;
    }
    for (size_t i = last; i-- > 1;)
        slope[i] -= scratch[i] * slope[i + 1];
}
