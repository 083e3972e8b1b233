/* SPDX-License-Identifier: MIT */
/* Trim output: a trim, or what became of units, as a table, as JSON or as CSV. */
#include "cli/trim/trim_out.h"

#include "base/number.h"
#include "cli/match/match_out.h"
#include "cli/out/json.h"
#include "cli/out/text.h"

#include <metamer/tolerance.h>

#include <math.h>

/* Units without a reading that the table names; JSON has them all. */
#define NOT_READ_NAMED 40

static const mtm_unit *unit_of(const struct trim_report *report, size_t unit)
{
    return mtm_rig_unit(report->rig, unit);
}

static int name_width(const struct trim_report *report)
{
    int width = 4;

    for (size_t i = 0; i < mtm_rig_unit_count(report->rig); i++) {
        int letters = text_width(unit_of(report, i)->name);
        width = letters > width ? letters : width;
    }
    return width < 32 ? width : 32;
}

static double percent(double part, double whole)
{
    return whole > 0 ? 100 * (part / whole - 1) : 0;
}

/* The table. */

static void write_heading(const struct trim_report *report, size_t count, FILE *out)
{
    (void)fprintf(out, "%s, %zu unit%s, target %s, tolerance %g steps (Δu'v' %.4f), goal %s\n",
                  mtm_rig_name(report->rig), count, count == 1 ? "" : "s",
                  report->target->description, report->steps, report->steps * MTM_STEP_UV,
                  match_goal_name(report->goal));
    const mtm_meter *meter = report->meter;
    (void)fprintf(out, "Meter%s%s: ", meter->name[0] != '\0' ? " " : "", meter->name);
    if (meter->xy > 0)
        (void)fprintf(out, "x, y ±%.4f, output ±%.1f %% (k = 2)\n\n", meter->xy,
                      100 * meter->output);
    else
        (void)fprintf(out, "its uncertainty is not stated, so nothing can be proved with it\n\n");
}

static void write_duv(double duv, FILE *out)
{
    if (isfinite(duv))
        (void)fprintf(out, "  %+.4f", fabs(duv) < 5e-5 ? 0 : duv);
    else
        (void)fprintf(out, "  %7s", "-");
}

static void write_state(const mtm_trim_state *state, FILE *out)
{
    (void)fprintf(out, "  %.4f  %5.1f", state->delta_uv, state->delta_uv / MTM_STEP_UV);
    write_duv(state->duv, out);
}

static void write_uncertainty(const mtm_trim_state *state, FILE *out)
{
    if (state->expanded_uv > 0)
        (void)fprintf(out, "  ±%.4f", state->expanded_uv);
    else
        (void)fprintf(out, "  %7s", "-");
}

static const char *verdict_cell(const mtm_trim_state *state)
{
    /* where the meter's uncertainty is not stated, the heading says so */
    return state->verdict == MTM_VERDICT_UNSTATED ? "-" : mtm_verdict_text(state->verdict);
}

static bool was_read(const struct trim_report *report)
{
    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        if (mtm_trim_at(report->trim, i)->before.measured)
            return true;
    }
    return false;
}

static void write_units(const struct trim_report *report, int width, FILE *out)
{
    bool read = was_read(report);

    (void)fprintf(out, "%-*s  %-22s  %-32s  Output  Headroom  Verdict\n", width, "",
                  read ? "Before (as read)" : "Before (untrimmed)", "After (predicted)");
    (void)fprintf(out,
                  "%-*s   Δu'v'  Steps      Duv   Δu'v'  Steps      Duv       ±U       lm   lost\n",
                  width, "Unit");
    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        text_put(unit_of(report, one->unit)->name, width, out);
        if (read && !one->before.measured)
            (void)fprintf(out, "  %6s  %5s  %7s", "-", "-", "-");
        else
            write_state(&one->before, out);
        write_state(&one->after, out);
        write_uncertainty(&one->after, out);
        (void)fprintf(out, "  %6.0f  %5.1f %%   %s\n", one->after.xyz.y,
                      one->most > 0 ? fmax(0, 100 * (1 - one->after.xyz.y / one->most)) : 0,
                      verdict_cell(&one->after));
    }
}

