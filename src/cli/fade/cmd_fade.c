/* SPDX-License-Identifier: MIT */
/* metamer fade: how smooth the fades of a show are. */
#include "cli/args/goal.h"
#include "cli/args/picture.h"
#include "cli/args/rig.h"
#include "cli/fade/fade_out.h"
#include "cli/out/progress.h"
#include "cli/play/play_source.h"
#include "cli/show_notes.h"

#include "base/error.h"
#include "base/number.h"

#include <metamer/fade_picture.h>

#include <stdlib.h>
#include <string.h>

/* What a run holds and frees. */
struct work {
    mtm_show *show;
    mtm_fader *fader;
    size_t *cue;
    size_t cue_count;
    bool *meant; /* by unit */
    mtm_fade_finding *finding;
    struct progress progress;
    size_t done;   /* cues looked at */
    bool has_from; /* another look than the one before the cue */
    size_t from;
};

static mtm_result choose_cues(const struct args *args, struct work *work, mtm_error *error)
{
    size_t count = mtm_show_cue_count(work->show);

    work->cue = calloc(count + 1, sizeof *work->cue);
    if (work->cue == NULL)
        return mtmi_fail_memory(error);
    work->has_from = args_has(args, "from");
    if (args_has(args, "cue")) {
        work->cue_count = 1;
        return play_source_cues(args, work->show, &work->from, &work->cue[0], error);
    }
    for (size_t i = 0; i < count; i++)
        work->cue[i] = i;
    work->cue_count = count;
    return MTM_OK;
}

static mtm_result prepare(const struct args *args, struct work *work, mtm_error *error)
{
    const mtm_dimming_info *dimming = args_choice(args, "dimming");
    const mtm_fader_options options = {.refresh_hz = args_number(args, "refresh", 0),
                                       .dither = args_has(args, "dither"),
                                       .has_dimming = args_has(args, "dimming"),
                                       .dimming = dimming->dimming};
    size_t room = 0;
    mtm_result result = mtm_show_load(args->words[0], &work->show, error);

    if (result == MTM_OK)
        result = marks_from_args(args, mtm_show_rig(work->show), work->show, &work->meant, error);
    if (result == MTM_OK)
        result = choose_cues(args, work, error);
    if (result == MTM_OK)
        result = mtm_fader_create(work->show, &options, &work->fader, error);
    if (result == MTM_OK)
        result = mtm_fader_check(work->fader, error);
    if (result != MTM_OK)
        return result;
    if (!mtmi_size_product(work->cue_count, mtm_rig_unit_count(mtm_show_rig(work->show)), &room))
        return mtmi_fail_memory(error);
    work->finding = calloc(room + 1, sizeof *work->finding);
    return work->finding != NULL ? MTM_OK : mtmi_fail_memory(error);
}

static bool tell(void *context, double part)
{
    struct work *work = context;

    progress_show(&work->progress, "looking at every frame",
                  ((double)work->done + part) / (double)work->cue_count);
    return true;
}

static mtm_result examine(struct work *work, mtm_error *error)
{
    size_t units = mtm_rig_unit_count(mtm_show_rig(work->show));

    for (work->done = 0; work->done < work->cue_count; work->done++) {
        size_t cue = work->cue[work->done];
        mtm_fade_finding *finding = work->finding + work->done * units;
        mtm_result result =
            work->has_from
                ? mtm_fade_examine_from(work->fader, work->from, cue, finding, tell, work, error)
                : mtm_fade_examine(work->fader, cue, finding, tell, work, error);
        if (result != MTM_OK)
            return result;
        for (size_t i = 0; i < units; i++)
            finding[i].moves = finding[i].moves && work->meant[i];
    }
    return MTM_OK;
}

static bool missed(const struct args *args, const struct fade_result *result)
{
    double tolerance = args_number(args, "tolerance", 0);
    size_t unit = 0;

    for (size_t row = 0; row < result->cue_count && args_has(args, "tolerance"); row++) {
        if (fade_worst(result, row, &unit) && fade_finding(result, row, unit)->step > tolerance)
            return true;
    }
    return false;
}

static struct fade_result result_of(const struct args *args, const struct work *work)
{
    return (struct fade_result){
        .show = work->show,
        .rate_hz = mtm_fader_layout(work->fader).rate_hz,
        .cue = work->cue,
        .cue_count = work->cue_count,
        .finding = work->finding,
        .visible = args_number(args, "tolerance", 1),
        .by_unit = args_has(args, "report"),
    };
}

/* silent: a picture alone is written. */
static mtm_result render(const struct args *args, const struct work *work, bool silent,
                         struct outlet *to, mtm_error *error)
{
    const struct fade_result found = result_of(args, work);

    to->status = missed(args, &found) ? EXIT_MISSED : EXIT_DONE;
    if (silent)
        return MTM_OK;
    mtm_result result = write_report(args, &found, to->out, error);
    if (result == MTM_OK && writes_table(args) && !found.by_unit)
        result = show_note_goals(work->show, work->meant, "", to->out, error);
    return result;
}

/* The row of findings that a picture is of: that of the cue asked for, else the largest step. */
static size_t pictured_row(const struct fade_result *found)
{
    size_t most = 0, unit = 0;
    double step = -1;

    for (size_t row = 0; row < found->cue_count; row++) {
        if (!fade_worst(found, row, &unit))
            continue;
        if (mtmi_exceeds(fade_finding(found, row, unit)->step, step)) {
            step = fade_finding(found, row, unit)->step;
            most = row;
        }
    }
    return most;
}

