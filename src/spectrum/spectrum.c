/* SPDX-License-Identifier: MIT */
/* Spectrum: samples at any spacing to the 1 nm grid.
 *
 * Even samples 2 nm apart or more take Sprague's fifth-degree polynomial (CIE 167:2005). All others
 * take a cubic spline, held back by Hyman's limit, so that the foot of a line does not dip below
 * zero and a gap gains no power. Samples closer than the grid are shared out: each point takes the
 * integral of the curve with a tent about it, so that a line narrower than the grid keeps its power
 * and its XYZ.
 *
 * Sprague applies to all samples or none; the other two are chosen interval by interval. The cost
 * is the integral, three points of Gauss for each side of a tent and each interval under it.
 * Sprague may overshoot and is not limited, as CIE 167 has it.
 *
 * MUCH_WIDER, COARSE_NM and the limits decide every XYZ that is computed from a file: before one of
 * them moves, look at tests/spectrum and at the printed values in tests/colour and tests/quality.
 */
#include <metamer/spectrum.h>

#include "base/error.h"
#include "numeric/cubic.h"

#include <math.h>
#include <stdlib.h>

#define SAMPLES_MAX 100000
#define SPRAGUE_MIN 6  /* points that the end formulas need */
#define MUCH_WIDER 3.5 /* times its neighbour: a gap, not jitter */
#define COARSE_NM 2.0  /* from here on a straight line between samples is too plain */
#define WHOLE_NM_SLACK 1e-6
#define EVEN_SLACK 0.002 /* of a step: wavelengths rounded to two decimals are still even */

struct samples {
    const double *x; /* nm */
    const double *y;
    size_t count;
    mtm_ends ends;            /* what stands outside them */
    const double *derivative; /* at each sample, where a cubic is wanted */
};

/* CIE 167:2005: the two points before the first sample and (mirrored) behind the last, from the
 * six samples there, in units of 1/209. */
static double sprague_beyond(const double *near, ptrdiff_t direction, size_t how_far)
{
    static const double weight[2][SPRAGUE_MIN] = {
        {508, -540, 488, -367, 144, -24},
        {884, -1960, 3033, -2648, 1080, -180},
    };
    double sum = 0;

    for (size_t i = 0; i < SPRAGUE_MIN; i++)
        sum += weight[how_far - 1][i] * near[direction * (ptrdiff_t)i];
    return sum / 209;
}

static double sprague_sample(const struct samples *s, ptrdiff_t index)
{
    ptrdiff_t last = (ptrdiff_t)s->count - 1;

    if (index < 0)
        return sprague_beyond(s->y, 1, (size_t)-index);
    if (index > last)
        return sprague_beyond(s->y + last, -1, (size_t)(index - last));
    return s->y[index];
}

/* The samples around an interval: two before it, its ends, two behind. */
static const double *sprague_window(const struct samples *s, size_t index, double made[6])
{
    if (index >= 2 && index + 3 < s->count)
        return s->y + index - 2;
    for (size_t i = 0; i < 6; i++)
        made[i] = sprague_sample(s, (ptrdiff_t)index + (ptrdiff_t)i - 2);
    return made;
}

/* Sprague's fifth-degree polynomial in the interval that begins at index: its coefficients, the
 * constant first. CIE 167:2005. */
static void sprague(const struct samples *s, size_t index, double coefficient[6])
{
    static const double weight[6][6] = {
        /* a row a sample, a column a power; in units of 1/24 */
        {0, 2, -1, -9, 13, -5},    {0, -16, 16, 39, -64, 25}, {24, 0, -30, -70, 126, -50},
        {0, 16, 16, 66, -124, 50}, {0, -2, -1, -33, 61, -25}, {0, 0, 0, 7, -12, 5},
    };
    double made[6];
    double sum[6] = {0};
    const double *y = sprague_window(s, index, made);

    for (size_t i = 0; i < 6; i++) {
        for (size_t power = 0; power < 6; power++)
            sum[power] += weight[i][power] * y[i];
    }
    for (size_t power = 0; power < 6; power++)
        coefficient[power] = sum[power] / 24;
}

