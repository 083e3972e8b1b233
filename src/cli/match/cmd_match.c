/* SPDX-License-Identifier: MIT */
/* metamer match: brings the units of a rig to one colour. */
#include "cli/args/goal.h"
#include "cli/args/output.h"
#include "cli/args/picture.h"
#include "cli/args/rig.h"
#include "cli/args/target.h"
#include "cli/match/match_out.h"
#include "cli/match/palette_run.h"

#include "base/error.h"

#include <metamer/match.h>
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

/* What a run holds and frees. */
struct work {
    struct opened opened;
    mtm_matcher *matcher;
    mtm_match *match; /* one a unit that was opened */
    mtm_match_request request;
    mtm_common common;
    mtm_judgement *judgement;
    struct slot_kinds kinds;
    mtm_demand *demand;
    bool *held; /* by match; NULL without --within-load */
    struct picture_request picture;
};

static mtm_result prepare(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_result result = picture_from_args(args, &work->picture, error);

    if (result == MTM_OK)
        result = opened_from_args(args, &work->opened, error);
    if (result == MTM_OK && !args_has(args, "targets"))
        result = target_from_args(args, work->opened.rig, &work->request.target, error);
    if (result == MTM_OK)
        result = output_from_args(args, &work->request.output, error);
    if (result == MTM_OK)
        result = check_beyond(args, error);
    if (result != MTM_OK)
        return result;
    goal_from_args(args, &work->request.goal, &work->request.index);
    work->request.beyond = read_beyond(args);
    work->request.leave_dark_uv = args_number(args, "leave-dark", 0);
    work->request.dimming = read_dimming(args);
    work->match = calloc(work->opened.unit_count, sizeof *work->match);
    if (work->match == NULL)
        return mtmi_fail_memory(error);
    return mtm_matcher_create_for(work->opened.rig, work->opened.unit, work->opened.unit_count,
                                  work->opened.observer, &work->matcher, error);
}

static mtm_result compute(const struct args *args, struct work *work, mtm_error *error)
{
    const struct opened *opened = &work->opened;

    if (args_has(args, "together"))
        return mtm_matcher_together(work->matcher, opened->unit, opened->unit_count, &work->request,
                                    work->match, &work->common, error);
    for (size_t i = 0; i < opened->unit_count; i++) {
        mtm_result result = mtm_matcher_unit(work->matcher, opened->unit[i], &work->request,
                                             &work->match[i], error);
        if (result != MTM_OK)
            return result;
    }
    return MTM_OK;
}

/* Keeps to the ratings if asked to, and sums up the loads. */
static mtm_result weigh(const struct args *args, struct work *work, mtm_error *error)
{
    if (args_has(args, "within-load")) {
        work->held = calloc(work->opened.unit_count, sizeof *work->held);
        if (work->held == NULL)
            return mtmi_fail_memory(error);
        mtm_result result = mtm_match_hold_demand(
            work->matcher, &work->request, work->match, work->opened.unit_count,
            args_has(args, "together") ? &work->common : NULL, NULL, work->held, error);
        if (result != MTM_OK)
            return result;
    }
    return mtm_match_demand(work->opened.rig, work->match, work->opened.unit_count, NULL,
                            &work->demand, error);
}

static bool tolerance_missed(const struct match_report *report)
{
    for (size_t i = 0; report->has_tolerance && i < report->count; i++) {
        if (match_misses(report, &report->match[i]))
            return true;
    }
    return false;
}