static mtm_result start_cue(struct work *work, size_t cue, mtm_error *error)
{
    mtm_result result = work->has_from ? mtm_fader_set(work->fader, work->from, error)
                                       : mtm_fader_set_before(work->fader, cue, error);

    if (result != MTM_OK)
        return result;
    return work->has_from ? mtm_fader_go_to(work->fader, cue, error)
                          : mtm_fader_go(work->fader, cue, error);
}

/* The picture first: where it cannot be drawn, nothing else is written either. */
static mtm_result put_picture(const struct args *args, const struct picture_request *request,
                              struct work *work, struct outlet *to, mtm_error *error)
{
    const struct fade_result found = result_of(args, work);
    size_t row = pictured_row(&found);
    const mtm_fade_finding *finding = fade_finding(&found, row, 0);
    const mtm_fade_course_request recorded = {
        .meant = work->meant,
        .finding = finding,
        .units = MTM_FADE_PICTURE_UNITS,
        .moments = mtm_picture_moments(&request->options),
    };
    mtm_fade_course *course = NULL;
    mtm_picture *picture = NULL;

    if (work->cue_count == 0)
        return mtmi_fail(error, MTM_PARSE, "%s has no cue to draw", args->words[0]);
    mtm_result result = start_cue(work, work->cue[row], error);
    if (result == MTM_OK)
        result = mtm_fade_course_create(work->fader, &recorded, &course, error);
    if (result == MTM_OK) {
        const mtm_fade_view view = {.show = work->show,
                                    .cue = work->cue[row],
                                    .finding = finding,
                                    .course = course,
                                    .visible = found.visible};
        result = mtm_picture_of_fade(&view, &request->options, &picture, error);
    }
    mtm_fade_course_free(course);
    return result == MTM_OK ? picture_put(args, picture, to, error) : result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct work work = {.progress = progress_begin(to->err)};
    struct picture_request picture;

    mtm_result result = picture_from_args(args, &picture, error);
    if (result == MTM_OK)
        result = prepare(args, &work, error);
    if (result == MTM_OK)
        play_say_dither(args, work.show, work.meant, to->err);
    if (result == MTM_OK)
        result = examine(&work, error);
    progress_end(&work.progress);
    if (result == MTM_OK && picture.wanted)
        result = put_picture(args, &picture, &work, to, error);
    if (result == MTM_OK)
        result = render(args, &work, picture.alone, to, error);
    free(work.finding);
    free(work.cue);
    free(work.meant);
    mtm_fader_free(work.fader);
    mtm_show_free(work.show);
    return result;
}

static const struct option_spec options[] = {
    OPTION_SOME_UNITS,
    OPTION_FLAG("report", "a line a unit: its largest step, where, why, and what would cure it"),
    OPTION_NUMBER("cue", "N", 0.1, 9999.9, "only this cue, from the look before it"),
    OPTION_NUMBER("from", "N", 0, 9999.9,
                  "with --cue: from the look of cue N instead, 0 for the dark", .with = "cue"),
    OPTION_NUMBER(
        "tolerance", "DE", 0.01, 100,
        "exit with 1 if a step is larger than this CIEDE2000 difference; also what counts as "
        "visible, 1 if not said"),
    OPTION_NUMBER("refresh", "HZ", 1, MTM_FRAME_RATE_MAX,
                  "frames a second; the usual is what the show says"),
    OPTION_FLAG("dither", "let 8-bit channels alternate between codes where that is not seen"),
    OPTION_CHOICE_AT("dimming", "WAY", mtm_dimming_info, dimming_row_at,
                     "as if the show said so for all units: which codes carry the output of a unit "
                     "that has a dimmer. What is to be played and written has it in the show "
                     "(\"metamer help show\")"),
    OPTION_FORMAT(fade_writers, FORMAT_HELP),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The fades", .options = options}, GROUP_PICTURE, GROUP_DIAGRAM, {0}};

static const char *const examples[] = {
    "metamer fade examples/evening.json",
    "metamer fade examples/evening.json --report --cue 40",
    "metamer fade examples/evening.json --report --tolerance 2 --format csv",
    "metamer fade examples/evening.json --cue 40 --picture moon.svg",
    NULL,
};

const struct command cmd_fade = {
    .name = "fade",
    .summary = "tell how smooth the fades of a show are, and what steps",
    .usage = "SHOW",
    .details =
        "Runs the cues of a show file (JSON) frame by frame and compares what the slots give from "
        "one frame to the next, and with the path that the cue asks for. The goal of a cue is what "
        "the freedom of many emitters is spent on at its look (see \"metamer help match\"); on the "
        "way from one colour to another it goes to steadiness: of the mixes that make the colour, "
        "the nearest to what lies between those of the ends. Where only the output changes, the "
        "mix stays as it is. A step comes from the "
        "codes (8 bits near dark), from the fade itself (quick), or from the edge of what the "
        "emitters can do.\n\n"
        "Where a unit has a dimmer beside its emitters, the show's \"dimming\" says which of them "
        "carry its output. By \"finest\", the usual, a dimmer of 8 bits before emitters of 16 "
        "stays "
        "full; before emitters of 8 it shares the work with them, which make up for its steps; and "
        "a "
        "finer one goes with the light. By \"dimmer\" the emitters move only where the colour "
        "does, "
        "and an 8-bit dimmer steps as it does; by \"emitters\" it stays full.\n\n"
        "A picture is of the cue that is named, or of the one with the largest step: output, "
        "colour temperature, Duv and steps over time, levels and codes of the unit that steps "
        "most, "
        "and the ways through the chromaticity diagram. It has room for six units; --units chooses "
        "others.\n\n"
        "Caution: flashing light, at about 3 to 60 flashes a second most of all, can bring on "
        "seizures in photosensitive people. A fade of no time and a loop of short ones flash; "
        "dither does where it is slow or deep, and cameras can show it as bands. Look at the real "
        "units, warn the audience, and follow local codes.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