static double polynomial(const double coefficient[6], double t)
{
    double sum = 0;

    for (size_t power = 6; power-- > 0;)
        sum = sum * t + coefficient[power];
    return sum;
}

static double slope(const struct samples *s, size_t interval)
{
    return (s->y[interval + 1] - s->y[interval]) / (s->x[interval + 1] - s->x[interval]);
}

static double clamp(double value, double most)
{
    return fmax(-most, fmin(most, value));
}

/* Holds the spline back. Where the samples rise or fall on both sides, and beside a much wider
 * interval, a derivative keeps to three times the lesser slope (J. M. Hyman, SIAM J. Sci. Stat.
 * Comput. 4, 1983): light does not dip below zero at the foot of a line, and a gap beside it gains
 * no power. At a peak it may carry the curve, over the wider interval, twice the larger step beside
 * it: smooth data never do. */
static void limit_derivatives(const struct samples *s, double *d)
{
    size_t last = s->count - 1;

    d[0] = clamp(d[0], 3 * fabs(slope(s, 0)));
    d[last] = clamp(d[last], 3 * fabs(slope(s, last - 1)));
    for (size_t i = 1; i < last; i++) {
        double before = slope(s, i - 1);
        double after = slope(s, i);
        double left = s->x[i] - s->x[i - 1];
        double right = s->x[i + 1] - s->x[i];
        double wide = fmax(left, right);
        double most = wide > MUCH_WIDER * fmin(left, right) || before * after > 0
                          ? 3 * fmin(fabs(before), fabs(after))
                          : 2 * fmax(fabs(before * left), fabs(after * right)) / wide;

        d[i] = clamp(d[i], most);
    }
}

static double line(const struct samples *s, size_t i, double x)
{
    return s->y[i] + (x - s->x[i]) * slope(s, i);
}

static double cubic(const struct samples *s, size_t i, double x)
{
    double h = s->x[i + 1] - s->x[i];

    return mtmi_hermite(h, s->y[i], s->y[i + 1], s->derivative[i], s->derivative[i + 1],
                        (x - s->x[i]) / h);
}

/* True if the interval says more than 1 nm samples can carry as they are. */
static bool fine(const struct samples *s, size_t i)
{
    double h = s->x[i + 1] - s->x[i];

    return h < COARSE_NM && fabs(h - 1) > WHOLE_NM_SLACK;
}

/* 1 at the grid point, 0 at its neighbours, straight between. */
static double tent(double distance)
{
    return fmax(0, 1 - fabs(distance));
}

/* What stands in interval i: a straight line where samples are close, else the cubic. */
static double between(const struct samples *s, size_t i, double x)
{
    return s->x[i + 1] - s->x[i] < COARSE_NM ? line(s, i, x) : cubic(s, i, x);
}

/* Integral of the part of interval i between from and to with one side of a tent: the three points
 * of Gauss are exact for it. */
static double weigh(const struct samples *s, size_t i, double from, double to, double x)
{
    static const double place[3] = {-0.774596669241483377, 0, 0.774596669241483377};
    static const double weight[3] = {5.0 / 9, 8.0 / 9, 5.0 / 9};
    double a = fmax(from, s->x[i]);
    double b = fmin(to, s->x[i + 1]);
    double sum = 0;

    if (!(b > a))
        return 0;
    for (int k = 0; k < 3; k++) {
        double at = (a + b) / 2 + place[k] * (b - a) / 2;
        sum += weight[k] * between(s, i, at) * tent(at - x);
    }
    return sum * (b - a) / 2;
}

/* The same for a value that does not change; the tent's mean is that in the middle. */
static double weigh_level(double level, double a, double b, double x)
{
    return b > a ? level * (b - a) * tent((a + b) / 2 - x) : 0;
}

