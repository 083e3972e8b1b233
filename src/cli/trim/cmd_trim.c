/* SPDX-License-Identifier: MIT */
/* metamer trim: calibrates units from readings and brings them to one white and output. */
#include "cli/args/goal.h"
#include "cli/args/output.h"
#include "cli/args/picture.h"
#include "cli/args/rig.h"
#include "cli/args/target.h"
#include "cli/trim/trim_files.h"
#include "cli/trim/trim_live.h"
#include "cli/trim/trim_meters.h"
#include "cli/trim/trim_report.h"

#include "base/error.h"

#include <metamer/calibration.h>
#include <metamer/trim.h>

#include <stdlib.h>
#include <string.h>

#define DEFAULT_STEPS 3.0

/* What a run holds and frees. */
struct work {
    mtm_rig *rig;
    mtm_readings *readings;
    mtm_readings *later; /* the second file, where there are two */
    mtm_calibration *prior;
    mtm_calibration *calibration;
    struct trim_sets sets;
    mtm_moved *moved;
    bool *meant; /* by unit of the rig */
    mtm_target target;
    mtm_trim_request request;
    mtm_alike alike;
    struct outlet *to;
    struct picture_request picture;
};

static void free_work(struct work *work)
{
    free(work->moved);
    free(work->meant);
    trim_sets_free(&work->sets);
    mtm_calibration_free(work->calibration);
    mtm_calibration_free(work->prior);
    mtm_readings_free(work->later);
    mtm_readings_free(work->readings);
    mtm_rig_free(work->rig);
}

static mtm_result load_readings(const struct args *args, struct work *work, const char *path,
                                mtm_readings **readings, mtm_error *error)
{
    mtm_result result = trim_load(args, path, work->rig, readings, error);

    if (result != MTM_OK)
        return result;
    trim_show_reading_notes(*readings, path, work->to->err);
    return trim_set_meter(args, *readings, error);
}

static mtm_result load_prior(const struct args *args, struct work *work, mtm_error *error)
{
    const char *path = trim_prior_path(args);

    if (path == NULL && args_has(args, "again"))
        return mtmi_fail(error, MTM_PARSE,
                         "--again starts from the calibration of the last round: name it with "
                         "--calibration, or --write the same file in each round");
    return path != NULL ? mtm_calibration_load(path, work->rig, &work->prior, error) : MTM_OK;
}

static mtm_result read_request(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_result result = target_from_args(args, work->rig, &work->target, error);

    if (result != MTM_OK)
        return result;
    work->request.target = work->target.xy;
    work->request.steps = args_number(args, "steps", DEFAULT_STEPS);
    work->request.again = args_has(args, "again");
    work->request.together = args_has(args, "together");
    const mtm_alike_info *alike = args_choice(args, "alike");
    work->alike = alike != NULL ? alike->alike : MTM_ALIKE_ALL;
    if (work->target.has_spectrum)
        work->request.reference = &work->target.spectrum;
    goal_from_args(args, &work->request.goal, &work->request.index);
    if (args_has(args, "units")) {
        result = marks_from_args(args, work->rig, NULL, &work->meant, error);
        work->request.meant = work->meant;
    }
    return result == MTM_OK ? output_from_args(args, &work->request.output, error) : result;
}

/* Nothing less is a tolerance that was kept: a unit without a verdict may be anywhere. */
static bool all_inside(const struct trim_report *report)
{
    for (size_t i = 0; i < trim_rows(report); i++) {
        if (trim_row(report, i)->after.verdict != MTM_VERDICT_INSIDE)
            return false;
    }
    return true;
}

/* A fit from prior, and what is to be noted of it. */
static mtm_result fit(struct work *work, const mtm_readings *readings, const mtm_calibration *prior,
                      const char *path, mtm_calibration **calibration, mtm_error *error)
{
    mtm_result result = mtm_calibration_fit(readings, work->rig, prior, calibration, error);

    if (result == MTM_OK)
        trim_show_fit_notes(*calibration, path, work->to->err);
    return result;
}

/* What all reports tell. */
static struct trim_report report_of(const struct work *work, const mtm_readings *readings)
{
    return (struct trim_report){.rig = work->rig,
                                .target = &work->target,
                                .steps = work->request.steps,
                                .meter = mtm_readings_meter(readings),
                                .readings = readings,
                                .calibration = work->calibration,
                                .meant = work->meant,
                                .alike = work->alike,
                                .goal = work->request.goal};
}

