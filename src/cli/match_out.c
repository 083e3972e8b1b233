/* SPDX-License-Identifier: MIT */
/* Match output: a computed match as a table, as JSON or as CSV. */
#include "cli/match_out.h"

#include "cli/json_out.h"
#include "cli/text_out.h"

#include "base/error.h"

#include <metamer/white.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* One step of a u', v' circle, as white tolerances count them (CIE TN 001:2014). */
#define STEP_UV 0.0011
/* Closer than this a unit counts as on the target: a tenth of a step. */
#define ON_TARGET_UV 0.00011

static const mtm_unit *unit_of(const struct match_report *report, const mtm_match *match)
{
    return mtm_rig_unit(report->rig, match->unit);
}

/* Light was asked for, but the codes give none. */
static bool fell_dark(const mtm_match *match)
{
    return match->ideal.xyz.y > 0 && match->xyz.y <= 0;
}

double match_worst(const struct match_report *report, size_t *index)
{
    double worst = -1;

    *index = 0;
    for (size_t i = 0; i < report->count; i++) {
        if (report->match[i].delta_uv > worst) {
            worst = report->match[i].delta_uv;
            *index = i;
        }
    }
    return worst;
}

void match_reason(const struct match_report *report, const mtm_match *match, char *text,
                  size_t room)
{
    bool common = report->together && report->common.exists;

    text[0] = '\0';
    if (fell_dark(match))
        (void)snprintf(text, room, "too little output for its codes: dark");
    else if ((match->shortfall & MTM_SHORT_GAMUT) != 0 && common)
        (void)snprintf(text, room, "at the common colour");
    else if ((match->shortfall & MTM_SHORT_GAMUT) != 0)
        (void)snprintf(text, room, "target outside its gamut");
    else if ((match->shortfall & MTM_SHORT_OUTPUT) != 0)
        (void)snprintf(text, room, "at most %.0f lm%s",
                       common ? report->common.output : match->ideal.most,
                       (match->shortfall & MTM_SHORT_POWER) != 0 ? " (power limit)" : "");
    else if (match->delta_uv > ON_TARGET_UV)
        (void)snprintf(text, room, "steps of its codes");
}

/* The largest distance between any two lit units; equal colours are looked at once. */
static double spread(const struct match_report *report)
{
    mtm_uv *seen = calloc(report->count + 1, sizeof *seen);
    size_t count = 0;
    double most = 0;

    for (size_t i = 0; seen != NULL && i < report->count; i++) {
        if (report->match[i].xyz.y <= 0)
            continue;
        mtm_uv uv = mtm_uv_from_xyz(report->match[i].xyz);
        size_t k = 0;
        while (k < count && (seen[k].u != uv.u || seen[k].v != uv.v)) {
            most = fmax(most, mtm_uv_distance(seen[k], uv));
            k++;
        }
        if (k == count)
            seen[count++] = uv;
    }
    free(seen);
    return most;
}

static void sentence_together(const struct match_report *report, FILE *out)
{
    const mtm_common *common = &report->common;
    const char *first = mtm_rig_unit(report->rig, common->apart[0])->name;
    const char *second = mtm_rig_unit(report->rig, common->apart[1])->name;

    if (!common->exists) {
        if (common->apart[0] == common->apart[1])
            (void)fprintf(out,
                          "No chromaticity is common to all: %s excludes the others taken "
                          "together.",
                          first);
        else
            (void)fprintf(out, "No chromaticity is common to all: %s and %s exclude each other.",
                          first, second);
        (void)fprintf(out, "\nEach unit was matched on its own.\n");
        return;
    }
    (void)fprintf(out, "All aim at x %.4f, y %.4f and %.0f lm; %s limits the output.\n",
                  common->xy.x, common->xy.y, common->output,
                  mtm_rig_unit(report->rig, common->limits_output)->name);
    if (common->delta_uv > ON_TARGET_UV)
        (void)fprintf(out, "%s holds the colour Δu'v' %.4f away from the target.\n",
                      mtm_rig_unit(report->rig, common->limits_colour)->name, common->delta_uv);
}

static size_t count_dark(const struct match_report *report)
{
    size_t count = 0;

    for (size_t i = 0; i < report->count; i++)
        count += fell_dark(&report->match[i]);
    return count;
}

