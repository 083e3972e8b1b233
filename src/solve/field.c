/* SPDX-License-Identifier: MIT */
/* Field: all mixtures of one chromaticity and output. */
#include "solve/field.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Where the reference of the SSI changes from Planckian to daylight. */
#define DAYLIGHT_K 4000.0

static double product(const mtm_spectrum *a, const mtm_spectrum *b)
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
        spectral->spectrum[k] = *emitters->spectrum[k];
        emitters->spectrum[k] = &spectral->spectrum[k];
        mtmi_quality_light_from_spectrum(spectral->kernel, emitters->spectrum[k],
                                         &spectral->light[k]);
        for (size_t j = 0; j <= k; j++) {
            spectral->gram[j][k] = product(&spectral->spectrum[j], &spectral->spectrum[k]);
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

static void add_emitter(struct mtmi_field *field, size_t k, double size)
{
    mtm_xyz a = field->spectral->emitters.xyz[k];
    double length = hypot(hypot(a.x, a.y), a.z), most = most_level(a, field->xyz);
    struct mtmi_qp *set = &field->set;

    if (!(length > 0)) {
        field->unit[k] = 1;
        return; /* dark: no row, no room */
    }
    field->unit[k] = length / size;
    set->a[0][k] = a.x / length;
    set->a[1][k] = a.y / length;
    set->a[2][k] = a.z / length;
    set->upper[k] = field->unit[k] * (field->open ? most : 1);
    field->start[k] = field->unit[k] * field->answer.level[k];
    if (field->start[k] > set->upper[k])
        set->upper[k] = field->start[k];
}

/* The watts as a fourth row, with what is spared as one more variable. */
static void add_power(struct mtmi_field *field, double limit_w)
{
    const mtm_spectral *spectral = field->spectral;
    struct mtmi_qp *set = &field->set;
    double total = 0;

    for (size_t k = 0; k < spectral->emitters.count; k++)
        total += spectral->emitters.watts[k];
    if (field->open || !(total > limit_w))
        return;
    for (size_t k = 0; k < spectral->emitters.count; k++)
        set->a[3][k] = spectral->emitters.watts[k] / field->unit[k] / limit_w;
    set->a[3][spectral->emitters.count] = 1;
    set->upper[spectral->emitters.count] = 1;
    field->start[spectral->emitters.count] = fmax(1 - field->answer.watts / limit_w, 0);
    set->count = spectral->emitters.count + 1;
    set->rows = 4;
}

mtm_result mtmi_field_prepare(const mtm_spectral *spectral, const mtm_request *request,
                              double limit_w, struct mtmi_field *field, mtm_error *error)
{
    mtm_request linear = *request;

    memset(field, 0, sizeof *field);
    field->spectral = spectral;
    field->open = request->output.kind == MTM_OUTPUT_MAX;
    linear.goal = field->open ? MTM_GOAL_LIGHT : MTM_GOAL_WATTS;
    mtm_result result = mtm_solver_solve(spectral->solver, &linear, &field->answer, error);
    if (result != MTM_OK)
        return result;
    field->xyz = field->answer.xyz;
    double size = hypot(hypot(field->xyz.x, field->xyz.y), field->xyz.z);
    field->set.count = spectral->emitters.count;
    field->set.rows = 3;
    for (size_t k = 0; k < spectral->emitters.count; k++)
        add_emitter(field, k, size);
    add_power(field, limit_w);
    return MTM_OK;
}

void mtmi_field_answer(const struct mtmi_field *field, const double *x, mtm_answer *answer)
{
    const mtm_spectral *spectral = field->spectral;
    mtm_answer made = field->answer;
    double highest = 0, watts = 0, scale = 1;

    made.shortfall &= (unsigned)~MTM_SHORT_POWER;
    for (size_t k = 0; k < spectral->emitters.count; k++) {
        made.level[k] = x[k] / field->unit[k];
        highest = fmax(highest, made.level[k]);
        watts += made.level[k] * spectral->emitters.watts[k];
    }
    if (field->open) {
        double limit = spectral->emitters.power_limit_w / watts;
        scale = 1 / highest;
        if (limit < scale) {
            scale = limit;
            made.shortfall |= MTM_SHORT_POWER;
        }
    } else {
        made.shortfall = field->answer.shortfall;
    }
    for (size_t k = 0; k < spectral->emitters.count; k++)
        made.level[k] = fmin(made.level[k] * scale, 1);
    made.watts = watts * scale;
    made.xyz = mtm_solver_xyz(spectral->solver, made.level);
    made.xy = mtm_xy_from_xyz(made.xyz);
    if (field->open)
        made.most = made.xyz.y;
    *answer = made;
}

mtm_result mtmi_field_white(const struct mtmi_field *field, mtm_white *white, mtm_error *error)
{
    return mtm_white_from_xy(field->answer.xy, white, error);
}

mtm_result mtmi_field_reference(const struct mtmi_field *field, mtm_spectrum *spectrum,
                                mtm_error *error)
{
    mtm_white white;
    mtm_result result = mtmi_field_white(field, &white, error);

    if (result != MTM_OK)
        return result;
    if (white.cct_k < DAYLIGHT_K)
        return mtm_spectrum_planck(white.cct_k, spectrum, error);
    return mtm_spectrum_daylight(white.cct_k, spectrum, error);
}