/* The picture first: where it cannot be drawn, nothing else is said either. */
static mtm_result put_report(const struct args *args, const struct work *work,
                             struct trim_report *report, mtm_error *error)
{
    mtm_result result = MTM_OK;

    if (work->picture.wanted)
        result = trim_put_picture(args, &work->picture, report, work->to, error);
    return result == MTM_OK && !work->picture.alone
               ? trim_report_write(args, report, work->to->out, error)
               : result;
}

/* From readings to the report. */
static mtm_result trim_rig(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_result result = trim_keep(args, work->readings, error);

    if (result == MTM_OK)
        result = fit(work, work->readings, work->prior, args->words[1], &work->calibration, error);
    if (result == MTM_OK)
        result = trim_sets_run(
            work->calibration, work->rig, args_has(args, "again") ? work->readings : NULL,
            mtm_readings_meter(work->readings), &work->request, work->alike, &work->sets, error);
    if (result != MTM_OK)
        return result;
    for (size_t i = 0; i < work->sets.count; i++)
        mtm_trim_store(work->sets.set[i].trim, work->calibration);
    result = trim_write(args, work->calibration, work->to->err, error);
    if (result != MTM_OK)
        return result;
    struct trim_report report = report_of(work, work->readings);
    report.sets = work->sets;
    if (!all_inside(&report) || trim_in_doubt(work->readings, work->calibration))
        work->to->status = EXIT_MISSED;
    return put_report(args, work, &report, error);
}

static mtm_result run_trim(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_result result = load_readings(args, work, args->words[1], &work->readings, error);

    return result == MTM_OK ? trim_rig(args, work, error) : result;
}

static mtm_result run_compare(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_calibration *then = NULL;
    mtm_result result = load_readings(args, work, args->words[1], &work->readings, error);

    if (result == MTM_OK)
        result = load_readings(args, work, args->words[2], &work->later, error);
    if (result == MTM_OK)
        result = fit(work, work->readings, work->prior, args->words[1], &then, error);
    if (result != MTM_OK)
        return result;
    mtm_calibration_free(work->prior);
    work->prior = then;
    result = fit(work, work->later, then, args->words[2], &work->calibration, error);
    if (result != MTM_OK)
        return result;
    work->moved = calloc(mtm_rig_unit_count(work->rig) + 1, sizeof *work->moved);
    if (work->moved == NULL)
        return mtmi_fail_memory(error);
    struct trim_report report = report_of(work, work->later);
    report.moved = work->moved;
    result = mtm_trim_compare(then, work->calibration, work->rig, &work->request, work->moved,
                              &report.moved_count, &report.old_output, &report.new_output, error);
    return result == MTM_OK ? put_report(args, work, &report, error) : result;
}

/* Asks for readings; *all tells whether the last was given. */
static mtm_result read_live(const struct args *args, struct work *work, bool *all, mtm_error *error)
{
    mtm_result result = trim_open_live(args->words[1], work->rig, &work->readings, error);

    if (result == MTM_OK && args_has(args, "again")) /* the codes that the prior was trimmed to */
        result = trim_sets_run(work->prior, work->rig, NULL, NULL, &work->request, work->alike,
                               &work->sets, error);
    if (result != MTM_OK)
        return result;
    trim_state_meter(args, work->readings);
    const struct live live = {.rig = work->rig,
                              .readings = work->readings,
                              .path = args->words[1],
                              .prior = work->prior,
                              .sets = work->sets};
    result = trim_live(&live, stdin, work->to->out, all, error);
    trim_sets_free(&work->sets);
    return result;
}

static mtm_result run_live(const struct args *args, struct work *work, mtm_error *error)
{
    bool all = false;
    mtm_result result = read_live(args, work, &all, error);

    if (result == MTM_OK && all)
        result = trim_set_meter(args, work->readings, error);
    return result == MTM_OK && all ? trim_rig(args, work, error) : result;
}

/* All that has a target, by the way in which the readings come. */
static mtm_result run_readings(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_result result = read_request(args, work, error);

    if (result == MTM_OK)
        result = load_prior(args, work, error);
    if (result != MTM_OK)
        return result;
    return args_has(args, "live")      ? run_live(args, work, error)
           : args_has(args, "compare") ? run_compare(args, work, error)
                                       : run_trim(args, work, error);
}

