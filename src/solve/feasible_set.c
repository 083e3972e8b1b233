/* SPDX-License-Identifier: MIT */
/* Feasible set: all mixtures of one chromaticity and output.
 *
 * X, Y, Z fixed are three linear equations in the levels; with 0 <= level <= 1 and the power limit
 * they leave a convex polytope. Goals that look at the spectrum (rendering.c, nearest.c) walk in it
 * by quadratic programs (numeric/qp.c); here these are set up, and what they find is turned back
 * into levels.
 *
 * The variables are scaled so that each emitter's full share of the light is about 1, and strong
 * and weak emitters weigh alike. The start is the linear answer of the solver, which is feasible.
 *
 * The cost lies in the programs that follow, and there in evaluating mixtures (objective.c). Do not
 * add a constraint without its row in the program, and leave a start feasible to it: the active-set
 * method never leaves what the start keeps. */
#include "solve/feasible_set.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Where the reference of the SSI changes from Planckian to daylight. */
#define DAYLIGHT_K 4000.0

double mtmi_spectrum_product(const mtm_spectrum *a, const mtm_spectrum *b)
{
    double sum = 0;

    for (size_t i = 0; i < MTM_SPECTRUM_COUNT; i++)
        sum += a->value[i] * b->value[i];
    return sum;
}

static mtm_result fill(mtm_spectral *spectral, const mtm_fixture *fixture, mtm_error *error)
{
    struct mtmi_emitters *emitters = &spectral->emitters;

    spectral->kernel = mtmi_quality_best();
    for (size_t k = 0; k < emitters->count; k++) {
        if (emitters->spectrum[k] == NULL)
            return mtmi_fail(
                error, MTM_UNSUPPORTED,
                "emitter \"%.60s\" of \"%.60s\" is known by x, y only; this goal needs "
                "the spectrum of each",
                mtm_fixture_emitter(fixture, k)->name, mtm_fixture_name(fixture));
        // NOLINTNEXTLINE(clang-analyzer-core.NullDereference): refused above
        spectral->spectrum[k] = *emitters->spectrum[k];
        emitters->spectrum[k] = &spectral->spectrum[k];
        mtmi_quality_light_from_spectrum(spectral->kernel, emitters->spectrum[k],
                                         &spectral->light[k]);
        for (size_t j = 0; j <= k; j++) {
            spectral->gram[j][k] =
                mtmi_spectrum_product(&spectral->spectrum[j], &spectral->spectrum[k]);
            spectral->gram[k][j] = spectral->gram[j][k];
        }
    }
    return MTM_OK;
}

