/* SPDX-License-Identifier: MIT */
/* Trim: all calibrated units of a rig on one white at one output.
 *
 * First what each unit can do at most is found, then the output that all of them (or as many as the
 * request wants) can give. The mix of each kind is found once, for its mean unit; each unit then
 * changes the shares of that mix by as little as its own white asks, so that units look alike to
 * other observers too. Codes are rounded against the unit's calibrated model, and assessed with its
 * doubt.
 *
 * A later round does not start from the recipe but from what was read: it moves each unit by what
 * its reading missed, and leaves alone what is proven inside.
 *
 * A unit is solved four times for what it can do, and once more before its codes are rounded. What
 * must stay: the recipe belongs to the kind and never to a unit (else units of a kind drift apart),
 * and a unit that is left alone keeps the very codes that were read. tests/trim/rounds_test.c and
 * the doubt benchmark watch both. */
#include <metamer/trim.h>

#include <metamer/tolerance.h>

#include "base/error.h"
#include "base/number.h"
#include "calibrate/calibration.h"
#include "readings/meter_check.h"
#include "readings/readings.h"
#include "solve/coder.h"
#include "trim/assess.h"
#include "trim/kind.h"
#include "trim/recipe.h"
#include "trim/request.h"
#include "trim/round.h"
#include "unit/table.h"

#include <math.h>
#include <stdlib.h>

/* A reading farther from the target than this says nothing of the mix to stay near. */
#define ANCHOR_UV 0.02

struct mtm_trim {
    size_t count;
    mtm_trim_unit *units;
    mtm_trim_summary summary;
    mtmi_recipe *recipe; /* what each unit stays near */
    mtm_trim_aim aim;
    const mtm_rig *rig;
};

/* What the steps of one run share. */
typedef struct run {
    const mtm_calibration *calibration;
    const mtm_rig *rig;
    const mtm_readings *last;
    const mtm_meter *meter;
    const mtm_trim_request *request;
    mtm_trim *trim;
    mtm_uv target;
    const mtm_trim_aim *then; /* of the round before; NULL: this is the first */
    bool goes_on;             /* a later round for the same white and goal */
    mtmi_trim_criteria criteria;
} run;

void mtm_trim_free(mtm_trim *trim)
{
    if (trim == NULL)
        return;
    free(trim->recipe);
    free(trim->units);
    free(trim);
}

size_t mtm_trim_count(const mtm_trim *trim)
{
    return trim != NULL ? trim->count : 0;
}

const mtm_trim_unit *mtm_trim_at(const mtm_trim *trim, size_t index)
{
    return trim != NULL && index < trim->count ? &trim->units[index] : NULL;
}

mtm_trim_summary mtm_trim_summarise(const mtm_trim *trim)
{
    return trim != NULL ? trim->summary : (mtm_trim_summary){.output = 0};
}

static const mtm_unit_model *model_of(const run *r, size_t unit)
{
    return mtm_calibration_unit(r->calibration, unit);
}

static struct mtmi_trim_bounds bounds_of(const run *r, size_t unit)
{
    return mtmi_trim_bounds_of(mtm_rig_unit(r->rig, unit)->fixture);
}

/* The most each unit gives on the target; the least of them is what all can give. */
static mtm_result find_most(run *r, size_t place, mtm_error *error)
{
    const mtm_output all = {.type = MTM_OUTPUT_MAX};
    mtm_trim_unit *one = &r->trim->units[place];
    const mtm_unit_model *model = model_of(r, one->unit);
    const struct mtmi_trim_bounds bounds = bounds_of(r, one->unit);
    mtm_xy target = r->request->target;
    mtmi_settled settled;

    mtm_result result =
        mtmi_trim_near(model, &bounds, target, &r->trim->recipe[place], all, &settled, error);
    one->most = result == MTM_OK ? settled.xyz.y : 0;
    if (result == MTM_OK)
        result = mtmi_trim_solve(model, &bounds, target, all, &settled, error);
    one->most_own = result == MTM_OK ? fmax(settled.xyz.y, one->most) : 0;
    for (int k = 0; k < 2 && result == MTM_OK; k++) {
        result =
            mtmi_trim_most_within(model, &bounds, target, (k + 1) * r->trim->summary.tolerance_uv,
                                  &one->most_within[k], error);
        /* the tolerance never takes light away */
        one->most_within[k] = fmax(one->most_within[k], one->most_own);
    }
    return result;
}

