/* SPDX-License-Identifier: MIT */
/* metamer choices: the ways one unit can make a colour: more light, fewer watts, better rendering.
 */
#include "cli/args/goal.h"
#include "cli/args/picture.h"
#include "cli/args/rig.h"
#include "cli/args/target.h"
#include "cli/choices/choices_out.h"

#include <metamer/choices_picture.h>

#include <math.h>
#include <string.h>

/* What a run holds and frees. */
struct work {
    struct opened opened;
    mtm_matcher *matcher;
    mtm_match_request request;
    struct choices_report report;
};

/* Rounds a choice and judges what its codes give. */
static mtm_result fill_listed(struct work *work, size_t unit, const mtm_choice *choice,
                              struct listed_choice *listed, mtm_error *error)
{
    mtm_judgement judgement;
    mtm_codes codes;

    memset(&codes, 0, sizeof codes);
    mtm_coder_round_by(mtm_matcher_coder(work->matcher, unit), work->request.dimming,
                       choice->answer.level, &codes);
    listed->match = (mtm_match){.ideal = choice->answer, .shortfall = choice->answer.shortfall};
    mtm_matcher_predict(work->matcher, unit, &codes, &listed->match);
    mtm_match_compare(&listed->match, work->request.target.xy);
    mtm_result result =
        mtm_judge(work->report.unit->fixture, listed->match.level, &judgement, error);
    if (result == MTM_OK) {
        listed->rf = judgement.has_quality ? judgement.rf : (double)NAN;
        listed->ra = judgement.has_quality ? judgement.ra : (double)NAN;
        listed->ideal_lines = judgement.ideal_lines;
    }
    return result;
}

/* Says of each extreme what it is. */
static void name_listed(const mtm_choice *choice, size_t count, struct listed_choice *listed)
{
    mtm_choice_extremes extremes = mtm_choices_extremes(choice, count);

    if (extremes.efficacy != SIZE_MAX)
        listed[extremes.efficacy].name = "most lumens a watt";
    if (extremes.rendering != SIZE_MAX)
        listed[extremes.rendering].name = "best rendering";
    listed[extremes.light].name = "most light";
}

static mtm_result compute(const struct args *args, struct work *work, mtm_error *error)
{
    size_t unit = 0;
    mtm_choice choice[MTM_CHOICES_MAX];
    mtm_result result = opened_from_args(args, &work->opened, error);
    const mtm_rig *rig = work->opened.rig;

    if (result == MTM_OK)
        result = mtm_rig_find_unit(rig, args->words[1], &unit, error);
    if (result == MTM_OK)
        result = target_from_args(args, rig, &work->request.target, error);
    if (result != MTM_OK)
        return result;
    const mtm_dimming_info *dimming = args_choice(args, "dimming");
    work->request.dimming = dimming->dimming;
    work->report.unit = mtm_rig_unit(rig, unit);
    work->report.target = &work->request.target;
    result = mtm_matcher_create(rig, work->opened.observer, &work->matcher, error);
    if (result == MTM_OK)
        result = mtm_matcher_choices(work->matcher, unit, &work->request, choice,
                                     &work->report.count, &work->report.fallback, error);
    work->report.asked = dimming;
    if (result == MTM_OK && mtm_coder_chooses_dimming(mtm_matcher_coder(work->matcher, unit)))
        work->report.dimming = dimming;
    for (size_t i = 0; result == MTM_OK && i < work->report.count; i++)
        result = fill_listed(work, unit, &choice[i], &work->report.listed[i], error);
    if (result == MTM_OK)
        name_listed(choice, work->report.count, work->report.listed);
    return result;
}

static const mtm_unit *unit_of(const void *context, size_t row)
{
    (void)row;
    return ((const struct choices_report *)context)->unit;
}

static const mtm_codes *codes_of(const void *context, size_t row, size_t way)
{
    (void)row;
    return &((const struct choices_report *)context)->listed[way].match.codes;
}

static const char *number_of(const void *context, size_t way)
{
    static const char *const numbers[MTM_CHOICES_MAX] = {"1", "2", "3", "4", "5",
                                                         "6", "7", "8", "9"};

    (void)context;
    return numbers[way];
}