static void write_proof(const struct trim_report *report, int width, FILE *out)
{
    if (!was_read(report))
        return;
    (void)fprintf(out, "\n%-*s  As read now: Δu'v'   Steps       ±U   Verdict\n", width, "Unit");
    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        if (!one->before.measured)
            continue;
        text_put(unit_of(report, one->unit)->name, width, out);
        (void)fprintf(out, "             %.4f  %6.1f", one->before.delta_uv,
                      one->before.delta_uv / MTM_STEP_UV);
        write_uncertainty(&one->before, out);
        (void)fprintf(out, "  %s\n", verdict_cell(&one->before));
    }
}

/* What ±U means, and what this meter is good for. */
static void write_coverage(const struct trim_report *report, FILE *out)
{
    mtm_trim_summary summary = mtm_trim_summarise(report->trim);

    if (!(report->meter->xy > 0))
        return;
    (void)fprintf(
        out,
        "\n±U: expanded uncertainty of Δu'v' (k = 2): the meter, and what no reading told "
        "of curves, drift and droop.\n"
        "The smallest tolerance that this meter can prove is %.1f steps (Δu'v' %.4f).\n",
        summary.provable_uv / MTM_STEP_UV, summary.provable_uv);
}

static void write_codes(const struct trim_report *report, int width, FILE *out)
{
    (void)fprintf(out, "\n%-*s  Universe  Address  Slot values, in order\n", width, "Unit");
    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        const mtm_unit *unit = unit_of(report, one->unit);
        uint8_t slot[MTM_ADDRESS_MAX];
        text_put(unit->name, width, out);
        if (unit->address > 0)
            (void)fprintf(out, "  %8d  %7d ", unit->universe, unit->address);
        else
            (void)fprintf(out, "  %8s  %7s ", "open", "open");
        mtm_codes_to_slots(unit->mode, &one->codes, slot);
        for (size_t k = 0; k < unit->mode->slot_count; k++)
            (void)fprintf(out, " %3d", slot[k]);
        (void)fputc('\n', out);
    }
}

static void write_factors(const struct trim_report *report, int width, FILE *out)
{
    (void)fprintf(out, "\n%-*s  Emitter factors, for consoles that scale codes by unit\n", width,
                  "Unit");
    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        const mtm_fixture *fixture = unit_of(report, one->unit)->fixture;
        text_put(unit_of(report, one->unit)->name, width, out);
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
            (void)fprintf(out, "  %s %.4f", mtm_fixture_emitter(fixture, k)->name, one->factor[k]);
        (void)fputc('\n', out);
    }
}

static size_t count_verdict(const struct trim_report *report, mtm_verdict verdict)
{
    size_t count = 0;

    for (size_t i = 0; i < mtm_trim_count(report->trim); i++)
        count += mtm_trim_at(report->trim, i)->after.verdict == verdict ? 1 : 0;
    return count;
}

static void sentence_fit(const struct trim_report *report, FILE *out)
{
    const mtm_residual *worst = NULL;

    for (size_t i = 0; i < mtm_calibration_residual_count(report->calibration); i++) {
        const mtm_residual *one = mtm_calibration_residual(report->calibration, i);
        if (worst == NULL || mtmi_exceeds(one->delta_uv, worst->delta_uv))
            worst = one;
    }
    if (worst == NULL)
        return;
    const mtm_reading *reading = mtm_readings_at(report->readings, worst->reading);
    (void)fprintf(out,
                  "The model misses the readings by Δu'v' %.4f at most: %s, reading at line %zu "
                  "(output %+.1f %%)%s.\n",
                  worst->delta_uv, unit_of(report, reading->unit)->name, reading->line,
                  100 * worst->output_error, worst->disagrees ? "; it was left out" : "");
}

/* Units that no reading speaks of are left as they are, and that must not be overlooked. */
static void sentence_not_read(const struct trim_report *report, FILE *out)
{
    size_t units = mtm_rig_unit_count(report->rig);
    size_t left = units - mtm_trim_count(report->trim);
    size_t named = 0;

    if (left == 0)
        return;
    for (size_t i = 0; i < units && named < NOT_READ_NAMED; i++) {
        if (mtm_calibration_unit(report->calibration, i)->calibrated)
            continue;
        (void)fprintf(out, "%s%s", named == 0 ? "Not read, so not trimmed: " : ", ",
                      unit_of(report, i)->name);
        named++;
    }
    if (left > named)
        (void)fprintf(out, " and %zu more", left - named);
    (void)fprintf(out, ".\n");
}

/* Why a unit is off the target: "" where it is not. */
static void reason_of(const mtm_trim_unit *one, char *text, size_t room)
{
    text[0] = '\0';
    if (one->after.delta_uv > MATCH_ON_TARGET_UV)
        match_add_colour_causes("target outside its gamut", one->gamut_uv, "steps of its codes",
                                one->codes_uv, text, room);
}

