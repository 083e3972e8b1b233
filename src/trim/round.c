/* SPDX-License-Identifier: MIT */
/* Later rounds of a trim: near to what was read, and at the output that was found. */
#include "trim/round.h"

#include "calibrate/calibration.h"
#include "unit/table.h"

#include <metamer/tolerance.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The same white, and the same number. */
#define SAME_XY 1e-6
#define SAME_OUTPUT 1e-6

static const char *goal_name(mtm_goal goal)
{
    const mtm_goal_info *info = mtm_goal_at(goal);

    return info != NULL ? info->name : mtm_goal_at(0)->name; /* not said: the first */
}

mtm_trim_aim mtmi_round_aim(const mtm_trim_request *request, double output_lm)
{
    mtm_trim_aim aim = {.target = request->target, .output_lm = output_lm};

    (void)snprintf(aim.goal, sizeof aim.goal, "%s", goal_name(request->goal));
    if (request->output.type == MTM_OUTPUT_LM)
        aim.asked_lm = request->output.value;
    if (request->output.type == MTM_OUTPUT_SHARE)
        aim.asked_share = request->output.value;
    return aim;
}

const mtm_trim_aim *mtmi_round_then(const mtm_calibration *calibration,
                                    const mtm_trim_request *request, const mtm_trim_unit *units,
                                    size_t count)
{
    const mtm_trim_aim *then = NULL;

    for (size_t i = 0; i < count && request->again; i++) {
        const mtm_trim_aim *aim = mtm_calibration_aim(calibration, units[i].unit);

        if (aim == NULL)
            continue;
        if (then != NULL && !mtmi_aim_same(then, aim))
            return NULL;
        then = aim;
    }
    return then;
}

bool mtmi_round_goes_on(const mtm_trim_aim *then, const mtm_trim_request *request)
{
    return then != NULL && strcmp(then->goal, goal_name(request->goal)) == 0 &&
           fabs(then->target.x - request->target.x) <= SAME_XY &&
           fabs(then->target.y - request->target.y) <= SAME_XY;
}

static bool is_same_output(double a, double b)
{
    return fabs(a - b) <= SAME_OUTPUT * fmax(fabs(a), fabs(b));
}

double mtmi_round_output(const mtm_trim_aim *then, const mtm_trim_request *request)
{
    const mtm_trim_aim now = mtmi_round_aim(request, 0);

    if (!mtmi_round_goes_on(then, request))
        return 0;
    if (is_same_output(then->output_lm, now.asked_lm) ||
        (is_same_output(then->asked_lm, now.asked_lm) &&
         is_same_output(then->asked_share, now.asked_share)))
        return then->output_lm;
    return 0;
}

double mtmi_round_slack(const mtm_meter *meter, int readings)
{
    return meter != NULL && meter->output > 0 ? fmin(readings * meter->output, MTM_STEP_OUTPUT)
                                              : MTM_STEP_OUTPUT;
}

void mtmi_round_anchor(const mtm_calibration *calibration, size_t unit, const double *read,
                       mtmi_recipe *recipe)
{
    const mtm_unit_model *model = mtm_calibration_unit(calibration, unit);
    const double *level = read != NULL ? read : mtm_calibration_trim(calibration, unit, NULL);
    mtm_xyz xyz[MTM_EMITTERS_MAX];
    double lit = 0;

    if (level == NULL)
        return;
    mtm_unit_model_effective(model, level, xyz);
    const mtmi_recipe found = mtmi_recipe_of(xyz, level, model->count);
    for (size_t i = 0; i < model->count; i++)
        lit += found.share[i];
    if (lit > 0)
        *recipe = found;
}

mtm_codes mtmi_round_codes(const mtm_reading *reading, const mtm_unit *unit)
{
    const mtm_mode *mode = unit->mode;
    mtm_codes codes = {0};

    if (mode->dimmer_bits > 0)
        codes.dimmer = (uint32_t)lround(reading->dimmer * mtmi_code_max(mode->dimmer_bits));
    for (size_t i = 0; i < mtm_fixture_emitter_count(unit->fixture); i++)
        codes.emitter[i] =
            (uint32_t)lround(reading->code[i] * mtmi_code_max(mode->emitter_bits[i]));
    return codes;
}

const mtm_reading *mtmi_round_reading(const mtm_readings *readings, size_t unit)
{
    for (size_t i = readings != NULL ? mtm_readings_count(readings) : 0; i-- > 0;) {
        const mtm_reading *one = mtm_readings_at(readings, i);
        if (one->unit == unit && mtm_reading_emitter(one) < 0 && !mtm_reading_is_dark(one))
            return one;
    }
    return NULL;
}

unsigned mtmi_round_dimmer(const mtm_calibration *calibration, const mtm_readings *last,
                           size_t unit, const mtm_rig *rig)
{
    const mtm_reading *reading = mtmi_round_reading(last, unit);
    const mtm_unit *of = mtm_rig_unit(rig, unit);
    double dimmer = 0;

    if (of->mode->dimmer_bits == 0)
        return 0;
    if (reading != NULL)
        return mtmi_round_codes(reading, of).dimmer;
    (void)mtm_calibration_trim(calibration, unit, &dimmer);
    return (unsigned)lround(dimmer * mtmi_code_max(of->mode->dimmer_bits));
}