static void sentence(const struct match_report *report, FILE *out)
{
    size_t worst_index = 0;
    double worst = match_worst(report, &worst_index);
    double apart = spread(report);
    size_t dark = count_dark(report);
    char why[96];

    if (report->together)
        sentence_together(report, out);
    if (report->count > 1)
        (void)fprintf(out,
                      "The units agree with each other within Δu'v' %.4f (%.1f steps of %.4f).\n",
                      apart, apart / STEP_UV, STEP_UV);
    match_reason(report, &report->match[worst_index], why, sizeof why);
    if (worst <= ON_TARGET_UV)
        (void)fprintf(out, "All that are lit are on the target.\n");
    else
        (void)fprintf(out, "%s is farthest from the target, by Δu'v' %.4f%s%s.\n",
                      unit_of(report, &report->match[worst_index])->name, worst,
                      why[0] != '\0' ? ": " : "", why);
    if (dark > 0)
        (void)fprintf(out, "%zu unit%s dark: the output asked for is below the first code.\n", dark,
                      dark == 1 ? " is" : "s are");
    if (report->has_tolerance)
        (void)fprintf(out, "Tolerance Δu'v' %.4f: %s.\n", report->tolerance,
                      worst > report->tolerance || dark > 0 ? "missed" : "met");
}

static void write_heading(const struct match_report *report, FILE *out)
{
    (void)fprintf(out, "%s, %zu unit%s, target %s", mtm_rig_name(report->rig), report->count,
                  report->count == 1 ? "" : "s", report->target->description);
    if (strstr(report->target->description, "x 0.") == NULL)
        (void)fprintf(out, " (x %.4f, y %.4f)", report->target->xy.x, report->target->xy.y);
    (void)fprintf(out, ", %s observer\n\n",
                  report->target->observer == MTM_OBSERVER_10 ? "10°" : "2°");
}

static int name_width(const struct match_report *report)
{
    int width = 4;

    for (size_t i = 0; i < report->count; i++) {
        int letters = text_width(unit_of(report, &report->match[i])->name);
        width = letters > width ? letters : width;
    }
    return width < 32 ? width : 32;
}

static void write_white(const struct match_report *report, const mtm_match *match, FILE *out)
{
    mtm_white white;

    /* temperature belongs to the 2 degree observer (CIE 015:2018, 9.4) */
    if (report->target->observer == MTM_OBSERVER_2 && match->xyz.y > 0 &&
        mtm_white_from_xy(match->xy, &white, NULL) == MTM_OK)
        (void)fprintf(out, "  %5.0f  %+.4f", white.cct_k, fabs(white.duv) < 5e-5 ? 0 : white.duv);
    else
        (void)fprintf(out, "  %5s  %7s", "-", "-");
}

static void write_colours(const struct match_report *report, int width, FILE *out)
{
    (void)fprintf(out,
                  "%-*s  Output   Power       x       y    CCT      Duv   Δu'v'  Why no closer\n",
                  width, "Unit");
    (void)fprintf(out, "%-*s      lm       W                      K\n", width, "");
    for (size_t i = 0; i < report->count; i++) {
        const mtm_match *match = &report->match[i];
        char why[96];
        match_reason(report, match, why, sizeof why);
        text_put(unit_of(report, match)->name, width, out);
        (void)fprintf(out, "  %6.0f  %6.1f", match->flux_lm, match->watts);
        if (match->xyz.y > 0)
            (void)fprintf(out, "  %.4f  %.4f", match->xy.x, match->xy.y);
        else
            (void)fprintf(out, "  %6s  %6s", "-", "-");
        write_white(report, match, out);
        if (match->xyz.y > 0)
            (void)fprintf(out, "  %.4f", match->delta_uv);
        else
            (void)fprintf(out, "  %6s", "-");
        (void)fprintf(out, "%s%s\n", why[0] != '\0' ? "  " : "", why);
    }
}

static void write_slots(const struct match_report *report, int width, FILE *out)
{
    (void)fprintf(out, "\n%-*s  Universe  Address  Slot values, in order\n", width, "Unit");
    for (size_t i = 0; i < report->count; i++) {
        const mtm_unit *unit = unit_of(report, &report->match[i]);
        uint8_t slot[MTM_ADDRESS_MAX];
        text_put(unit->name, width, out);
        if (unit->address > 0)
            (void)fprintf(out, "  %8d  %7d ", unit->universe, unit->address);
        else
            (void)fprintf(out, "  %8s  %7s ", "open", "open");
        mtm_codes_to_slots(unit->mode, &report->match[i].codes, slot);
        for (size_t k = 0; k < unit->mode->slot_count; k++)
            (void)fprintf(out, " %3d", slot[k]);
        (void)fputc('\n', out);
    }
    (void)fputc('\n', out);
}