static void sentence_verdicts(const struct trim_report *report, FILE *out)
{
    size_t inside = count_verdict(report, MTM_VERDICT_INSIDE);
    size_t outside = count_verdict(report, MTM_VERDICT_OUTSIDE);
    size_t open = count_verdict(report, MTM_VERDICT_OPEN);

    if (report->meter->xy > 0)
        (void)fprintf(out,
                      "After trimming, %zu inside the tolerance, %zu outside, %zu to be measured, "
                      "%zu cannot be told with this meter.\n",
                      inside, outside, count_verdict(report, MTM_VERDICT_TO_MEASURE), open);
    trim_say_to_measure(report, out);
    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        char why[MATCH_REASON_ROOM];
        reason_of(one, why, sizeof why);
        if (one->after.delta_uv > report->steps * MTM_STEP_UV)
            (void)fprintf(out, "%s is predicted beyond the tolerance: %s.\n",
                          unit_of(report, one->unit)->name, why);
    }
}

static mtm_result table_trim(const struct trim_report *report, FILE *out, mtm_error *error)
{
    int width = name_width(report);

    (void)error;
    write_heading(report, mtm_trim_count(report->trim), out);
    write_units(report, width, out);
    write_proof(report, width, out);
    write_coverage(report, out);
    write_codes(report, width, out);
    write_factors(report, width, out);
    trim_say_output(report, out);
    trim_say_agreement(report, out);
    trim_say_kept(report, out);
    sentence_fit(report, out);
    sentence_verdicts(report, out);
    sentence_not_read(report, out);
    return MTM_OK;
}

static mtm_result table_moved(const struct trim_report *report, FILE *out, mtm_error *error)
{
    int width = name_width(report);

    (void)error;
    write_heading(report, report->moved_count, out);
    (void)fprintf(out, "%-*s  Moved   Steps  Output  Most then   now  Emitters' output\n", width,
                  "Unit");
    (void)fprintf(out, "%-*s  Δu'v'           now/then       lm    lm  now/then\n", width, "");
    for (size_t i = 0; i < report->moved_count; i++) {
        const mtm_moved *one = &report->moved[i];
        const mtm_fixture *fixture = unit_of(report, one->unit)->fixture;
        text_put(unit_of(report, one->unit)->name, width, out);
        (void)fprintf(out, "  %.4f  %5.1f  %5.1f %%  %8.0f  %4.0f", one->delta_uv,
                      one->delta_uv / MTM_STEP_UV, 100 * one->output, one->old_most, one->new_most);
        for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
            (void)fprintf(out, "  %s %.2f", mtm_fixture_emitter(fixture, k)->name,
                          one->emitter_output[k]);
        (void)fputc('\n', out);
    }
    (void)fprintf(out,
                  "\nIf all are to match again, %.0f lm are left of %.0f lm (%+.1f %%). This holds "
                  "if the meter stood as it did then.\n",
                  report->new_output, report->old_output,
                  percent(report->new_output, report->old_output));
    return MTM_OK;
}

/* JSON. */

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
}

static void json_codes(cJSON *object, const mtm_unit *unit, const mtm_trim_unit *one)
{
    cJSON *codes = json_add_object(object, "codes");
    cJSON *levels = json_add_object(object, "levels");
    cJSON *factors = json_add_object(object, "factors");
    cJSON *slots = json_add_array(object, "slots");
    uint8_t slot[MTM_ADDRESS_MAX];

    if (unit->mode->dimmer_bits > 0)
        json_add_number(codes, "dimmer", one->codes.dimmer, 0);
    for (size_t k = 0; k < mtm_fixture_emitter_count(unit->fixture); k++) {
        const char *name = mtm_fixture_emitter(unit->fixture, k)->name;
        json_add_number(codes, name, one->codes.emitter[k], 0);
        json_add_number(levels, name, one->level[k], 6);
        json_add_number(factors, name, one->factor[k], 6);
    }
    mtm_codes_to_slots(unit->mode, &one->codes, slot);
    for (size_t k = 0; k < unit->mode->slot_count; k++)
        json_append_number(slots, slot[k], 0);
}