/* How well each renders, and of a second look the pairs of them. */
static mtm_result judge(struct work *work, struct match_report *report, mtm_error *error)
{
    work->judgement = calloc(report->count, sizeof *work->judgement);
    if (work->judgement == NULL)
        return mtmi_fail_memory(error);
    report->judgement = work->judgement;
    mtm_result result =
        mtm_judge_matches(report->rig, report->match, report->count, work->judgement, error);
    return result == MTM_OK && report->quality
               ? mtm_match_pairs(report->rig, report->match, report->judgement, report->count,
                                 report->target->observer, &report->limits, report->pair,
                                 MATCH_PAIRS_MAX, &report->pair_count, error)
               : result;
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

static mtm_result render(const struct args *args, struct work *work, struct outlet *to,
                         mtm_error *error)
{
    const mtm_pair_limits usual = mtm_pair_limits_usual();
    struct slot_source slots = {
        .rows = work->opened.unit_count, .unit = unit_of_match, .codes = codes_of_match, .ways = 1};
    struct match_report report = {
        .rig = work->opened.rig,
        .target = &work->request.target,
        .match = work->match,
        .count = work->opened.unit_count,
        .goal = work->request.goal,
        .index = work->request.index,
        .matcher = work->matcher,
        .dimming = work->request.dimming,
        .together = args_has(args, "together"),
        .common = work->common,
        .asked = work->request.output,
        .demand = work->demand,
        .held = work->held,
        .quality = args_has(args, "quality"),
        .slots = &slots,
        .kinds = &work->kinds,
        .has_tolerance = args_has(args, "tolerance"),
        .tolerance = args_number(args, "tolerance", 0),
        .limits = {.agree_uv = args_number(args, "agree", usual.agree_uv),
                   .apart_uv = args_number(args, "apart", usual.apart_uv),
                   .least_ssi = args_number(args, "least-ssi", usual.least_ssi)},
    };
    slots.context = &report;
    mtm_result result =
        mtm_match_spread(work->match, work->opened.unit_count, &report.spread_uv, error);
    if (result != MTM_OK)
        return result;
    to->status = tolerance_missed(&report) ? EXIT_MISSED : EXIT_DONE;
    result = judge(work, &report, error);
    if (result == MTM_OK)
        result = slot_kinds_create(&slots, args_choice(args, "as"), &work->kinds, error);
    work->kinds.dimmer_apart = intensity_is_apart(args);
    if (result == MTM_OK && work->picture.wanted)
        result = match_put_picture(args, &work->picture, &report, work->matcher, to, error);
    return result == MTM_OK && !work->picture.alone ? write_report(args, &report, to->out, error)
                                                    : result;
}

static mtm_result match_one_colour(const struct args *args, struct work *work, struct outlet *to,
                                   mtm_error *error)
{
    mtm_result result = compute(args, work, error);

    if (result == MTM_OK)
        result = weigh(args, work, error);
    return result == MTM_OK ? render(args, work, to, error) : result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct work work = {0};
    mtm_result result = prepare(args, &work, error);

    if (result == MTM_OK)
        result = args_has(args, "targets")
                     ? palette_run(args, &work.opened, work.matcher, &work.request,
                                   intensity_is_apart(args), to, error)
                     : match_one_colour(args, &work, to, error);
    mtm_demand_free(work.demand);
    free(work.held);
    slot_kinds_free(&work.kinds);
    free(work.judgement);
    free(work.match);
    mtm_matcher_free(work.matcher);
    opened_close(&work.opened);
    return result;
}

static const struct option_spec match_options[] = {
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

static const struct option_spec quality_options[] = {
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

static const struct option_spec result_options[] = {
    OPTION_NUMBER("tolerance", "D", 0, 1,
                  "exit with 1 if a unit is farther than this from the target in u'v'"),
    OPTION_FORMAT(match_writers, FORMAT_HELP),
    OPTION_AS("format=json"),
    {0},
};

static const struct option_spec palette_options[] = {
    OPTION_TEXT(
        "targets", "FILE",
        "many colours: those of a palette (\"colours/1\"), as a table of units by colours "
        "that gives the distance of each from each, Δu'v'; with --as also what to send. "
        "--together and --within-load act in each colour by itself. Without --quality, whose "
        "pairs are of one colour; Rf stands in CSV and JSON",
        .against = "quality"),
    OPTION_FLAG("kinds",
                "a row for each fixture kind and mode instead of each unit, the farthest unit "
                "standing for all",
                .with = "targets"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The colour (one of them)", .options = target_options, .against = "targets"},
    {.title = "", .options = over_options, .with = "filter"},
    {.title = "", .options = like_options, .against = "targets"},
    {.title = "Or the colours of a palette", .options = palette_options},
    {.title = "The match", .options = match_options},
    {.title = "How it is judged and written", .options = observer_options},
    {.title = "", .options = result_options},
    {.title = "A second look", .options = quality_options},
    {.title = "A picture", .options = picture_options, .against = "targets"},
    GROUP_DIAGRAM,
    {0},
};

static const char *const examples[] = {
    "metamer match examples/hall.json --cct 3200",
    "metamer match examples/hall.json --cct 4000 --output 60% --together --tolerance 0.003",
    "metamer match examples/hall.json --xy 0.22,0.12 --beyond hue --format csv",
    "metamer match examples/hall.json --daylight 5000 --quality",
    "metamer match examples/hall.json --cct 3200 --picture hall.svg",
    "metamer match examples/hall.json --targets examples/palette.json --kinds --as percent",
    NULL,
};

const struct command cmd_match = {
    .name = "match",
    .summary = "bring the units of a rig to one colour and give their slot values",
    .usage = "RIG",
    .details =
        "Computes the level of every emitter, and the codes and slot values to send, so that each "
        "unit of the rig shows the wanted colour as nearly as it can. The answer tells what the "
        "codes give, rounding included: output, electrical power, chromaticity, temperature, and "
        "the distance from the target in CIE 1976 u'v' (0.0011 is one step of a white tolerance; "
        "about 0.003 is what a careful eye sees side by side).\n\n"
        "RIG is a rig file (JSON). Each unit is matched on its own unless --together is given. The "
        "values to send stand under the names of the channels, a table for each fixture kind and "
        "mode; units that follow each other by number and get the same share a line. Rf with ~ "
        "rests on ideal lines, drawn from peak and width.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