static mtm_result write_table(const struct match_report *report, FILE *out, mtm_error *error)
{
    int width = name_width(report);

    (void)error;
    write_heading(report, out);
    write_colours(report, width, out);
    write_slots(report, width, out);
    sentence(report, out);
    return MTM_OK;
}

static void json_add_emitters(cJSON *object, const mtm_unit *unit, const mtm_match *match)
{
    cJSON *levels = cJSON_AddObjectToObject(object, "levels");
    cJSON *codes = cJSON_AddObjectToObject(object, "codes");

    if (unit->mode->dimmer_bits > 0)
        json_add_number(codes, "dimmer", match->codes.dimmer, 0);
    for (size_t i = 0; i < mtm_fixture_emitter_count(unit->fixture); i++) {
        const char *name = mtm_fixture_emitter(unit->fixture, i)->name;
        json_add_number(levels, name, match->level[i], 6);
        json_add_number(codes, name, match->codes.emitter[i], 0);
    }
}

static void json_add_slots(cJSON *object, const mtm_unit *unit, const mtm_match *match)
{
    cJSON *slots = cJSON_AddArrayToObject(object, "slots");
    bool placed = unit->address > 0;
    uint8_t slot[MTM_ADDRESS_MAX];

    mtm_codes_to_slots(unit->mode, &match->codes, slot);
    for (size_t k = 0; k < unit->mode->slot_count; k++) {
        cJSON *one = cJSON_CreateObject();
        json_add_number(one, "universe", placed ? (double)unit->universe : NAN, 0);
        json_add_number(one, "address", placed ? (double)unit->address + (double)k : NAN, 0);
        json_add_number(one, "value", slot[k], 0);
        (void)cJSON_AddItemToArray(slots, one);
    }
}

static void json_add_colour(cJSON *object, const struct match_report *report,
                            const mtm_match *match)
{
    bool lit = match->xyz.y > 0;
    mtm_uv uv = mtm_uv_from_xyz(match->xyz);
    mtm_white white = {NAN, NAN};

    json_add_pair(object, "xy", lit ? match->xy.x : NAN, lit ? match->xy.y : NAN, 6);
    json_add_pair(object, "uv", lit ? uv.u : NAN, lit ? uv.v : NAN, 6);
    if (!lit || report->target->observer != MTM_OBSERVER_2 ||
        mtm_white_from_xy(match->xy, &white, NULL) != MTM_OK)
        white = (mtm_white){NAN, NAN};
    json_add_number(object, "cct_k", white.cct_k, 2);
    json_add_number(object, "duv", white.duv, 6);
}

static cJSON *json_unit(const struct match_report *report, const mtm_match *match)
{
    const mtm_unit *unit = unit_of(report, match);
    cJSON *object = cJSON_CreateObject();
    char why[96];

    json_add_text(object, "name", unit->name);
    json_add_text(object, "fixture", mtm_fixture_name(unit->fixture));
    json_add_text(object, "mode", unit->mode->name);
    json_add_emitters(object, unit, match);
    json_add_slots(object, unit, match);
    json_add_colour(object, report, match);
    json_add_number(object, "flux_lm", match->flux_lm, 3);
    json_add_number(object, "watts", match->watts, 3);
    json_add_number(object, "delta_uv", match->xyz.y > 0 ? match->delta_uv : NAN, 6);
    match_reason(report, match, why, sizeof why);
    (void)cJSON_AddBoolToObject(object, "reachable", match->shortfall == 0 && !fell_dark(match));
    json_add_text(object, "reason", why[0] != '\0' ? why : NULL);
    return object;
}

static void json_add_target(cJSON *root, const struct match_report *report)
{
    cJSON *target = cJSON_AddObjectToObject(root, "target");
    mtm_uv uv = mtm_uv_from_xy(report->target->xy);

    json_add_text(target, "description", report->target->description);
    json_add_pair(target, "xy", report->target->xy.x, report->target->xy.y, 6);
    json_add_pair(target, "uv", uv.u, uv.v, 6);
    json_add_number(target, "observer_deg", report->target->observer == MTM_OBSERVER_10 ? 10 : 2,
                    0);
}