static cJSON *json_root(const struct trim_report *report)
{
    cJSON *root = cJSON_CreateObject();
    mtm_uv uv = mtm_uv_from_xy(report->target->xy);

    json_add_text(root, "rig", mtm_rig_name(report->rig));
    cJSON *target = json_add_object(root, "target");
    json_add_text(target, "description", report->target->description);
    json_add_xy(target, report->target->xy, 6);
    json_add_uv(target, uv, 6);
    json_add_text(root, "goal", match_goal_name(report->goal));
    json_add_number(root, "tolerance_steps", report->steps, 3);
    json_add_number(root, "tolerance_delta_uv", report->steps * MTM_STEP_UV, 6);
    cJSON *meter = json_add_object(root, "meter");
    json_add_text(meter, "name", report->meter->name);
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
        cJSON *object = cJSON_CreateObject();
        json_add_text(object, "unit", unit_of(report, reading->unit)->name);
        json_add_number(object, "line", (double)reading->line, 0);
        json_add_number(object, "delta_uv", one->delta_uv, 6);
        json_add_number(object, "output_error", one->output_error, 5);
        json_add_number(object, "score", one->score, 2);
        json_add_bool(object, "left_out", one->disagrees);
        json_append(list, object);
    }
}

static void json_not_read(cJSON *root, const struct trim_report *report)
{
    cJSON *list = json_add_array(root, "not_read");

    for (size_t i = 0; i < mtm_rig_unit_count(report->rig); i++) {
        if (!mtm_calibration_unit(report->calibration, i)->calibrated)
            json_append_text(list, unit_of(report, i)->name);
    }
}

static void json_assumed(cJSON *root, const mtm_assumed *assumed)
{
    cJSON *object = json_add_object(root, "assumed");

    for (size_t i = 0; i < MTM_ASSUMED_COUNT; i++)
        json_add_number(object, mtm_assumed_rows[i].name, assumed->value[i], 6);
}

static mtm_result json_trim(const struct trim_report *report, FILE *out, mtm_error *error)
{
    cJSON *root = json_root(report);
    mtm_trim_summary summary = mtm_trim_summarise(report->trim);
    cJSON *units = json_add_array(root, "units");

    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        cJSON *object = cJSON_CreateObject();
        json_add_text(object, "name", unit_of(report, one->unit)->name);
        json_state(object, "before", &one->before);
        json_state(object, "after", &one->after);
        char why[MATCH_REASON_ROOM];
        reason_of(one, why, sizeof why);
        json_add_text(object, "reason", why[0] != '\0' ? why : NULL);
        json_add_number(object, "delta_uv_gamut", one->gamut_uv, 6);
        json_add_number(object, "delta_uv_codes", one->codes_uv, 6);
        json_codes(object, unit_of(report, one->unit), one);
        json_add_number(object, "most_flux_lm", one->most, 3);
        json_add_number(object, "headroom_lost",
                        one->most > 0 ? fmax(0, 1 - one->after.xyz.y / one->most) : NAN, 5);
        json_add_bool(object, "settled", one->settled);
        json_append(units, object);
    }
    json_add_number(root, "provable_steps",
                    summary.provable_uv > 0 ? summary.provable_uv / MTM_STEP_UV : NAN, 3);
    json_assumed(root, mtm_readings_assumed(report->readings));
    json_add_number(root, "flux_lm", summary.output, 3);
    json_add_number(root, "asked_flux_lm", summary.asked, 3);
    json_add_bool(root, "output_kept", summary.output_kept);
    json_add_number(root, "output_by_mixes_of_their_own_lm", summary.output_own, 3);
    json_add_number(root, "apart_in_kind_delta_uv", summary.apart_uv[MTM_OBSERVER_2], 6);
    json_add_number(root, "apart_in_kind_delta_uv_10", summary.apart_uv[MTM_OBSERVER_10], 6);
    json_add_number(root, "output_on_meter", summary.output * summary.scale, 4);
    json_add_text(root, "limits",
                  unit_of(report, mtm_trim_at(report->trim, summary.limits)->unit)->name);
    json_add_number(root, "without_limiting_flux_lm",
                    summary.without_limiting > 0 ? summary.without_limiting : NAN, 3);
    json_add_number(root, "within_tolerance_flux_lm", summary.output_within[0], 3);
    json_add_number(root, "within_twice_tolerance_flux_lm", summary.output_within[1], 3);
    json_not_read(root, report);
    json_residuals(root, report);
    return json_print(root, out, error);
}