static mtm_result check_words(const struct args *args, mtm_error *error)
{
    bool two_files = args_has(args, "compare") || args_has(args, "match-meters");
    size_t wanted = two_files ? 3 : 2;

    if (args->word_count != wanted)
        return mtmi_fail(error, MTM_PARSE, "found %zu words, wanted are %s", args->word_count,
                         two_files ? "RIG and two readings files" : "RIG and READINGS");
    return MTM_OK;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct work work = {.to = to};

    mtm_result result = check_words(args, error);
    if (result == MTM_OK)
        result = picture_from_args(args, &work.picture, error);
    if (result == MTM_OK)
        result = mtm_rig_load(args->words[0], &work.rig, error);
    if (result == MTM_OK)
        result = trim_write_check(args, work.rig, error);
    if (result == MTM_OK && args_has(args, "match-meters"))
        result = trim_match_meters(args, work.rig, to, error);
    else if (result == MTM_OK)
        result = run_readings(args, &work, error);
    free_work(&work);
    return result;
}

static const void *alike_row_at(size_t index)
{
    return mtm_alike_at(index);
}

static const struct option_spec trim_options[] = {
    OPTION_NUMBER("steps", "N", 0.1, 100,
                  "tolerance: a circle of N steps of 0.0011 in u'v' (ANSI C78.377); 3 by default"),
    OPTION_UNITS_OF(", in the order of the rig; what was read of others is kept",
                    .against = "compare match-meters live"),
    OPTION_CHOICE_AT(
        "alike", "WAY", mtm_alike_info, alike_row_at,
        "which units are to agree, in output and (with --together) in white: all of "
        "those that are trimmed (the default); those of each kind of fixture; or those "
        "of each group of the rig, of which the smallest counts for a unit of several, "
        "while units of no group agree with each other. The mix is that of the kind in "
        "any case; with --units only the chosen units count",
        .against = "compare match-meters"),
    OPTION_FLAG("together",
                "where some cannot reach the white, all that are to agree go to the nearest to it "
                "that each of them reaches",
                .against = "compare match-meters"),
    OPTION_TEXT("output", "60%|1200lm|max",
                "common output of those that are to agree: a share of the most that all of them "
                "can give, lumens, or that most (the default)"),
    OPTION_CHOICE_AT(
        "goal", "NAME", mtm_goal_info, goal_row_at,
        "what the one mix of each kind of light is made by: light, the most (the default); "
        "watts, the fewest at the stated output; rendering, the best; or spectrum, the nearest "
        "to the target's. Units of one kind keep to it as nearly as the white allows, so that "
        "they agree for other eyes and cameras too"),
    OPTION_CHOICE_AT(
        "index", "NAME", mtm_index_info, index_row_at,
        "what --goal rendering is measured by: rf (TM-30 fidelity, if not said), ra (colour "
        "rendering index) or ssi (similarity to the target's spectrum)",
        .with = "goal=rendering"),
    OPTION_WRITTEN(
        "write", "FILE",
        "write the calibration, trimmed levels included; a calibration that stands there is "
        "replaced only if this one goes on from it, and a numbered copy is kept",
        .against = "compare"),
    OPTION_FLAG("replace",
                "let --write put a new calibration in the place of one that it does not go on from",
                .with = "write"),
    OPTION_TEXT(
        "calibration", "FILE",
        "start from this calibration and not from the fixture files; --write may name it too",
        .goes_on = true),
    OPTION_FLAG(
        "again",
        "READINGS are of the trimmed codes of the last round: correct what is left, near to "
        "what was read; units that are proven inside, or were not read, keep their codes",
        .against = "compare match-meters"),
    OPTION_TEXT("keep", "LINE",
                "take the reading of this line (all: every reading) whatever it looks like; may be "
                "given several times",
                .repeats = true, .against = "compare match-meters"),
    OPTION_TEXT("column", "NAME=HEADING",
                "the column of a table under this heading holds NAME (unit, emitter, codes, x, y, "
                "lux ...), whatever its heading says; may be given several times",
                .repeats = true, .against = "live"),
    OPTION_FLAG("live", "ask for one reading after the other; READINGS is written"),
    OPTION_FLAG("compare", "two readings files: how each unit moved, and what output is left",
                .against = "live match-meters"),
    OPTION_FLAG("match-meters",
                "two readings files, ours and the reference's: write the matrix between the meters",
                .with = "write", .against = "live steps output goal calibration"),
    {0},
};

