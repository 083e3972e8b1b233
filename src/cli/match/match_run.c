/* SPDX-License-Identifier: MIT */
/* Match run: from options to a match of the units that are meant. */
#include "cli/match/match_run.h"

#include "cli/args/goal.h"
#include "cli/args/output.h"

#include "base/error.h"

#include <metamer/match_demand.h>

#include <stdlib.h>

static const struct beyond_choice {
    const char *name;
    mtm_beyond beyond;
} beyond_choices[] = {
    {"nearest", MTM_BEYOND_NEAREST}, {"hue", MTM_BEYOND_HUE}, {"cct", MTM_BEYOND_CCT}, {0}};

/* Who sets the light of a unit that has a dimmer. */
static const struct intensity_choice {
    const char *name;
    bool apart;
} intensity_choices[] = {{"with", false}, {"apart", true}, {0}};

static bool intensity_is_apart(const struct args *args)
{
    const struct intensity_choice *choice = args_choice(args, "intensity");

    return choice->apart;
}

/* With the intensity apart the console has the dimmer, so that the codes are those beside a full
 * one. */
static mtm_dimming read_dimming(const struct args *args)
{
    const mtm_dimming_info *choice = args_choice(args, "dimming");

    return intensity_is_apart(args) ? MTM_DIMMING_EMITTERS : choice->dimming;
}

static mtm_beyond read_beyond(const struct args *args)
{
    const struct beyond_choice *choice = args_choice(args, "beyond");

    return choice->beyond;
}

/* The common colour is the nearest that all the units reach: no other way is offered. */
static mtm_result check_beyond(const struct args *args, mtm_error *error)
{
    if (args_has(args, "together") && read_beyond(args) != MTM_BEYOND_NEAREST)
        return mtmi_fail(error, MTM_PARSE,
                         "--beyond %s does not go with --together, which takes the nearest colour "
                         "that all the units reach",
                         args_text(args, "beyond", ""));
    return MTM_OK;
}

mtm_result match_asked_open(const struct args *args, struct match_asked *asked, mtm_error *error)
{
    mtm_result result = opened_from_args(args, &asked->opened, error);

    if (result == MTM_OK)
        result = output_from_args(args, &asked->request.output, error);
    if (result == MTM_OK)
        result = check_beyond(args, error);
    if (result != MTM_OK)
        return result;
    goal_from_args(args, &asked->request.goal, &asked->request.index);
    asked->request.beyond = read_beyond(args);
    asked->request.leave_dark_uv = args_number(args, "leave-dark", 0);
    asked->request.dimming = read_dimming(args);
    asked->dimmer_apart = intensity_is_apart(args);
    return mtm_matcher_create_for(asked->opened.rig, asked->opened.unit, asked->opened.unit_count,
                                  asked->opened.observer, &asked->matcher, error);
}

void match_asked_close(struct match_asked *asked)
{
    mtm_matcher_free(asked->matcher);
    opened_close(&asked->opened);
}