/* The output of the round before, where every unit still holds it. */
static void keep_output(run *r, double least)
{
    mtm_trim_summary *summary = &r->trim->summary;
    double then = mtmi_round_output(r->then, r->request);

    summary->output_kept = then > 0 && least >= then * (1 - mtmi_round_slack(r->meter, 2));
    if (summary->output_kept)
        summary->output = then;
}

static void find_common(run *r)
{
    mtm_trim_summary *summary = &r->trim->summary;
    double least = INFINITY;
    double second = INFINITY;

    summary->output_own = summary->output_within[0] = summary->output_within[1] = INFINITY;
    for (size_t i = 0; i < r->trim->count; i++) {
        const mtm_trim_unit *one = &r->trim->units[i];
        summary->output_own = fmin(summary->output_own, one->most_own);
        for (int k = 0; k < 2; k++)
            summary->output_within[k] = fmin(summary->output_within[k], one->most_within[k]);
        if (mtmi_exceeds(least, one->most)) {
            second = least;
            least = one->most;
            summary->limits = i;
        } else {
            second = fmin(second, one->most);
        }
    }
    summary->scale = mtm_calibration_scale(r->calibration, r->trim->units[summary->limits].unit);
    summary->without_limiting = isfinite(second) ? second : 0;
    summary->asked = least;
    if (r->request->output.type == MTM_OUTPUT_LM)
        summary->asked = r->request->output.value;
    if (r->request->output.type == MTM_OUTPUT_SHARE)
        summary->asked = least * r->request->output.value;
    /* beyond the weakest unit the output would not be common any more */
    summary->output = fmin(summary->asked, least);
    keep_output(r, least);
}

/* Codes by the light that they really give: the unit's own emitters as they are at these levels. A
 * later round keeps the dimmer where it was, or all codes would jump; dimmer 0: it is free. */
static mtm_result choose_codes(run *r, mtm_trim_unit *one, const double *level, unsigned dimmer,
                               mtm_error *error)
{
    mtm_fixture *own = NULL;
    mtm_coder *coder = NULL;
    const char *mode = mtm_rig_unit(r->rig, one->unit)->mode->name;

    mtm_result result = mtmi_calibration_own_fixture(r->calibration, one->unit, level, &own, error);
    if (result != MTM_OK)
        return result;
    result = mtm_coder_create(own, mtm_fixture_find_mode(own, mode), MTM_OBSERVER_2, &coder, error);
    if (result == MTM_OK) {
        if (dimmer == 0 || !mtmi_coder_round_at(coder, level, dimmer, &one->codes))
            mtm_coder_round(coder, level, &one->codes);
        mtm_coder_levels(coder, &one->codes, one->level);
    }
    mtm_coder_free(coder);
    mtm_fixture_free(own);
    return result;
}

/* Levels of codes that were sent. */
static void levels_of(const run *r, const mtm_reading *reading, double *level)
{
    mtm_unit_model_levels(model_of(r, reading->unit), reading->code, reading->dimmer, level);
}

/* Codes that stay: read and proven inside at the output that is kept, or not read since. */
static bool leave_alone(run *r, mtm_trim_unit *one)
{
    const mtm_reading *reading = mtmi_round_reading(r->last, one->unit);
    double output = r->trim->summary.output;

    if (!r->goes_on || !r->trim->summary.output_kept)
        return false;
    if (reading == NULL) {
        one->left_alone = mtm_calibration_trim(r->calibration, one->unit, NULL) != NULL;
        return one->left_alone;
    }
    if (one->before.verdict != MTM_VERDICT_INSIDE ||
        fabs(one->before.xyz.y / output - 1) > mtmi_round_slack(r->meter, 1))
        return false;
    one->left_alone = true;
    one->codes = mtmi_round_codes(reading, mtm_rig_unit(r->rig, one->unit));
    levels_of(r, reading, one->level);
    return true;
}