static const struct option_spec meter_options[] = {
    OPTION_TEXT(
        "meter", "FILE",
        "correct the readings by this matrix (see --match-meters); what the reference's meter "
        "states of its uncertainty then holds for them"),
    OPTION_NUMBER(
        "meter-xy", "U", 0, 0.1,
        "expanded uncertainty (k = 2) of x and y, as the meter's certificate states it (with "
        "--meter: of the readings as corrected)"),
    OPTION_NUMBER("meter-output", "U", 0, 1,
                  "expanded uncertainty (k = 2) of Y, relative: 0.04 is 4 %"),
    OPTION_TEXT("assume", "NAME=NUMBER,...", "what is assumed of what no reading told (see below)"),
    OPTION_FORMAT(trim_writers, FORMAT_HELP),
    OPTION_AS("format=json compare"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The white (one of them)", .options = target_options, .against = "match-meters"},
    {.title = "", .options = over_options, .with = "filter", .against = "match-meters"},
    {.title = "", .options = like_options, .against = "match-meters"},
    {.title = "The trim", .options = trim_options},
    {.title = "The meter and the report", .options = meter_options, .against = "match-meters"},
    {.title = "A picture", .options = picture_options, .against = "match-meters live"},
    {.title = "In a terminal",
     .options = swatch_options,
     .against = "match-meters live compare format=json format=csv"},
    {0},
};

static const char *const examples[] = {
    "metamer trim examples/hall.json examples/hall-readings.csv --cct 3000 --steps 3",
    "metamer trim examples/hall.json examples/hall-readings.csv --cct 3000 --picture trim.svg",
    NULL,
};

const struct command cmd_trim = {
    .name = "trim",
    .summary = "calibrate units from meter readings and bring them to one white",
    .usage = "RIG READINGS [READINGS]",
    .details =
        "Fits what each unit really gives from a meter's readings: its own emitters, their "
        "response "
        "curves and drift, and what is lost when they are lit together. Then finds the codes that "
        "put every unit on the target white at one common output, with per-unit emitter factors "
        "for consoles that scale codes instead. The report tells how far each unit was and will "
        "be, how sure that is with this meter, which unit limits the output, and what a wider "
        "tolerance would buy.\n\n"
        "READINGS is a table as meters export it (CSV with commas, semicolons or tabs: unit, "
        "emitter, codes or slots (the values that were sent), then x y Y, u' v' Y, CCT Duv lux, X "
        "Y Z or a spectrum in wavelength "
        "columns) or a readings file (JSON). Headings such as \"CIE x\", \"u'(76)\", \"CCT(K)\", "
        "\"Lux "
        "(lx)\", \"fc\" or \"Luminance (cd/m2)\" are understood (metamer-files(5) lists them); "
        "--column names others. Rows that make no sense are named and left out; so "
        "are readings that are a thousand times "
        "as likely a slip (x and y exchanged, another emitter or unit, another unit of measure, a "
        "mistyped number) as honest. --keep LINE overrules that.\n\n"
        "Measure, trim with --write, send the codes, measure again, trim with --again: two or "
        "three rounds settle what no single reading shows. The calibration file holds for other "
        "commands that take --calibration. There is no --dimming: codes are those of the nearest "
        "light, and a later round leaves the dimmer where it was.\n\n"
        "Exit status 1 says that not all is proved: a unit is outside, or without a verdict, or a "
        "reading was left out, or two readings contradict each other and one must be wrong.\n\n"
        "What no reading told is doubted, and ±U says how much. Assumed are, as standard "
        "uncertainties and without a source: an emitter about its fixture file (file-xy 0.012, "
        "file-output 0.15); the exponent of a response curve that was not read (bend 0.07), the "
        "share of the code that lights nothing (dead 0.005), a level beside a smooth curve (ripple "
        "0.01); drift of u' and v' from full to the lowest level (drift 0.002); light lost with "
        "all "
        "emitters at full (droop 0.08), and that from emitter to emitter (droop-apart 0.03); light "
        "of elsewhere in a reading, as a share of the unit's (stray 0.0004); what moves from round "
        "to round (still-xy 0.0002, still-output 0.005). Of the certificate's variance, common-xy "
        "0.9 and common-output 0.5 are common to all readings; where scatter is not stated, it is "
        "repeat 0.2 of the certificate. --assume, or \"assumed\" in a readings file (# assumed "
        "droop: 0.02 in a table), says what is known better. Taken as certain are the curve of a "
        "dimmer "
        "before all emitters, which changes output and hardly colour, and a fixture's limit of "
        "power.\n\n"
        "Never look into a bright source to read a meter, and keep clear of hot fixtures; work at "
        "height only as local rules allow.",
    .examples = examples,
    .words_least = 2,
    .words_most = 3,
    .groups = groups,
    .run = run,
};
