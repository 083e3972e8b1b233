/* SPDX-License-Identifier: MIT */
/* The mixture of the highest index.
 *
 * What is made least is the mean length of residuals that are nearly linear in the levels. Weighed
 * by the inverse of their lengths, their squares have the same slope: so a sequence of quadratic
 * programs, each with the residuals linearised anew, leads to a minimum (iteratively reweighted
 * least squares; the steps are halved until they gain). */
#include "solve/objective.h"

#include "base/error.h"
#include "numeric/random.h"
#include "solve/answer.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define ROUNDS_MAX 40
#define HALVINGS 6
/* A gain below this is none: 1e-5 in Rf. */
#define GAIN_MIN 2e-6
/* Lengths below this weigh no more; they would make the program stiff. */
#define LENGTH_MIN 1e-3
/* Share of the whole light that a slope is measured over. */
#define NUDGE 1e-4

#define SUMS_AT_ONCE 4

#define CORNERS 16  /* mixtures at the ends of the feasible set, and as many starts at most */
#define STARTS 5    /* descents before mixtures are scattered */
#define SCATTER 240 /* mixtures between those corners */

/* A descent at work. */
struct descent {
    const struct mtmi_feasible_set *feasible;
    const struct mtmi_objective *objective;
    struct mtmi_qp qp;
    double slope[MTM_EMITTERS_MAX][MTMI_RESIDUALS_MAX];
    double residual[MTMI_RESIDUALS_MAX];
    size_t tried;
};

/* The mean residual at x; INFINITY where it is not below limit. */
static double evaluate(struct descent *descent, const double *x, double limit, double *residual)
{
    descent->tried++;
    return mtmi_objective_at(descent->objective, descent->feasible, x, limit, residual);
}

/* Fills the slopes of the residuals at x. */
static void linearise(struct descent *descent, const double *x)
{
    size_t count = descent->objective->groups * descent->objective->width;
    double moved[MTMI_QP_VARIABLES];

    memcpy(moved, x, sizeof moved);
    for (size_t k = 0; k < descent->feasible->spectral->emitters.count; k++) {
        if (!(descent->feasible->set.upper[k] > 0)) {
            memset(descent->slope[k], 0, sizeof descent->slope[k]);
            continue;
        }
        moved[k] = x[k] + NUDGE;
        descent->tried++;
        (void)mtmi_objective_residuals(descent->objective, descent->feasible, moved,
                                       descent->slope[k]);
        moved[k] = x[k];
        for (size_t i = 0; i < count; i++)
            descent->slope[k][i] = (descent->slope[k][i] - descent->residual[i]) / NUDGE;
    }
}

/* Weights one group: the inverse of its length. */
static void weigh(const struct descent *descent, double *weight)
{
    size_t width = descent->objective->width;

    for (size_t g = 0; g < descent->objective->groups; g++) {
        double square = 0;
        for (size_t i = 0; i < width; i++)
            square += descent->residual[g * width + i] * descent->residual[g * width + i];
        double value = 1 / fmax(sqrt(square), LENGTH_MIN) / (double)descent->objective->groups;
        for (size_t i = 0; i < width; i++)
            weight[g * width + i] = value;
    }
}

/* Sums of products of one row with some others, each in the order of the row. Several at a time, so
 * that they do not wait for each other. */
static void sum_products(const double *row, double (*others)[MTMI_RESIDUALS_MAX], size_t count,
                         double sum[SUMS_AT_ONCE])
{
    static_assert(MTM_EMITTERS_MAX % SUMS_AT_ONCE == 0, "the last rows would be beyond the end");
    double a = 0, b = 0, c = 0, d = 0;

    for (size_t i = 0; i < count; i++) {
        a += row[i] * others[0][i];
        b += row[i] * others[1][i];
        c += row[i] * others[2][i];
        d += row[i] * others[3][i];
    }
    sum[0] = a, sum[1] = b, sum[2] = c, sum[3] = d;
}

/* The quadratic program about x. */
static void pose(struct descent *descent, const double *x)
{
    size_t count = descent->objective->groups * descent->objective->width;
    size_t emitters = descent->feasible->spectral->emitters.count;
    double weight[MTMI_RESIDUALS_MAX], weighted[MTMI_RESIDUALS_MAX];
    struct mtmi_qp *qp = &descent->qp;

    weigh(descent, weight);
    *qp = descent->feasible->set;
    for (size_t k = 0; k < emitters; k++) {
        for (size_t i = 0; i < count; i++) {
            weighted[i] = weight[i] * descent->slope[k][i];
            qp->c[k] += weighted[i] * descent->residual[i];
        }
        for (size_t first = 0; first <= k; first += SUMS_AT_ONCE) {
            double sum[SUMS_AT_ONCE];
            sum_products(weighted, &descent->slope[first], count, sum);
            for (size_t j = first; j <= k && j < first + SUMS_AT_ONCE; j++)
                qp->h[k][j] = qp->h[j][k] = sum[j - first];
        }
    }
    for (size_t k = 0; k < emitters; k++) {
        for (size_t j = 0; j < emitters; j++)
            qp->c[k] -= qp->h[k][j] * x[j];
    }
}

/* Leads x down; returns the mean residual in the end. *gap gets how much less the linearised
 * lengths could be anywhere. */
