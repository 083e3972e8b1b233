/* SPDX-License-Identifier: MIT */
/* Trim output: a trim, or what became of units, as JSON. */
#include "cli/match/match_out.h"
#include "cli/out/json.h"
#include "cli/out/slots.h"
#include "cli/trim/trim_report.h"

#include <metamer/tolerance.h>

#include <math.h>

static void json_state(cJSON *parent, const char *key, const mtm_trim_state *state)
{
    cJSON *object = json_add_object(parent, key);
    mtm_xy xy = mtm_xy_from_xyz(state->xyz);

    json_add_bool(object, "measured", state->measured);
    json_add_xy(object, xy, 6);
    json_add_number(object, "flux_lm", state->xyz.y, 3);
    json_add_number(object, "delta_uv", state->delta_uv, 6);
    json_add_number(object, "steps", state->delta_uv / MTM_STEP_UV, 3);
    json_add_number(object, "cct_k", state->cct_k, 1);
    json_add_number(object, "duv", state->duv, 6);
    json_add_number(object, "expanded_uncertainty",
                    state->expanded_uv > 0 ? state->expanded_uv : NAN, 6);
    json_add_text(object, "verdict", mtm_verdict_text(state->verdict));
    json_add_text(object, "most_in_doubt", mtm_doubt_text(state->chief));
}

static cJSON *json_root(const struct trim_report *report)
{
    cJSON *root = cJSON_CreateObject();

    json_add_text(root, "rig", mtm_rig_name(report->rig));
    (void)json_add_target(root, report->target);
    json_add_text(root, "goal", match_goal_name(report->goal));
    json_add_number(root, "tolerance_steps", report->steps, 3);
    json_add_number(root, "tolerance_delta_uv", report->steps * MTM_STEP_UV, 6);
    cJSON *meter = json_add_object(root, "meter");
    json_add_text(meter, "name", report->meter->name);
    json_add_text(meter, "certificate", report->meter->certificate);
    json_add_number(meter, "xy", report->meter->xy > 0 ? report->meter->xy : NAN, 6);
    json_add_number(meter, "output", report->meter->output > 0 ? report->meter->output : NAN, 6);
    return root;
}

static void json_residuals(cJSON *root, const struct trim_report *report)
{
    cJSON *list = json_add_array(root, "residuals");

    for (size_t i = 0; i < mtm_calibration_residual_count(report->calibration); i++) {
        const mtm_residual *one = mtm_calibration_residual(report->calibration, i);
        const mtm_reading *reading = mtm_readings_at(report->readings, one->reading);
        cJSON *object = json_append_object(list);
        json_add_text(object, "unit", trim_unit_of(report, reading->unit)->name);
        json_add_number(object, "line", (double)reading->line, 0);
        json_add_number(object, "delta_uv", one->delta_uv, 6);
        json_add_number(object, "output_error", one->output_error, 5);
        json_add_number(object, "score", one->score, 2);
        json_add_bool(object, "left_out", one->disagrees);
    }
}

static void json_not_read(cJSON *root, const struct trim_report *report)
{
    cJSON *list = json_add_array(root, "not_read");

    for (size_t i = 0; i < mtm_rig_unit_count(report->rig); i++) {
        if (trim_not_read(report, i))
            json_append_text(list, trim_unit_of(report, i)->name);
    }
}

static void json_assumed(cJSON *root, const mtm_assumed *assumed)
{
    cJSON *object = json_add_object(root, "assumed");

    for (size_t i = 0; i < MTM_ASSUMED_COUNT; i++)
        json_add_number(object, mtm_assumed_row_at(i)->name, assumed->value[i], 6);
}

static void json_units(cJSON *root, const struct trim_report *report)
{
    cJSON *units = json_add_array(root, "units");

    for (size_t i = 0; i < trim_rows(report); i++) {
        const mtm_trim_unit *one = trim_row(report, i);
        const mtm_unit *unit = trim_unit_of(report, one->unit);
        cJSON *object = json_append_object(units);
        json_add_text(object, "name", unit->name);
        if (report->alike != MTM_ALIKE_ALL)
            json_add_text(object, "alike_with", trim_set_of(report, i, NULL)->name);
        json_state(object, "before", &one->before);
        json_state(object, "after", &one->after);
        char why[MATCH_REASON_ROOM];
        trim_reason(report, one, why, sizeof why);
        json_add_text(object, "reason", why[0] != '\0' ? why : NULL);
        json_add_number(object, "delta_uv_gamut", one->gamut_uv, 6);
        json_add_number(object, "delta_uv_codes", one->codes_uv, 6);
        json_add_codes(object, unit, &one->codes, false);
        json_add_by_emitter(object, "levels", unit->fixture, one->level, 6);
        json_add_by_emitter(object, "factors", unit->fixture, one->factor, 6);
        json_add_slots(object, unit, &one->codes);
        json_add_number(object, "most_flux_lm", one->most, 3);
        json_add_number(object, "headroom_lost",
                        one->most > 0 ? fmax(0, 1 - one->after.xyz.y / one->most) : NAN, 5);
        json_add_bool(object, "settled", one->settled);
    }
}