static mtm_result trim_unit(run *r, mtm_trim_unit *one, mtm_error *error)
{
    const mtm_output output = {.type = MTM_OUTPUT_LM, .value = r->trim->summary.output};
    size_t place = (size_t)(one - r->trim->units);
    const struct mtmi_trim_bounds bounds = bounds_of(r, one->unit);
    mtmi_settled settled;

    mtm_result result = mtmi_trim_near(model_of(r, one->unit), &bounds, r->request->target,
                                       &r->trim->recipe[place], output, &settled, error);
    if (result != MTM_OK)
        return result;
    one->rounds = settled.rounds;
    one->settled = settled.settled;
    one->shortfall = settled.shortfall;
    if (leave_alone(r, one) && one->before.measured) {
        one->after = one->before; /* what was read is better known than what is predicted */
    } else {
        const double *level =
            one->left_alone ? mtm_calibration_trim(r->calibration, one->unit, NULL) : settled.level;
        result = choose_codes(
            r, one, level,
            r->goes_on ? mtmi_round_dimmer(r->calibration, r->last, one->unit, r->rig) : 0, error);
        if (result == MTM_OK)
            mtmi_assess_codes(&r->criteria, one->unit, &one->codes, &one->after);
    }
    if (result != MTM_OK)
        return result;
    for (size_t i = 0; i < model_of(r, one->unit)->count; i++)
        one->factor[i] = mtm_curve_code(model_of(r, one->unit)->emitter[i].curve, one->level[i]);
    one->gamut_uv = one->codes_uv = 0;
    if (!one->left_alone && settled.xyz.y > 0 && one->after.xyz.y > 0) {
        mtm_uv aimed = mtm_uv_from_xyz(settled.xyz);
        one->gamut_uv = mtm_uv_distance(aimed, r->target);
        one->codes_uv = mtm_uv_distance(mtm_uv_from_xyz(one->after.xyz), aimed);
    }
    if (one->after.delta_uv > r->trim->summary.tolerance_uv)
        r->trim->summary.outside++;
    return MTM_OK;
}

static void before_as_read(const run *r, const mtm_reading *reading, mtm_trim_state *state)
{
    double known = mtm_calibration_scale(r->calibration, reading->unit);
    double scale = known > 0 ? known : 1;
    mtm_xyz dark = mtmi_readings_dark(r->last, reading->unit);
    mtm_xyz xyz = {fmax(0, reading->xyz.x - dark.x) / scale,
                   fmax(0, reading->xyz.y - dark.y) / scale,
                   fmax(0, reading->xyz.z - dark.z) / scale};

    mtmi_assess_reading(&r->criteria, reading->unit, xyz, state);
}

/* What the fixture file's own codes for this white make of the unit as it is. */
static mtm_result before_by_file(run *r, mtm_trim_unit *one, mtm_error *error)
{
    const mtm_unit *unit = mtm_rig_unit(r->rig, one->unit);
    mtm_solver *solver = NULL;
    mtm_coder *coder = NULL;
    mtm_codes codes;
    mtm_answer answer;

    mtm_result result = mtm_solver_create_for(unit->fixture, MTM_OBSERVER_2, &solver, error);
    if (result == MTM_OK)
        result = mtm_solver_solve(solver, &(mtm_request){.xy = r->request->target}, &answer, error);
    if (result == MTM_OK)
        result = mtm_coder_create(unit->fixture, unit->mode, MTM_OBSERVER_2, &coder, error);
    if (result != MTM_OK)
        goto done;
    mtm_coder_round(coder, answer.level, &codes);
    mtmi_assess_codes(&r->criteria, one->unit, &codes, &one->before);
done:
    mtm_coder_free(coder);
    mtm_solver_free(solver);
    return result;
}

static mtm_result find_before(run *r, mtm_trim_unit *one, mtm_error *error)
{
    const mtm_reading *reading = mtmi_round_reading(r->last, one->unit);

    if (reading == NULL)
        return before_by_file(r, one, error);
    before_as_read(r, reading, &one->before);
    return MTM_OK;
}

/* A later round stays near what was read, or what was trimmed to. */
static void find_anchor(const run *r, const mtm_trim_unit *one, mtmi_recipe *recipe)
{
    const mtm_reading *reading = mtmi_round_reading(r->last, one->unit);
    double level[MTM_EMITTERS_MAX] = {0};

    if (!r->goes_on || (reading != NULL && one->before.delta_uv > ANCHOR_UV))
        return;
    if (reading != NULL)
        levels_of(r, reading, level);
    mtmi_round_anchor(r->calibration, one->unit, reading != NULL ? level : NULL, recipe);
}