mtm_result mtm_spectral_create(const mtm_fixture *fixture, mtm_spectral **out, mtm_error *error)
{
    if (fixture == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "spectral goals need a fixture");
    mtm_spectral *spectral = calloc(1, sizeof *spectral);
    if (spectral == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = mtmi_emitters_from(fixture, MTM_OBSERVER_2, &spectral->emitters, error);
    size_t room = spectral->emitters.count + 1;
    spectral->light = calloc(room, sizeof *spectral->light);
    spectral->spectrum = calloc(room, sizeof *spectral->spectrum);
    if (result == MTM_OK && (spectral->light == NULL || spectral->spectrum == NULL))
        result = mtmi_fail_memory(error);
    if (result == MTM_OK)
        result = fill(spectral, fixture, error);
    if (result == MTM_OK)
        result = mtm_solver_create_for(fixture, MTM_OBSERVER_2, &spectral->solver, error);
    if (result == MTM_OK) {
        *out = spectral;
        spectral = NULL;
    }
    mtm_spectral_free(spectral);
    return result;
}

void mtm_spectral_free(mtm_spectral *spectral)
{
    if (spectral == NULL)
        return;
    mtm_solver_free(spectral->solver);
    free(spectral->light);
    free(spectral->spectrum);
    free(spectral);
}

/* How much of emitter k the light can hold at all. */
static double most_level(mtm_xyz a, mtm_xyz p)
{
    double most = INFINITY;

    if (a.x > 0)
        most = fmin(most, p.x / a.x);
    if (a.y > 0)
        most = fmin(most, p.y / a.y);
    if (a.z > 0)
        most = fmin(most, p.z / a.z);
    return isfinite(most) && most > 0 ? most : 0;
}

static void add_emitter(struct mtmi_feasible_set *feasible, size_t k, double size)
{
    mtm_xyz a = feasible->spectral->emitters.xyz[k];
    double length = hypot(hypot(a.x, a.y), a.z), most = most_level(a, feasible->xyz);
    struct mtmi_qp *set = &feasible->set;

    if (!(length > 0)) {
        feasible->unit[k] = 1;
        return; /* dark: no row, no room */
    }
    feasible->unit[k] = length / size;
    set->a[0][k] = a.x / length;
    set->a[1][k] = a.y / length;
    set->a[2][k] = a.z / length;
    double limit = feasible->spectral->emitters.most[k];
    set->upper[k] = feasible->unit[k] * (feasible->open ? (limit > 0 ? most : 0) : limit);
    feasible->start[k] = feasible->unit[k] * feasible->answer.level[k];
    if (feasible->start[k] > set->upper[k])
        set->upper[k] = feasible->start[k];
}

/* The watts as a fourth row, with what is spared as one more variable. */
static void add_power(struct mtmi_feasible_set *feasible, double limit_w)
{
    const mtm_spectral *spectral = feasible->spectral;
    struct mtmi_qp *set = &feasible->set;
    double total = 0;

    for (size_t k = 0; k < spectral->emitters.count; k++)
        total += spectral->emitters.watts[k];
    if (feasible->open || !(total > limit_w))
        return;
    for (size_t k = 0; k < spectral->emitters.count; k++)
        set->a[3][k] = spectral->emitters.watts[k] / feasible->unit[k] / limit_w;
    set->a[3][spectral->emitters.count] = 1;
    set->upper[spectral->emitters.count] = 1;
    feasible->start[spectral->emitters.count] = fmax(1 - feasible->answer.watts / limit_w, 0);
    set->count = spectral->emitters.count + 1;
    set->rows = 4;
}

mtm_result mtmi_feasible_set_prepare(const mtm_spectral *spectral, const mtm_request *request,
                                     double limit_w, struct mtmi_feasible_set *feasible,
                                     mtm_error *error)
{
    mtm_request linear = *request;

    memset(feasible, 0, sizeof *feasible);
    feasible->spectral = spectral;
    feasible->open = request->output.type == MTM_OUTPUT_MAX;
    linear.goal = feasible->open ? MTM_GOAL_LIGHT : MTM_GOAL_WATTS;
    mtm_result result = mtm_solver_solve(spectral->solver, &linear, &feasible->answer, error);
    if (result != MTM_OK)
        return result;
    feasible->xyz = feasible->answer.xyz;
    double size = hypot(hypot(feasible->xyz.x, feasible->xyz.y), feasible->xyz.z);
    feasible->set.count = spectral->emitters.count;
    feasible->set.rows = 3;
    for (size_t k = 0; k < spectral->emitters.count; k++)
        add_emitter(feasible, k, size);
    add_power(feasible, limit_w);
    return MTM_OK;
}

void mtmi_feasible_set_answer(const struct mtmi_feasible_set *feasible, const double *x,
                              mtm_answer *answer)
{
    const mtm_spectral *spectral = feasible->spectral;
    mtm_answer made = feasible->answer;
    double highest = 0, watts = 0, scale = 1;

    made.shortfall &= (unsigned)~MTM_SHORT_POWER;
    for (size_t k = 0; k < spectral->emitters.count; k++) {
        made.level[k] = x[k] / feasible->unit[k];
        if (spectral->emitters.most[k] > 0)
            highest = fmax(highest, made.level[k] / spectral->emitters.most[k]);
        watts += made.level[k] * spectral->emitters.watts[k];
    }
    if (feasible->open) {
        double limit = spectral->emitters.power_limit_w / watts;
        scale = 1 / highest;
        if (limit < scale) {
            scale = limit;
            made.shortfall |= MTM_SHORT_POWER;
        }
    } else {
        made.shortfall = feasible->answer.shortfall;
    }
    for (size_t k = 0; k < spectral->emitters.count; k++)
        made.level[k] = fmin(made.level[k] * scale, spectral->emitters.most[k]);
    made.watts = watts * scale;
    made.xyz = mtm_solver_xyz(spectral->solver, made.level);
    made.xy = mtm_xy_from_xyz(made.xyz);
    if (feasible->open)
        made.most = made.xyz.y;
    *answer = made;
}

mtm_result mtmi_feasible_set_white(const struct mtmi_feasible_set *feasible, mtm_white *white,
                                   mtm_error *error)
{
    return mtm_white_from_xy(feasible->answer.xy, white, error);
}

mtm_result mtmi_feasible_set_reference(const struct mtmi_feasible_set *feasible,
                                       mtm_spectrum *spectrum, mtm_error *error)
{
    mtm_white white;
    mtm_result result = mtmi_feasible_set_white(feasible, &white, error);

    if (result != MTM_OK)
        return result;
    if (white.cct_k < DAYLIGHT_K)
        return mtm_spectrum_planck(white.cct_k, spectrum, error);
    return mtm_spectrum_daylight(white.cct_k, spectrum, error);
}