/* What holds for a set: its white, */
static void json_white(cJSON *root, const struct trim_set *set)
{
    mtm_trim_summary summary = mtm_trim_summarise(set->trim);

    json_add_xy(json_add_object(root, "common_white"), mtm_xy_from_uv(summary.target), 6);
    json_add_number(root, "common_white_delta_uv", summary.together_uv, 6);
}

/* and its output. */
static void json_output(cJSON *root, const struct trim_report *report, const struct trim_set *set)
{
    mtm_trim_summary summary = mtm_trim_summarise(set->trim);

    json_add_number(root, "flux_lm", summary.output, 3);
    json_add_number(root, "asked_flux_lm", summary.asked, 3);
    json_add_bool(root, "output_kept", summary.output_kept);
    json_add_number(root, "output_by_mixes_of_their_own_lm", summary.output_own, 3);
    json_add_number(root, "apart_in_kind_delta_uv", summary.apart_uv[MTM_OBSERVER_2], 6);
    json_add_number(root, "apart_in_kind_delta_uv_10", summary.apart_uv[MTM_OBSERVER_10], 6);
    json_add_number(root, "output_on_meter", summary.output * summary.scale, 4);
    json_add_text(root, "limits",
                  trim_unit_of(report, mtm_trim_at(set->trim, summary.limits)->unit)->name);
    json_add_number(root, "without_limiting_flux_lm",
                    summary.without_limiting > 0 ? summary.without_limiting : NAN, 3);
    json_add_number(root, "within_tolerance_flux_lm", summary.output_within[0], 3);
    json_add_number(root, "within_twice_tolerance_flux_lm", summary.output_within[1], 3);
}

static void json_sets(cJSON *root, const struct trim_report *report)
{
    cJSON *list = json_add_array(root, "sets");

    for (size_t i = 0; i < report->sets.count; i++) {
        const struct trim_set *set = &report->sets.set[i];
        cJSON *object = json_append_object(list);
        json_add_text(object, "name", set->name);
        json_white(object, set);
        json_output(object, report, set);
    }
}

static void add_trim(cJSON *root, const struct trim_report *report)
{
    const double provable_uv = trim_provable_uv(report);

    json_add_text(root, "alike", mtm_alike_at(report->alike)->name);
    if (report->alike == MTM_ALIKE_ALL)
        json_white(root, &report->sets.set[0]);
    json_units(root, report);
    json_add_number(root, "provable_steps", provable_uv > 0 ? provable_uv / MTM_STEP_UV : NAN, 3);
    json_assumed(root, mtm_readings_assumed(report->readings));
    if (report->alike == MTM_ALIKE_ALL)
        json_output(root, report, &report->sets.set[0]);
    else
        json_sets(root, report);
    json_not_read(root, report);
    json_residuals(root, report);
}

static void add_moved(cJSON *root, const struct trim_report *report)
{
    cJSON *units = json_add_array(root, "units");

    for (size_t i = 0; i < report->moved_count; i++) {
        const mtm_moved *one = &report->moved[i];
        const mtm_fixture *fixture = trim_unit_of(report, one->unit)->fixture;
        cJSON *object = json_append_object(units);
        json_add_text(object, "name", trim_unit_of(report, one->unit)->name);
        json_add_number(object, "delta_uv", one->delta_uv, 6);
        json_add_number(object, "output", one->output, 5);
        json_add_number(object, "most_then_flux_lm", one->old_most, 3);
        json_add_number(object, "most_now_flux_lm", one->new_most, 3);
        cJSON *emitters = json_add_object(object, "emitters");
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
            cJSON *emitter = json_add_object(emitters, mtm_fixture_emitter(fixture, k)->name);
            json_add_number(emitter, "delta_uv", one->emitter_uv[k], 6);
            json_add_number(emitter, "output", one->emitter_output[k], 5);
        }
    }
    json_add_number(root, "then_flux_lm", report->old_output, 3);
    json_add_number(root, "left_flux_lm", report->new_output, 3);
}

cJSON *trim_write_json(const void *data)
{
    const struct trim_report *report = data;
    cJSON *root = json_root(report);

    if (report->moved != NULL)
        add_moved(root, report);
    else
        add_trim(root, report);
    return root;
}