/* The curve between samples, weighed with the tent of a grid point. What lies between two
 * grid points is shared by them in proportion, so a line narrower than the grid keeps its power and
 * its place, and its XYZ is that of an observer interpolated between the rows of its table. A
 * measurement that is cut off beside the grid point goes on at its last value. */
static double share(const struct samples *s, size_t interval, double x)
{
    double first = s->x[0];
    double last = s->x[s->count - 1];
    double sum = 0;

    for (int side = -1; side <= 1; side += 2) {
        double from = side < 0 ? x - 1 : x;
        double to = from + 1;

        if (s->ends == MTM_ENDS_HOLD || first <= x)
            sum += weigh_level(s->y[0], from, fmin(first, to), x);
        if (s->ends == MTM_ENDS_HOLD || last >= x)
            sum += weigh_level(s->y[s->count - 1], fmax(last, from), to, x);
        for (size_t i = interval; i + 1 < s->count && s->x[i] < to; i++)
            sum += weigh(s, i, from, to, x);
    }
    return sum;
}

static double outside(const struct samples *s, double x)
{
    if (s->ends != MTM_ENDS_HOLD)
        return 0;
    return x < s->x[0] ? s->y[0] : s->y[s->count - 1];
}

/* Each grid point by what lies around it: its share of close samples, or the curve at the point. */
static void resample_pieces(const struct samples *s, double *value)
{
    double last = s->x[s->count - 1];
    size_t begin = 0; /* the interval in which the point's tent begins */

    for (size_t k = 0; k < MTM_SPECTRUM_COUNT; k++) {
        double x = MTM_SPECTRUM_FIRST_NM + (double)k;

        while (begin + 2 < s->count && s->x[begin + 1] <= x - 1)
            begin++;
        size_t at = begin; /* the interval in which the point lies */
        bool any_fine = false;
        for (size_t i = begin; i + 1 < s->count && s->x[i] < x + 1; i++) {
            any_fine = any_fine || (fine(s, i) && s->x[i + 1] > x - 1);
            if (s->x[i] <= x)
                at = i;
        }
        if (any_fine)
            value[k] = share(s, begin, x);
        else if (x < s->x[0] || x > last)
            value[k] = outside(s, x);
        else
            value[k] = between(s, at, x);
    }
}

/* The first grid point at or above nm. */
static size_t grid_from(double nm)
{
    double place = ceil(nm - MTM_SPECTRUM_FIRST_NM);

    return place <= 0 ? 0 : place >= MTM_SPECTRUM_COUNT ? MTM_SPECTRUM_COUNT : (size_t)place;
}

static mtm_result resample_any(struct samples s, double *value, mtm_error *error)
{
    double *derivative = NULL;

    if (s.count > 2) {
        derivative = malloc(2 * s.count * sizeof *derivative);
        if (derivative == NULL)
            return mtmi_fail_memory(error);
        mtmi_spline_slopes(s.x, s.y, s.count, derivative, derivative + s.count);
        limit_derivatives(&s, derivative);
    }
    const double straight[2] = {slope(&s, 0), slope(&s, 0)};
    s.derivative = derivative == NULL ? straight : derivative;
    resample_pieces(&s, value);
    free(derivative);
    return MTM_OK;
}

static void resample_even(const struct samples *s, double step, double *value)
{
    double last_nm = s->x[s->count - 1];
    size_t k = grid_from(s->x[0]);

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        value[i] = outside(s, MTM_SPECTRUM_FIRST_NM + (double)i);
    for (size_t index = 0; index + 1 < s->count; index++) {
        double begin = s->x[0] + step * (double)index;
        size_t end = grid_from(index + 2 < s->count ? begin + step : nextafter(last_nm, INFINITY));
        double coefficient[6];

        if (k >= end)
            continue;
        sprague(s, index, coefficient);
        for (; k < end; k++)
            value[k] = polynomial(coefficient, (MTM_SPECTRUM_FIRST_NM + (double)k - begin) / step);
    }
}