static void json_add_common(cJSON *root, const struct match_report *report)
{
    cJSON *common = cJSON_AddObjectToObject(root, "together");
    const mtm_common *c = &report->common;

    (void)cJSON_AddBoolToObject(common, "exists", c->exists);
    if (!c->exists) {
        cJSON *apart = cJSON_AddArrayToObject(common, "exclude_each_other");
        for (size_t i = 0; i < (c->apart[0] == c->apart[1] ? 1 : 2); i++)
            (void)cJSON_AddItemToArray(
                apart, cJSON_CreateString(mtm_rig_unit(report->rig, c->apart[i])->name));
        return;
    }
    json_add_pair(common, "xy", c->xy.x, c->xy.y, 6);
    json_add_number(common, "delta_uv", c->delta_uv, 6);
    json_add_number(common, "output_lm", c->output, 3);
    json_add_text(common, "limits_output", mtm_rig_unit(report->rig, c->limits_output)->name);
    json_add_text(common, "limits_colour",
                  c->delta_uv > ON_TARGET_UV ? mtm_rig_unit(report->rig, c->limits_colour)->name
                                             : NULL);
}

static mtm_result write_json(const struct match_report *report, FILE *out, mtm_error *error)
{
    cJSON *root = cJSON_CreateObject();
    size_t worst = 0;

    json_add_text(root, "rig", mtm_rig_name(report->rig));
    json_add_target(root, report);
    cJSON *units = cJSON_AddArrayToObject(root, "units");
    for (size_t i = 0; i < report->count; i++)
        (void)cJSON_AddItemToArray(units, json_unit(report, &report->match[i]));
    if (report->together)
        json_add_common(root, report);
    json_add_number(root, "agreement_delta_uv", spread(report), 6);
    json_add_number(root, "worst_delta_uv", match_worst(report, &worst), 6);
    return json_print(root, out, error);
}

static mtm_result write_csv(const struct match_report *report, FILE *out, mtm_error *error)
{
    (void)error;
    (void)fprintf(out, "unit,universe,address,flux_lm,watts,x,y,u,v,cct_k,duv,delta_uv,reachable,"
                       "reason,slots\n");
    for (size_t i = 0; i < report->count; i++) {
        const mtm_match *match = &report->match[i];
        const mtm_unit *unit = unit_of(report, match);
        mtm_uv uv = mtm_uv_from_xyz(match->xyz);
        mtm_white white;
        uint8_t slot[MTM_ADDRESS_MAX];
        char why[96];
        text_put_csv(unit->name, out);
        if (unit->address > 0)
            (void)fprintf(out, ",%d,%d", unit->universe, unit->address);
        else
            (void)fprintf(out, ",,");
        (void)fprintf(out, ",%.3f,%.3f", match->flux_lm, match->watts);
        if (match->xyz.y > 0)
            (void)fprintf(out, ",%.6f,%.6f,%.6f,%.6f", match->xy.x, match->xy.y, uv.u, uv.v);
        else
            (void)fprintf(out, ",,,,");
        if (match->xyz.y > 0 && report->target->observer == MTM_OBSERVER_2 &&
            mtm_white_from_xy(match->xy, &white, NULL) == MTM_OK)
            (void)fprintf(out, ",%.2f,%.6f", white.cct_k, white.duv);
        else
            (void)fprintf(out, ",,");
        match_reason(report, match, why, sizeof why);
        if (match->xyz.y > 0)
            (void)fprintf(out, ",%.6f", match->delta_uv);
        else
            (void)fprintf(out, ",");
        (void)fprintf(out, ",%s,", match->shortfall == 0 && !fell_dark(match) ? "yes" : "no");
        text_put_csv(why, out);
        mtm_codes_to_slots(unit->mode, &match->codes, slot);
        for (size_t k = 0; k < unit->mode->slot_count; k++)
            (void)fprintf(out, "%c%d", k == 0 ? ',' : ' ', slot[k]);
        (void)fputc('\n', out);
    }
    return MTM_OK;
}

const struct match_writer match_writers[] = {
    {"table", write_table},
    {"json", write_json},
    {"csv", write_csv},
    {0},
};