static double descend(struct descent *descent, double *x, double *gap)
{
    double mean_residual = evaluate(descent, x, INFINITY, descent->residual);
    double residual[MTMI_RESIDUALS_MAX];

    for (int round = 0; round < ROUNDS_MAX; round++) {
        double next[MTMI_QP_VARIABLES], trial[MTMI_QP_VARIABLES], share = 1, found = INFINITY;
        linearise(descent, x);
        pose(descent, x);
        memcpy(next, x, sizeof next);
        mtmi_qp_solve(&descent->qp, next, gap);
        for (int i = 0; i < HALVINGS; i++) {
            for (size_t k = 0; k < MTMI_QP_VARIABLES; k++)
                trial[k] = x[k] + share * (next[k] - x[k]);
            found = evaluate(descent, trial, mean_residual, residual);
            if (found < mean_residual)
                break;
            share /= 2;
        }
        if (!(found < mean_residual - GAIN_MIN))
            break;
        mean_residual = found;
        memcpy(x, trial, sizeof trial);
        memcpy(descent->residual, residual, sizeof residual);
    }
    return mean_residual;
}

/* A corner of the feasible set: the end of a random direction. */
static void find_corner(const struct mtmi_feasible_set *feasible, mtmi_random *random, double *x)
{
    struct mtmi_qp qp = feasible->set;
    double gap = 0;

    for (size_t k = 0; k < feasible->spectral->emitters.count; k++)
        qp.c[k] = 2 * mtmi_random_next(random) - 1;
    memcpy(x, feasible->start, sizeof feasible->start);
    mtmi_qp_solve(&qp, x, &gap);
}

/* The best found so far. */
struct found {
    double x[MTMI_QP_VARIABLES];
    double mean_residual, gap;
};

static void improve(struct descent *descent, double *x, struct found *found)
{
    double gap = 0, mean_residual = descend(descent, x, &gap);

    if (mean_residual < found->mean_residual - GAIN_MIN) {
        memcpy(found->x, x, sizeof found->x);
        found->mean_residual = mean_residual;
        found->gap = gap;
    }
}

/* Mixtures between random corners; any with a lesser one is followed. */
static void scatter(struct descent *descent, double corner[CORNERS][MTMI_QP_VARIABLES],
                    mtmi_random *random, struct found *found)
{
    double residual[MTMI_RESIDUALS_MAX];

    for (int n = 0; n < SCATTER; n++) {
        double x[MTMI_QP_VARIABLES] = {0}, share[CORNERS], sum = 0;
        for (size_t i = 0; i < CORNERS; i++) {
            share[i] =
                pow(-log(mtmi_random_next(random)), n % 3 + 1); /* the higher, the nearer to one */
            sum += share[i];
        }
        for (size_t i = 0; i < CORNERS; i++) {
            for (size_t k = 0; k < MTMI_QP_VARIABLES; k++)
                x[k] += share[i] / sum * corner[i][k];
        }
        if (isfinite(evaluate(descent, x, found->mean_residual - GAIN_MIN, residual)))
            improve(descent, x, found);
    }
}

static void search(struct descent *descent, struct found *found)
{
    double corner[CORNERS][MTMI_QP_VARIABLES], x[MTMI_QP_VARIABLES];
    mtmi_random random = {1};

    memcpy(x, descent->feasible->start, sizeof x);
    improve(descent, x, found);
    for (size_t i = 0; i < CORNERS; i++)
        find_corner(descent->feasible, &random, corner[i]);
    for (size_t i = 1; i < STARTS; i++) {
        memcpy(x, corner[i], sizeof x);
        improve(descent, x, found);
    }
    scatter(descent, corner, &random, found);
}

mtm_result mtmi_rendering(const mtm_spectral *spectral, const mtm_request *request, double limit_w,
                          mtm_index index, const mtm_spectrum *reference, mtm_best *best,
                          mtm_error *error)
{
    struct mtmi_feasible_set feasible;
    struct mtmi_objective objective;
    struct descent descent = {.feasible = &feasible, .objective = &objective};
    struct found found = {.mean_residual = INFINITY};

    mtm_result result = mtmi_feasible_set_prepare(spectral, request, limit_w, &feasible, error);
    if (result == MTM_OK)
        result = mtmi_objective_prepare(&feasible, index, reference, &objective, error);
    if (result != MTM_OK)
        return result;
    search(&descent, &found);
    if (!isfinite(found.mean_residual))
        return mtmi_fail(error, MTM_RANGE, "no mixture of this colour can be judged");
    mtmi_feasible_set_answer(&feasible, found.x, &best->answer);
    best->value = mtmi_objective_index(&objective, found.mean_residual);
    best->bound = mtmi_objective_index(&objective, fmax(found.mean_residual - found.gap, 0));
    best->tried = descent.tried;
    return MTM_OK;
}

mtm_result mtm_spectral_rendering(const mtm_spectral *spectral, const mtm_request *request,
                                  mtm_index index, const mtm_spectrum *reference, mtm_best *best,
                                  mtm_error *error)
{
    if (spectral == NULL || request == NULL || best == NULL)
        return mtmi_fail(error, MTM_INVALID, "rendering needs a fixture, a request and a place");
    mtm_request open = *request;
    open.output = (mtm_output){MTM_OUTPUT_MAX, 0};
    mtm_result result = mtmi_output_check(request->output, error);
    if (result == MTM_OK)
        result = mtmi_rendering(spectral, &open, spectral->emitters.power_limit_w, index, reference,
                                best, error);
    if (result == MTM_OK)
        mtmi_answer_scale(request->output, &best->answer);
    return result;
}
