/* SPDX-License-Identifier: MIT */
/* A match as JSON. */
#include "cli/match/match_out.h"

#include "cli/out/json.h"
#include "cli/out/slots.h"

#include <math.h>

/* Each with its place. */
static void json_add_placed_slots(cJSON *object, const mtm_unit *unit, const mtm_match *match,
                                  bool dimmer_apart)
{
    cJSON *slots = json_add_array(object, "slots");
    bool placed = unit->address > 0;
    uint8_t slot[MTM_ADDRESS_MAX];

    mtm_codes_to_slots(unit->mode, &match->codes, slot);
    for (size_t k = 0; k < unit->mode->slot_count; k++) {
        cJSON *one = json_append_object(slots);
        json_add_number(one, "universe", placed ? (double)unit->universe : NAN, 0);
        json_add_number(one, "address", placed ? (double)unit->address + (double)k : NAN, 0);
        bool apart = dimmer_apart && slot_is_dimmer(&unit->mode->slots[k]);
        json_add_number(one, "value", apart ? (double)NAN : slot[k], 0);
    }
}

static void json_add_colour(cJSON *object, const struct match_report *report,
                            const mtm_match *match)
{
    bool lit = match->xyz.y > 0;
    mtm_uv uv = mtm_uv_from_xyz(match->xyz);
    mtm_white white = match_white(match, report->target->observer);

    json_add_xy(object, lit ? match->xy : (mtm_xy){NAN, NAN}, 6);
    json_add_uv(object, lit ? uv : (mtm_uv){NAN, NAN}, 6);
    json_add_number(object, "cct_k", white.cct_k, 2);
    json_add_number(object, "duv", white.duv, 6);
}

static void json_add_judgement(cJSON *object, const struct match_report *report,
                               const mtm_judgement *judgement)
{
    mtm_observer other =
        report->target->observer == MTM_OBSERVER_10 ? MTM_OBSERVER_2 : MTM_OBSERVER_10;
    mtm_uv uv = mtm_uv_from_xyz(judgement->xyz[other]);
    bool lit = judgement->has_spectrum && judgement->xyz[other].y > 0;

    json_add_text(object, "rests_on", match_rests_on(judgement));
    json_add_number(object, "rf", judgement->has_quality ? judgement->rf : (double)NAN, 2);
    if (!report->quality)
        return;
    json_add_number(object, "ra", judgement->has_quality ? judgement->ra : (double)NAN, 2);
    json_add_number(object, "r9", judgement->has_quality ? judgement->r9 : (double)NAN, 2);
    json_add_number(object, "rg", judgement->has_quality ? judgement->rg : (double)NAN, 2);
    json_add_number(object, "u_prime_other_observer", lit ? uv.u : (double)NAN, 6);
    json_add_number(object, "v_prime_other_observer", lit ? uv.v : (double)NAN, 6);
}

static void json_add_pairs(cJSON *root, const struct match_report *report)
{
    mtm_observer here = report->target->observer;
    mtm_observer there = here == MTM_OBSERVER_10 ? MTM_OBSERVER_2 : MTM_OBSERVER_10;
    cJSON *list = json_add_array(root, "metameric_pairs");

    for (size_t i = 0; i < report->pair_count; i++) {
        const mtm_metameric_pair *pair = &report->pair[i];
        cJSON *one = json_append_object(list);
        json_add_text(one, "first", match_unit_of(report, &report->match[pair->first])->name);
        json_add_text(one, "second", match_unit_of(report, &report->match[pair->second])->name);
        json_add_number(one, "delta_uv", pair->metamerism.delta_uv[here], 6);
        json_add_number(one, "delta_uv_other_observer", pair->metamerism.delta_uv[there], 6);
        json_add_number(one, "ssi", pair->metamerism.ssi, 1);
    }
}

