/* SPDX-License-Identifier: MIT */
/* Slopes of a unit's light by all that may be wrong of it. */
#include "calibrate/slopes.h"

#include "unit/model.h"

#include <math.h>
#include <string.h>

/* Least part of a code over which a curve's slope is taken. */
#define STEP_MIN 1e-4

const double mtmi_knot_code[MTMI_KNOTS] = {0.7, 0.5, 0.35, 0.2, 0.1, 0.05, 0.025, 0.012, 0.005};

/* Slope of the level by a dead zone, over as much of it as is likely: a curve bends there. From
 * within the dead zone, over as much as ends it. */
static double dead_slope(const mtm_curve *curve, double code, double likely)
{
    double step = fmax(STEP_MIN, likely);
    while (code + step < 1 && !(mtm_curve_level(curve, code + step) > 0))
        step *= 2;
    double low = code > step ? mtm_curve_level(curve, code - step) : 0;
    double high = mtm_curve_level(curve, fmin(1, code + step));

    return -(1 - code) * (high - low) / (fmin(1, code + step) - code + step);
}

/* What a curve's errors at the knots come to at a code. */
static void knot_weights(double code, double weight[MTMI_KNOTS])
{
    size_t k = 0;

    memset(weight, 0, MTMI_KNOTS * sizeof *weight);
    if (!(code > 0 && code < 1))
        return;
    while (k < MTMI_KNOTS && mtmi_knot_code[k] > code)
        k++;
    if (k == MTMI_KNOTS) {
        weight[MTMI_KNOTS - 1] = 1;
        return;
    }
    double above = k > 0 ? mtmi_knot_code[k - 1] : 1;
    double part = log(above / code) / log(above / mtmi_knot_code[k]);
    weight[k] = part;
    if (k > 0)
        weight[k - 1] = 1 - part;
}

static void set_slope(double *slope, size_t n, size_t place, double factor, mtm_xyz xyz)
{
    slope[place] = factor * xyz.x;
    slope[n + place] = factor * xyz.y;
    slope[2 * n + place] = factor * xyz.z;
}

/* X = Y 9 u / (4 v), Z = Y (12 - 3 u - 20 v) / (4 v): their slopes by u', v' at the same Y. */
static void drift_slopes(mtm_xyz xyz, mtm_xyz by[2])
{
    mtm_uv uv = mtm_uv_from_xyz(xyz);

    by[0] = (mtm_xyz){9 * xyz.y / (4 * uv.v), 0, -3 * xyz.y / (4 * uv.v)};
    by[1] = (mtm_xyz){-xyz.x / uv.v, 0, -(3 - 0.75 * uv.u) * xyz.y / (uv.v * uv.v)};
}

void mtmi_light_slopes(const mtm_unit_model *model, const double *code, double dimmer, double dead,
                       size_t n, double *slope)
{
    double level[MTM_EMITTERS_MAX];
    double weight[MTMI_KNOTS];
    mtm_xyz each[MTM_EMITTERS_MAX];
    mtm_xyz drift[2];

    memset(slope, 0, 3 * n * sizeof *slope);
    mtm_unit_model_levels(model, code, dimmer, level);
    mtm_unit_model_effective(model, level, each);
    double sharing = mtmi_sharing_factor(model, level);
    double master = dimmer < 1 ? mtm_curve_level(model->dimmer_curve, dimmer) : 1;
    for (size_t i = 0; i < model->count; i++) {
        size_t first = MTMI_STRIDE * i;
        double lit = level[i];
        if (!(code[i] > 0) || !(model->emitter[i].xyz.y > 0))
            continue;
        for (size_t k = 0; k < 3; k++)
            slope[k * n + first + MTMI_AT_XYZ + k] = sharing * lit;
        knot_weights(code[i], weight);
        for (size_t k = 0; k < MTMI_KNOTS; k++)
            set_slope(slope, n, first + MTMI_AT_CURVE + k, lit * weight[k], each[i]);
        set_slope(slope, n, first + MTMI_AT_DEAD,
                  master * dead_slope(model->emitter[i].curve, code[i], dead), each[i]);
        drift_slopes(each[i], drift);
        for (size_t k = 0; k < 2; k++) {
            set_slope(slope, n, first + MTMI_AT_DRIFT + k, lit * (1 - lit), drift[k]);
            set_slope(slope, n, first + MTMI_AT_BOW + k, lit * 4 * lit * (1 - lit), drift[k]);
        }
        set_slope(slope, n, first + MTMI_AT_DROOP, -lit * mtmi_others_demand(model, level, i),
                  each[i]);
    }
}

/* A curve that ends in a dead zone bends there: what a straight slope misses of it, for each
 * emitter on its own. */
void mtmi_light_bends(const mtm_unit_model *model, const double *code, double dimmer, double dead,
                      mtm_covariance *spread)
{
    double level[MTM_EMITTERS_MAX];
    mtm_xyz each[MTM_EMITTERS_MAX];
    double master = dimmer < 1 ? mtm_curve_level(model->dimmer_curve, dimmer) : 1;

    mtm_unit_model_levels(model, code, dimmer, level);
    mtm_unit_model_effective(model, level, each);
    for (size_t i = 0; i < model->count; i++) {
        const mtm_curve *curve = model->emitter[i].curve;
        if (!(code[i] > 0 && code[i] < 1))
            continue;
        double low = code[i] > dead ? mtm_curve_level(curve, code[i] - dead) : 0;
        double high = mtm_curve_level(curve, fmin(1, code[i] + dead));
        double missed = master * (high + low) / 2 - level[i];
        const double xyz[3] = {missed * each[i].x, missed * each[i].y, missed * each[i].z};
        for (size_t r = 0; r < 3; r++) {
            for (size_t c = 0; c < 3; c++)
                spread->at[r][c] += xyz[r] * xyz[c];
        }
    }
}

void mtmi_slopes_carry(const double *covariance, size_t n, const double *slope, double *product)
{
    memset(product, 0, 3 * n * sizeof *product);
    for (size_t r = 0; r < 3; r++) {
        for (size_t i = 0; i < n; i++) {
            double by = slope[r * n + i];
            for (size_t j = 0; by != 0 && j < n; j++)
                product[r * n + j] += by * covariance[i * n + j];
        }
    }
}

mtm_covariance mtmi_slopes_close(size_t n, const double *slope, const double *product)
{
    mtm_covariance sum = {{{0}}};

    for (size_t r = 0; r < 3; r++) {
        for (size_t c = 0; c < 3; c++) {
            for (size_t i = 0; i < n; i++)
                sum.at[r][c] += product[r * n + i] * slope[c * n + i];
        }
    }
    return sum;
}

double mtmi_known_level(const mtmi_known *known, const mtm_curve *base, double code)
{
    double weight[MTMI_KNOTS];
    double lit = (code - known->dead) / (1 - known->dead);
    double sum = 0;

    if (!(lit > 0))
        return 0;
    knot_weights(code, weight);
    for (size_t k = 0; k < MTMI_KNOTS; k++)
        sum += weight[k] * known->curve[k];
    return fmin(1, mtm_curve_level(base, lit) * exp(sum));
}

void mtmi_known_take_curve(mtmi_known *known, const mtm_curve *base, const mtm_curve *curve,
                           double least)
{
    known->dead = 0;
    for (size_t k = 0; k < MTMI_KNOTS; k++) {
        double code = fmax(least, mtmi_knot_code[k]);
        double from = mtm_curve_level(base, code);
        double to = mtm_curve_level(curve, code);
        known->curve[k] = from > 0 && to > 0 ? log(to / from) : 0;
    }
}