static mtm_result compute(const struct match_asked *asked, const mtm_match_request *request,
                          bool together, struct match_found *found, mtm_error *error)
{
    const struct opened *opened = &asked->opened;

    found->match = calloc(opened->unit_count, sizeof *found->match);
    if (found->match == NULL)
        return mtmi_fail_memory(error);
    if (together)
        return mtm_matcher_together(asked->matcher, opened->unit, opened->unit_count, request,
                                    found->match, &found->report.common, error);
    for (size_t i = 0; i < opened->unit_count; i++) {
        mtm_result result =
            mtm_matcher_unit(asked->matcher, opened->unit[i], request, &found->match[i], error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

/* Keeps to the ratings if asked to, and sums up the loads. */
static mtm_result weigh(const struct args *args, const struct match_asked *asked,
                        const mtm_match_request *request, struct match_found *found,
                        mtm_error *error)
{
    const size_t count = asked->opened.unit_count;

    if (args_has(args, "within-load")) {
        found->held = calloc(count, sizeof *found->held);
        if (found->held == NULL)
            return mtmi_fail_memory(error);
        mtm_result result = mtm_match_hold_demand(
            asked->matcher, request, found->match, count,
            args_has(args, "together") ? &found->report.common : NULL, NULL, found->held, error);
        if (result != MTM_OK)
            return result;
    }
    return mtm_match_demand(asked->opened.rig, found->match, count, NULL, &found->demand, error);
}

static const mtm_unit *unit_of_match(const void *context, size_t row)
{
    const struct match_report *report = context;

    return match_unit_of(report, &report->match[row]);
}

static const mtm_codes *codes_of_match(const void *context, size_t row, size_t way)
{
    const struct match_report *report = context;

    (void)way;
    return &report->match[row].codes;
}

/* All that was computed so far, and what it is to be judged by. */
static void fill_report(const struct args *args, const struct match_asked *asked,
                        struct match_found *found)
{
    const mtm_pair_limits usual = mtm_pair_limits_usual();
    const mtm_common common = found->report.common;

    found->report = (struct match_report){
        .rig = asked->opened.rig,
        .target = &found->target,
        .match = found->match,
        .count = asked->opened.unit_count,
        .goal = asked->request.goal,
        .index = asked->request.index,
        .matcher = asked->matcher,
        .dimming = asked->request.dimming,
        .together = args_has(args, "together"),
        .common = common,
        .asked = asked->request.output,
        .demand = found->demand,
        .held = found->held,
        .quality = args_has(args, "quality"),
        .slots = &found->slots,
        .kinds = &found->kinds,
        .has_tolerance = args_has(args, "tolerance"),
        .tolerance = args_number(args, "tolerance", 0),
        .limits = {.agree_uv = args_number(args, "agree", usual.agree_uv),
                   .apart_uv = args_number(args, "apart", usual.apart_uv),
                   .least_ssi = args_number(args, "least-ssi", usual.least_ssi)},
    };
    found->slots = (struct slot_source){.context = &found->report,
                                        .rows = asked->opened.unit_count,
                                        .unit = unit_of_match,
                                        .codes = codes_of_match,
                                        .ways = 1};
}

/* How well each renders, and of a second look the pairs of them. */
static mtm_result judge(struct match_found *found, mtm_error *error)
{
    struct match_report *report = &found->report;

    found->judgement = calloc(report->count, sizeof *found->judgement);
    if (found->judgement == NULL)
        return mtmi_fail_memory(error);
    report->judgement = found->judgement;
    mtm_result result =
        mtm_judge_matches(report->rig, report->match, report->count, found->judgement, error);
    return result == MTM_OK && report->quality
               ? mtm_match_pairs(report->rig, report->match, report->judgement, report->count,
                                 report->target->observer, &report->limits, report->pair,
                                 MATCH_PAIRS_MAX, &report->pair_count, error)
               : result;
}

mtm_result match_find(const struct args *args, const struct match_asked *asked,
                      const mtm_target *target, struct match_found *found, mtm_error *error)
{
    mtm_match_request request = asked->request;

    found->target = *target;
    request.target = *target;
    mtm_result result = compute(asked, &request, args_has(args, "together"), found, error);
    if (result == MTM_OK)
        result = weigh(args, asked, &request, found, error);
    if (result != MTM_OK)
        return result;
    fill_report(args, asked, found);
    result = mtm_match_spread(found->match, found->report.count, &found->report.spread_uv, error);
    if (result == MTM_OK)
        result = judge(found, error);
    if (result == MTM_OK)
        result = slot_kinds_create(&found->slots, args_choice(args, "as"), &found->kinds, error);
    found->kinds.dimmer_apart = asked->dimmer_apart;
    return result;
}

void match_found_free(struct match_found *found)
{
    mtm_demand_free(found->demand);
    free(found->held);
    slot_kinds_free(&found->kinds);
    free(found->judgement);
    free(found->match);
}

const struct option_spec match_options[] = {
    OPTION_UNITS,
    OPTION_TEXT(
        "output", "60%|1200lm|500lx|max",
        "light of each unit: a share of the most that its mix gives at that colour, lumens, lux "
        "where it arrives (of units whose cd_per_klm and distance_m the rig states), "
        "or the most (the default); less light is the same mix, scaled"),
    OPTION_CHOICE_AT(
        "goal", "NAME", mtm_goal_info, goal_row_at,
        "what the freedom of more than three emitters is spent on: light, the most (the "
        "default); watts, the fewest at the stated output; rendering, the best; or spectrum, the "
        "nearest to the target's. But for watts, the mix is the same at every output. A unit that "
        "cannot do what the goal asks goes by light, and its line says why"),
    OPTION_CHOICE_AT(
        "index", "NAME", mtm_index_info, index_row_at,
        "what --goal rendering is measured by: rf (TM-30 fidelity, if not said), ra (colour "
        "rendering index) or ssi (similarity to the target's spectrum)",
        .with = "goal=rendering"),
    OPTION_CHOICE(
        "beyond", "WAY", struct beyond_choice, beyond_choices,
        "where to go if the target is out of reach: the nearest colour in u'v', the same hue "
        "(straight toward the equal-energy white: the dominant wavelength stays), or (two "
        "emitters) the point of the wanted colour temperature"),
    OPTION_NUMBER("leave-dark", "D", 0.0001, 1,
                  "units whose gamut ends farther than this from the target, in u'v', stay dark; "
                  "with --together they hold back no others"),
    OPTION_CHOICE("intensity", "WAY", struct intensity_choice, intensity_choices,
                  "what the codes hold: colour with intensity (the default), or the colour apart, "
                  "the same at every output, with the dimmer left to the console; a unit without "
                  "one gets its codes at full",
                  .against = "output together within-load"),
    OPTION_CHOICE_AT(
        "dimming", "WAY", mtm_dimming_info, dimming_row_at,
        "which codes carry the output of a unit that has a dimmer: finest (the default), "
        "dimmer and emitters, chosen together for the nearest light; dimmer, while the "
        "emitters hold the colour at its most light; or emitters, while the dimmer stays "
        "at full",
        .against = "intensity"),
    OPTION_CALIBRATION(""),
    OPTION_FLAG("within-load",
                "lower the output, not the colour nor its mix, of units whose port or supply would "
                "carry more than its rating; units that are not matched count as dark"),
    OPTION_FLAG("together", "one colour and one output that all the units can reach"),
    {0},
};

const struct option_spec match_quality_options[] = {
    OPTION_FLAG(
        "quality",
        "judge each unit a second time: Ra beside Rf, and name pairs of units that agree here but "
        "not for the other observer or in their spectra, so not to every eye or camera"),
    OPTION_NUMBER(
        "agree", "D", 0.0001, 1,
        "with --quality: two units closer than this in u'v' pass for alike; 0.0033 if not said",
        .with = "quality"),
    OPTION_NUMBER("apart", "D", 0.0001, 1,
                  "with --quality: name such a pair if it is farther apart than this for the other "
                  "observer; 0.0033 if not said",
                  .with = "quality"),
    OPTION_NUMBER(
        "least-ssi", "N", 0, 99,
        "with --quality: name such a pair if its spectral similarity is below this; 60 if not "
        "said",
        .with = "quality"),
    {0},
};
