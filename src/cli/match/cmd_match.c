/* SPDX-License-Identifier: MIT */
/* metamer match: brings the units of a rig to one colour. */
#include "cli/args/picture.h"
#include "cli/args/swatch.h"
#include "cli/args/target.h"
#include "cli/match/match_out.h"
#include "cli/match/match_run.h"
#include "cli/match/palette_run.h"

static bool tolerance_missed(const struct match_report *report)
{
    for (size_t i = 0; report->has_tolerance && i < report->count; i++) {
        if (match_misses(report, &report->match[i]))
            return true;
    }
    return false;
}

static mtm_result match_one_colour(const struct args *args, const struct match_asked *asked,
                                   const struct picture_request *picture, struct outlet *to,
                                   mtm_error *error)
{
    struct match_found found = {.match = NULL};
    mtm_target target;
    mtm_result result = target_from_args(args, asked->opened.rig, &target, error);

    if (result == MTM_OK)
        result = match_find(args, asked, &target, &found, error);
    if (result == MTM_OK)
        to->status = tolerance_missed(&found.report) ? EXIT_MISSED : EXIT_DONE;
    if (result == MTM_OK && picture->wanted)
        result = match_put_picture(args, picture, &found.report, asked->matcher, to, error);
    if (result == MTM_OK && !picture->alone)
        result = swatches_from_args(args, to->out, &found.report.swatches, error);
    if (result == MTM_OK && !picture->alone)
        result = write_report(args, &found.report, to->out, error);
    match_found_free(&found);
    return result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct match_asked asked = {.matcher = NULL};
    struct picture_request picture;
    mtm_result result = picture_from_args(args, &picture, error);

    if (result == MTM_OK)
        result = match_asked_open(args, &asked, error);
    if (result == MTM_OK)
        result = args_has(args, "targets")
                     ? palette_run(args, &asked.opened, asked.matcher, &asked.request,
                                   asked.dimmer_apart, &picture, to, error)
                     : match_one_colour(args, &asked, &picture, to, error);
    match_asked_close(&asked);
    return result;
}

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
    {.title = "A second look", .options = match_quality_options},
    GROUP_PICTURE,
    {.title = "", .options = diagram_options, .against = "targets"},
    {.title = "In a terminal", .options = row_swatch_options, .against = "format=json format=csv"},
    {.title = "", .options = swatch_white_options},
    {0},
};

static const char *const examples[] = {
    "metamer match examples/hall.json --cct 3200",
    "metamer match examples/hall.json --cct 4000 --output 60% --together --tolerance 0.003",
    "metamer match examples/hall.json --xy 0.22,0.12 --beyond hue --format csv",
    "metamer match examples/hall.json --daylight 5000 --quality",
    "metamer match examples/hall.json --cct 3200 --picture hall.svg",
    "metamer match examples/hall.json --cct 3200 --quality --picture rendering.svg",
    "metamer match examples/hall.json --targets examples/palette.json --picture palette.svg",
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
        "rests on ideal lines, drawn from peak and width.\n\n"
        "--picture draws the chromaticity diagram; with --quality it draws how each kind of unit "
        "renders, by the unit of the lowest Rf: its spectrum by emitter over the reference, the "
        "shifts of chroma and hue by hue bin, Rf by bin, and R1 to R14; with --quality and "
        "--diagram the diagram again.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