static mtm_result run_all(run *r, mtm_error *error)
{
    mtm_trim *trim = r->trim;
    mtm_result result = MTM_OK;

    for (size_t i = 0; i < trim->count && result == MTM_OK; i++)
        result = find_before(r, &trim->units[i], error);
    if (result == MTM_OK)
        result = mtmi_trim_recipes(r->calibration, r->rig, r->request, trim->units, trim->count,
                                   trim->recipe, error);
    for (size_t i = 0; i < trim->count && result == MTM_OK; i++)
        find_anchor(r, &trim->units[i], &trim->recipe[i]);
    for (size_t i = 0; i < trim->count && result == MTM_OK; i++)
        result = find_most(r, i, error);
    if (result != MTM_OK)
        return result;
    find_common(r);
    if (!(trim->summary.output > 0))
        return mtmi_fail(error, MTM_RANGE, "unit \"%.60s\" gives no light on this white",
                         mtm_rig_unit(r->rig, trim->units[trim->summary.limits].unit)->name);
    for (size_t i = 0; i < trim->count && result == MTM_OK; i++)
        result = trim_unit(r, &trim->units[i], error);
    for (size_t i = 0; i < trim->count; i++)
        trim->summary.provable_uv =
            fmax(trim->summary.provable_uv, mtmi_assess_provable(&r->criteria, &trim->units[i]));
    trim->aim = mtmi_round_aim(r->request, trim->summary.output);
    if (result == MTM_OK)
        result = mtmi_trim_agreement(trim->units, trim->count, r->calibration, r->rig,
                                     &trim->summary, error);
    if (result == MTM_OK)
        result = mtmi_trim_factors(trim->units, trim->count, r->rig, error);
    return result;
}

/* What follows from the white. */
static void set_target(run *r, mtm_uv asked)
{
    mtm_trim *trim = r->trim;

    r->target = mtm_uv_from_xy(r->request->target);
    r->goes_on = mtmi_round_goes_on(r->then, r->request);
    trim->summary = (mtm_trim_summary){.target = r->target,
                                       .together_uv = mtm_uv_distance(r->target, asked),
                                       .tolerance_uv = r->request->steps * MTM_STEP_UV};
    r->criteria = (mtmi_trim_criteria){.calibration = r->calibration,
                                       .rig = r->rig,
                                       .meter = r->meter,
                                       .target = r->target,
                                       .tolerance_uv = trim->summary.tolerance_uv};
}

mtm_result mtm_trim_run(const mtm_calibration *calibration, const mtm_rig *rig,
                        const mtm_readings *last, const mtm_meter *meter,
                        const mtm_trim_request *request, mtm_trim **out, mtm_error *error)
{
    mtm_trim_request stated; /* with the white that was found */
    run r = {
        .calibration = calibration, .rig = rig, .last = last, .meter = meter, .request = &stated};

    if (calibration == NULL || rig == NULL || request == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a trim needs a calibration, a rig and a request");
    if (calibration->rig != rig || (last != NULL && last->rig != rig))
        return mtmi_fail(error, MTM_INVALID,
                         "calibration, rig and last readings are not of one rig");
    mtm_result result = mtmi_trim_check_request(request, error);
    if (result == MTM_OK && meter != NULL)
        result = mtmi_check_meter(meter, error);
    if (result != MTM_OK)
        return result;
    size_t units = mtm_rig_unit_count(rig);
    mtm_trim *trim = calloc(1, sizeof *trim);
    if (trim == NULL)
        return mtmi_fail_memory(error);
    trim->units = calloc(units + 1, sizeof *trim->units);
    trim->recipe = calloc(units + 1, sizeof *trim->recipe);
    if (trim->units == NULL || trim->recipe == NULL) {
        mtm_trim_free(trim);
        return mtmi_fail_memory(error);
    }
    r.trim = trim;
    trim->rig = rig;
    for (size_t i = 0; i < units; i++) {
        if (mtm_calibration_unit(calibration, i)->calibrated &&
            (request->meant == NULL || request->meant[i]))
            trim->units[trim->count++].unit = i;
    }
    if (trim->count == 0)
        result = mtmi_fail(error, MTM_UNSUPPORTED, "no unit %s is calibrated",
                           request->meant != NULL ? "that is chosen" : "of the rig");
    r.then = mtmi_round_then(calibration, request, trim->units, trim->count);
    if (result == MTM_OK)
        result = mtmi_trim_state_request(calibration, rig, request, trim->units, trim->count,
                                         r.then, &stated, error);
    if (result == MTM_OK) {
        set_target(&r, mtm_uv_from_xy(request->target));
        result = run_all(&r, error);
    }
    if (result == MTM_OK) {
        *out = trim;
        trim = NULL;
    }
    mtm_trim_free(trim);
    return result;
}

void mtm_trim_store(const mtm_trim *trim, mtm_calibration *calibration)
{
    if (trim == NULL || calibration == NULL)
        return;
    for (size_t i = 0; i < trim->count; i++) {
        const mtm_trim_unit *one = &trim->units[i];
        int bits = mtm_rig_unit(trim->rig, one->unit)->mode->dimmer_bits;
        mtm_calibration_set_trim(calibration, one->unit, one->level,
                                 bits > 0 ? one->codes.dimmer / mtmi_code_max(bits) : 0);
        mtm_calibration_set_aim(calibration, one->unit, &trim->aim);
    }
}