static bool is_even(const struct samples *s, double step)
{
    for (size_t i = 1; i < s->count; i++) {
        if (fabs(s->x[i] - s->x[0] - step * (double)i) > EVEN_SLACK * step)
            return false;
    }
    return true;
}

static mtm_result check(const struct samples *s, mtm_error *error)
{
    if (s->x == NULL || s->y == NULL || s->count < 2)
        return mtmi_fail(error, MTM_INVALID, "a spectrum needs at least 2 samples, not %zu",
                         s->x == NULL || s->y == NULL ? 0 : s->count);
    if ((unsigned)s->ends > MTM_ENDS_HOLD)
        return mtmi_fail(error, MTM_INVALID, "there is no such way to end a spectrum: %d",
                         (int)s->ends);
    if (s->count > SAMPLES_MAX)
        return mtmi_fail(error, MTM_LIMIT, "%zu samples; a spectrum has at most %d", s->count,
                         SAMPLES_MAX);
    for (size_t i = 0; i < s->count; i++) {
        if (!isfinite(s->x[i]) || !isfinite(s->y[i]))
            return mtmi_fail(error, MTM_INVALID, "sample %zu is not a finite number", i + 1);
        if (i > 0 && !(s->x[i] > s->x[i - 1]))
            return mtmi_fail(
                error, MTM_INVALID,
                "wavelength %g nm of sample %zu does not lie above the %g nm before it", s->x[i],
                i + 1, s->x[i - 1]);
    }
    return MTM_OK;
}

static mtm_result check_finite(const mtm_spectrum *made, mtm_error *error)
{
    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++) {
        if (!isfinite(made->value[i]))
            return mtmi_fail(error, MTM_INVALID, "the values are too large to interpolate");
    }
    return MTM_OK;
}

mtm_result mtm_spectrum_straight_from_samples(const double *wavelength_nm, const double *value,
                                              size_t count, mtm_ends ends, mtm_spectrum *spectrum,
                                              mtm_error *error)
{
    const struct samples s = {.x = wavelength_nm, .y = value, .count = count, .ends = ends};
    mtm_spectrum made = {.value = {0}};
    size_t at = 0;

    if (spectrum == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the spectrum was given");
    mtm_result result = check(&s, error);
    if (result != MTM_OK)
        return result;
    for (size_t k = 0; k < MTM_SPECTRUM_COUNT; k++) {
        double x = MTM_SPECTRUM_FIRST_NM + (double)k;

        while (at + 2 < count && s.x[at + 1] <= x)
            at++;
        made.value[k] = x < s.x[0] || x > s.x[count - 1] ? outside(&s, x) : line(&s, at, x);
    }
    result = check_finite(&made, error);
    if (result == MTM_OK)
        *spectrum = made;
    return result;
}

mtm_result mtm_spectrum_from_samples(const double *wavelength_nm, const double *value, size_t count,
                                     mtm_ends ends, mtm_spectrum *spectrum, mtm_error *error)
{
    const struct samples s = {.x = wavelength_nm, .y = value, .count = count, .ends = ends};
    mtm_spectrum made = {.value = {0}};

    if (spectrum == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the spectrum was given");
    mtm_result result = check(&s, error);
    if (result != MTM_OK)
        return result;

    double step = (s.x[count - 1] - s.x[0]) / (double)(count - 1);
    if (count >= SPRAGUE_MIN && step > COARSE_NM - WHOLE_NM_SLACK && is_even(&s, step))
        resample_even(&s, step, made.value);
    else
        result = resample_any(s, made.value, error);
    if (result != MTM_OK)
        return result;
    result = check_finite(&made, error);
    if (result == MTM_OK)
        *spectrum = made;
    return result;
}