cJSON *match_json_unit(const struct match_report *report, const mtm_match *match)
{
    const mtm_unit *unit = match_unit_of(report, match);
    cJSON *object = cJSON_CreateObject();
    char why[MATCH_REASON_ROOM];

    json_add_text(object, "name", unit->name);
    json_add_text(object, "fixture", mtm_fixture_name(unit->fixture));
    json_add_text(object, "mode", unit->mode->name);
    json_add_by_emitter(object, "levels", unit->fixture, match->level, 6);
    json_add_codes(object, unit, &match->codes, report->kinds->dimmer_apart);
    json_add_placed_slots(object, unit, match, report->kinds->dimmer_apart);
    json_add_colour(object, report, match);
    json_add_number(object, "flux_lm", match->flux_lm, 3);
    if (mtm_unit_lux_per_lm(unit) > 0)
        json_add_number(object, "lux", match->flux_lm * mtm_unit_lux_per_lm(unit), 3);
    json_add_number(object, "watts", match->watts, 3);
    json_add_number(object, "delta_uv", match->xyz.y > 0 ? match->delta_uv : NAN, 6);
    match_reason(report, match, why, sizeof why);
    json_add_bool(object, "reachable", mtm_match_reached(match, match_was_held(report, match)));
    json_add_text(object, "reason", why[0] != '\0' ? why : NULL);
    json_add_number(object, "left_dark_delta_uv",
                    match->left_dark_uv > 0 ? match->left_dark_uv : (double)NAN, 6);
    json_add_number(object, "delta_uv_gamut", match->xyz.y > 0 ? match->gamut_uv : NAN, 6);
    json_add_number(object, "delta_uv_codes", match->xyz.y > 0 ? match->codes_uv : NAN, 6);
    json_add_text(object, "goal", match_goal_name(match->goal));
    json_add_text(object, "goal_reason",
                  match->fallback != MTM_FALLBACK_NONE ? mtm_fallback_text(match->fallback) : NULL);
    json_add_text(object, "dimming", match_dimming_name(report, match));
    json_add_judgement(object, report, &report->judgement[match - report->match]);
    return object;
}

void match_json_common(cJSON *root, const struct match_report *report)
{
    cJSON *common = json_add_object(root, "together");
    const mtm_common *c = &report->common;

    const bool all_dark = c->left_dark == report->count;
    json_add_bool(common, "exists", c->exists);
    json_add_number(common, "left_dark", (double)c->left_dark, 0);
    if (!c->exists) {
        cJSON *apart = json_add_array(common, "exclude_each_other");
        for (size_t i = 0; !all_dark && i < (c->apart[0] == c->apart[1] ? 1 : 2); i++)
            json_append_text(apart, mtm_rig_unit(report->rig, c->apart[i])->name);
        return;
    }
    json_add_xy(common, c->xy, 6);
    json_add_number(common, "delta_uv", c->delta_uv, 6);
    json_add_number(common, match_output_key(report), c->output, 3);
    json_add_text(common, "limits_output", mtm_rig_unit(report->rig, c->limits_output)->name);
    json_add_text(common, "limits_colour",
                  c->delta_uv > MTM_ON_TARGET_UV ? mtm_rig_unit(report->rig, c->limits_colour)->name
                                                 : NULL);
}

static void json_add_overloads(cJSON *root, const struct match_report *report)
{
    cJSON *list = json_add_array(root, "overloads");

    for (size_t i = 0; i < mtm_demand_row_count(report->demand); i++) {
        const mtm_demand_row *row = mtm_demand_row_at(report->demand, i);
        if (!row->over || row->type == MTM_DEMAND_CIRCUIT)
            continue;
        cJSON *one = json_append_object(list);
        json_add_text(one, "supply", mtm_rig_supply(report->rig, row->index)->name);
        json_add_number(one, "port", row->type == MTM_DEMAND_PORT ? (double)row->port : (double)NAN,
                        0);
        json_add_number(one, "watts", row->watts, 1);
        json_add_number(one, "rated_w", row->rated, 1);
    }
}

cJSON *match_write_json(const void *data)
{
    const struct match_report *report = data;

    if (report->palette != NULL)
        return palette_write_json(report);
    cJSON *root = cJSON_CreateObject();

    json_add_text(root, "rig", mtm_rig_name(report->rig));
    json_add_number(json_add_target(root, report->target), "observer_deg",
                    report->target->observer == MTM_OBSERVER_10 ? 10 : 2, 0);
    json_add_text(root, "goal", match_goal_name(report->goal));
    json_add_text(root, "index", match_index_name(report));
    json_add_text(root, "intensity", match_intensity_name(report));
    cJSON *units = json_add_array(root, "units");
    for (size_t i = 0; i < report->count; i++)
        json_append(units, match_json_unit(report, &report->match[i]));
    if (report->together)
        match_json_common(root, report);
    json_add_number(root, "agreement_delta_uv", report->spread_uv, 6);
    json_add_number(root, "worst_delta_uv",
                    mtm_match_farthest(report->match, report->count)->delta_uv, 6);
    json_add_overloads(root, report);
    if (report->quality)
        json_add_pairs(root, report);
    return root;
}