static mtm_result json_moved(const struct trim_report *report, FILE *out, mtm_error *error)
{
    cJSON *root = json_root(report);
    cJSON *units = json_add_array(root, "units");

    for (size_t i = 0; i < report->moved_count; i++) {
        const mtm_moved *one = &report->moved[i];
        const mtm_fixture *fixture = unit_of(report, one->unit)->fixture;
        cJSON *object = cJSON_CreateObject();
        json_add_text(object, "name", unit_of(report, one->unit)->name);
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
        json_append(units, object);
    }
    json_add_number(root, "then_flux_lm", report->old_output, 3);
    json_add_number(root, "left_flux_lm", report->new_output, 3);
    return json_print(root, out, error);
}

/* CSV. */

static void csv_number(double value, int decimals, FILE *out)
{
    if (isfinite(value))
        (void)fprintf(out, ",%.*f", decimals, text_clean(value, decimals));
    else
        (void)fputc(',', out);
}

static void csv_state(const mtm_trim_state *state, FILE *out)
{
    mtm_xy xy = mtm_xy_from_xyz(state->xyz);

    csv_number(xy.x, 6, out);
    csv_number(xy.y, 6, out);
    csv_number(state->xyz.y, 3, out);
    csv_number(state->delta_uv, 6, out);
    csv_number(state->delta_uv / MTM_STEP_UV, 3, out);
    csv_number(state->duv, 6, out);
    csv_number(state->expanded_uv > 0 ? state->expanded_uv : NAN, 6, out);
    (void)fprintf(out, ",%s", mtm_verdict_text(state->verdict));
}

static mtm_result csv_trim(const struct trim_report *report, FILE *out, mtm_error *error)
{
    (void)error;
    (void)fprintf(out,
                  "unit,before_read,before_x,before_y,before_flux_lm,before_delta_uv,before_steps,"
                  "before_duv,before_expanded_uncertainty,before_verdict,"
                  "after_x,after_y,after_flux_lm,after_delta_uv,after_steps,after_duv,"
                  "after_expanded_uncertainty,after_verdict,most_flux_lm,reason,"
                  "slots,factors\n");
    for (size_t i = 0; i < mtm_trim_count(report->trim); i++) {
        const mtm_trim_unit *one = mtm_trim_at(report->trim, i);
        const mtm_unit *unit = unit_of(report, one->unit);
        uint8_t slot[MTM_ADDRESS_MAX];
        text_put_csv(unit->name, out);
        (void)fprintf(out, ",%s", one->before.measured ? "yes" : "no");
        csv_state(&one->before, out);
        csv_state(&one->after, out);
        csv_number(one->most, 3, out);
        char why[MATCH_REASON_ROOM];
        reason_of(one, why, sizeof why);
        (void)fputc(',', out);
        text_put_csv(why, out);
        mtm_codes_to_slots(unit->mode, &one->codes, slot);
        for (size_t k = 0; k < unit->mode->slot_count; k++)
            (void)fprintf(out, "%c%d", k == 0 ? ',' : ' ', slot[k]);
        for (size_t k = 0; k < mtm_fixture_emitter_count(unit->fixture); k++)
            (void)fprintf(out, "%c%.6f", k == 0 ? ',' : ' ', one->factor[k]);
        (void)fputc('\n', out);
    }
    return MTM_OK;
}

static mtm_result csv_moved(const struct trim_report *report, FILE *out, mtm_error *error)
{
    (void)error;
    (void)fprintf(
        out, "unit,delta_uv,steps,output,most_then_flux_lm,most_now_flux_lm,emitters_output\n");
    for (size_t i = 0; i < report->moved_count; i++) {
        const mtm_moved *one = &report->moved[i];
        size_t count = mtm_fixture_emitter_count(unit_of(report, one->unit)->fixture);
        text_put_csv(unit_of(report, one->unit)->name, out);
        csv_number(one->delta_uv, 6, out);
        csv_number(one->delta_uv / MTM_STEP_UV, 3, out);
        csv_number(one->output, 5, out);
        csv_number(one->old_most, 3, out);
        csv_number(one->new_most, 3, out);
        for (size_t k = 0; k < count; k++)
            (void)fprintf(out, "%c%.5f", k == 0 ? ',' : ' ', one->emitter_output[k]);
        (void)fputc('\n', out);
    }
    return MTM_OK;
}

const struct trim_writer trim_writers[] = {
    {"table", table_trim, table_moved},
    {"json", json_trim, json_moved},
    {"csv", csv_trim, csv_moved},
    {0},
};