static mtm_result write(const struct args *args, struct choices_report *report, FILE *out,
                        mtm_error *error)
{
    const struct slot_source slots = {.context = report,
                                      .rows = 1,
                                      .unit = unit_of,
                                      .codes = codes_of,
                                      .ways = report->count,
                                      .way_head = "No",
                                      .way_name = number_of};
    struct slot_kinds kinds = {.count = 0};
    mtm_result result = swatches_from_args(args, out, &report->swatches, error);
    if (result == MTM_OK)
        result = slot_kinds_create(&slots, args_choice(args, "as"), &kinds, error);

    report->slots = &slots;
    report->kinds = &kinds;
    if (result == MTM_OK)
        result = write_report(args, report, out, error);
    report->slots = NULL;
    report->kinds = NULL;
    slot_kinds_free(&kinds);
    return result;
}

/* The picture first: where it cannot be drawn, nothing else is written either. */
static mtm_result put_picture(const struct args *args, const struct picture_request *request,
                              const struct choices_report *report, struct outlet *to,
                              mtm_error *error)
{
    mtm_way_view way[MTM_CHOICES_MAX];
    mtm_choices_view view = {
        .unit = report->unit, .target = report->target, .way = way, .count = report->count};
    mtm_picture *picture = NULL;

    for (size_t i = 0; i < report->count; i++) {
        const struct listed_choice *listed = &report->listed[i];
        way[i] = (mtm_way_view){listed->match, listed->rf, listed->ra, listed->name};
        view.ideal_lines = view.ideal_lines || listed->ideal_lines;
    }
    mtm_result result = mtm_picture_of_choices(&view, &request->options, &picture, error);
    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct work work = {0};
    struct picture_request picture;
    mtm_result result = picture_from_args(args, &picture, error);

    if (result == MTM_OK)
        result = compute(args, &work, error);
    if (result == MTM_OK && picture.wanted)
        result = put_picture(args, &picture, &work.report, to, error);
    if (result == MTM_OK && !picture.alone)
        result = write(args, &work.report, to->out, error);
    mtm_matcher_free(work.matcher);
    opened_close(&work.opened);
    return result;
}

static const struct option_spec other_options[] = {
    OPTION_CHOICE_AT(
        "dimming", "WAY", mtm_dimming_info, dimming_row_at,
        "which codes carry the output of a unit that has a dimmer: finest (the default), "
        "dimmer and emitters, chosen together for the nearest light; dimmer, while the "
        "emitters hold the colour at its most light; or emitters, while the dimmer stays "
        "at full"),
    OPTION_CALIBRATION(""),
    OPTION_FORMAT(choices_writers, FORMAT_HELP),
    OPTION_AS("format=json"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The colour (one of them)", .options = target_options},
    {.title = "", .options = over_options, .with = "filter"},
    {.title = "", .options = like_options},
    {.title = "Other options", .options = other_options},
    GROUP_PICTURE,
    {.title = "In a terminal", .options = swatch_options, .against = "format=json format=csv"},
    {0},
};

static const char *const examples[] = {
    "metamer choices examples/hall.json front-left-wash --cct 3200",
    "metamer choices examples/hall.json side-left-batten --daylight 5600 --format csv",
    "metamer choices examples/hall.json front-left-wash --cct 3200 --picture choices.svg",
    NULL,
};

const struct command cmd_choices = {
    .name = "choices",
    .summary = "list ways one unit makes a colour, most light first",
    .usage = "RIG UNIT",
    .details =
        "A unit of more than three emitters can make the same colour in many ways. This lists a "
        "handful of them, none of which has at once as much light, as few watts and as good "
        "rendering (Rf of CIE 224 and TM-30) as another, each with the slot values to send. They "
        "lie between the most light (the goal \"light\" of \"metamer match\"), the best rendering "
        "(the goal \"rendering\") and the most lumens a watt. No emitter is lit below the lowest "
        "level that the unit's limits state.\n\n"
        "Rendering needs the spectra of the unit's emitters, and a colour that has a colour "
        "temperature; without them the ways lie between the most light and the most lumens a watt, "
        "and the first line says why. The observer is that of 2 degrees.\n\n"
        "--picture draws output against Rf, marks what gives more lumens a watt than the most "
        "light, and shows of each way the lumens by emitter.",
    .examples = examples,
    .words_least = 2,
    .words_most = 2,
    .groups = groups,
    .run = run,
};
