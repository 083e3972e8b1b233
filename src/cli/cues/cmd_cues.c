/* SPDX-License-Identifier: MIT */
/* metamer cues: writes a show as cue text, or reads cue text and tells what is in it. */
#include "cli/args/rig.h"
#include "cli/cues/cues_out.h"
#include "cli/cues/cues_picture.h"
#include "cli/out/progress.h"
#include "cli/out/replace.h"
#include "cli/show_notes.h"

#include "base/error.h"
#include "base/file.h"

#include <metamer/cue_export.h>

#include <stdlib.h>
#include <string.h>

/* JSON begins with a brace, perhaps after blanks; cue text never does. */
static bool holds_json(const char *text)
{
    return text[strspn(text, " \t\r\n")] == '{';
}

static mtm_result put_text(const struct args *args, const char *text, size_t length,
                           struct outlet *to, mtm_error *error)
{
    const char *path = args_text(args, "output", NULL);

    if (path == NULL) {
        (void)fwrite(text, 1, length, to->out); /* a failure is told for all commands alike */
        return MTM_OK;
    }
    mtm_result result = replace_keep(path, to->err, error);
    return result == MTM_OK ? mtmi_file_write(path, text, length, error) : result;
}

static mtm_result write_sheet(const struct args *args, const mtm_show *show,
                              const mtm_cue_sheet *sheet, struct outlet *to, mtm_error *error)
{
    mtm_cue_write_options options = {.coarse_only = args_has(args, "coarse-only"),
                                     .clear_all = args_has(args, "clear-all"),
                                     .note = mtm_show_name(show),
                                     .rig = mtm_show_rig(show)};
    mtm_cue_write_report report = {0};
    char *text = NULL;
    size_t length = 0;

    mtm_result result = mtm_cue_text_write(sheet, &options, &text, &length, &report, error);
    if (result == MTM_OK)
        result = put_text(args, text, length, to, error);
    free(text);
    if (result != MTM_OK)
        return result;
    if (report.texts_changed > 0)
        (void)fprintf(to->err,
                      "metamer cues: %zu texts were cut, or lost characters that are not "
                      "ASCII\n",
                      report.texts_changed);
    if (report.times_rounded > 0)
        (void)fprintf(to->err, "metamer cues: %zu times were rounded to 0.1 s\n",
                      report.times_rounded);
    return MTM_OK;
}

static bool tell(void *context, double part)
{
    progress_show(context, "linking cues", part);
    return true;
}

/* Who hears of cues that are written without links. */
struct unlinked {
    struct progress *progress;
    FILE *err;
    size_t count;
};

static void tell_unlinked(void *context, const char *sentence)
{
    struct unlinked *unlinked = context;

    unlinked->count++;
    progress_end(unlinked->progress);
    (void)fprintf(unlinked->err, "metamer cues: written without links: %s\n", sentence);
}

static mtm_result export_show(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct progress progress = progress_begin(to->err);
    struct unlinked unlinked = {.progress = &progress, .err = to->err};
    mtm_cue_export_options options = {.no_parts = args_has(args, "no-parts"),
                                      .linked_tolerance = args_number(args, "linked", 0),
                                      .progress = tell,
                                      .progress_context = &progress,
                                      .remark = tell_unlinked,
                                      .remark_context = &unlinked};
    struct cues_picture picture = {.links = 0};
    mtm_show *show = NULL;
    mtm_cue_sheet *sheet = NULL;
    bool *meant = NULL;

    mtm_result result = picture_from_args(args, &picture.request, error);
    if (result == MTM_OK && args_has(args, "output"))
        result = replace_check("output", args_text(args, "output", ""), NULL, error);
    if (result == MTM_OK)
        result = mtm_show_load(args->words[0], &show, error);
    if (result == MTM_OK)
        result = marks_from_args(args, mtm_show_rig(show), show, &meant, error);
    options.meant = meant;
    if (result == MTM_OK)
        result = cues_picture_prepare(args, show, &picture, &options, error);
    if (result == MTM_OK)
        result = mtm_cue_sheet_from_show(show, &options, &sheet, error);
    progress_end(&progress);
    if (result == MTM_OK && picture.request.wanted)
        result = cues_picture_put(args, show, &picture, to, error);
    if (result == MTM_OK)
        result = show_note_goals(show, meant, "metamer cues: ", to->err, error);
    if (result == MTM_OK && args_has(args, "channels")) {
        const struct cues_read list = {.sheet = sheet, .rig = mtm_show_rig(show)};
        result = write_report(args, &list, to->out, error);
    } else if (result == MTM_OK && (!picture.request.alone || args_has(args, "output"))) {
        result = write_sheet(args, show, sheet, to, error);
    }
    to->status = unlinked.count > 0 ? EXIT_MISSED : EXIT_DONE;
    mtm_linked_course_free(picture.course);
    mtm_cue_sheet_free(sheet);
    mtm_show_free(show);
    free(meant);
    return result;
}

static mtm_result import_text(const struct args *args, const char *text, size_t length,
                              struct outlet *to, mtm_error *error)
{
    mtm_cue_sheet *sheet = NULL;
    mtm_result result = mtm_cue_text_read(text, length, NULL, &sheet, error);

    if (result != MTM_OK)
        return result;
    const struct cues_read report = {.sheet = sheet, .path = args->words[0]};
    result = write_report(args, &report, to->out, error);
    if (mtm_cue_sheet_remarks_of(sheet, MTM_CUE_ERROR) > 0)
        to->status = EXIT_USAGE;
    else if (mtm_cue_sheet_remarks_of(sheet, MTM_CUE_WARN) > 0)
        to->status = EXIT_MISSED;
    mtm_cue_sheet_free(sheet);
    return result;
}

static mtm_result check_use(const struct args *args, bool json, mtm_error *error)
{
    static const char *const of_shows[] = {"output",   "coarse-only", "clear-all",
                                           "no-parts", "linked",      "channels",
                                           "units",    "picture",     NULL};

    if (json && args_has(args, "format") && !args_has(args, "channels"))
        return mtmi_fail(error, MTM_PARSE,
                         "--format is for reading cue text and for --channels, and %s is a show",
                         args->words[0]);
    for (const char *const *option = of_shows; !json && *option != NULL; option++) {
        if (args_has(args, *option))
            return mtmi_fail(error, MTM_PARSE, "--%s is for shows, and %s is none", *option,
                             args->words[0]);
    }
    return MTM_OK;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;

    mtm_result result = mtmi_file_read(args->words[0], MTM_CUE_TEXT_MAX, &text, &length, error);
    bool json = result == MTM_OK && holds_json(text);
    if (result == MTM_OK)
        result = check_use(args, json, error);
    if (result == MTM_OK && json)
        result = export_show(args, to, error);
    else if (result == MTM_OK)
        result = import_text(args, text, length, to, error);
    free(text);
    return result;
}

static const struct option_spec write_options[] = {
    OPTION_WRITTEN(
        "output", "FILE",
        "write there, whole or not at all, and keep a numbered copy of what stood there; "
        "standard output by default"),
    OPTION_SOME_UNITS,
    OPTION_FLAG(
        "no-parts",
        "no parts where times up and down differ, for consoles that do not read them: colours "
        "stray during such fades"),
    OPTION_NUMBER(
        "linked", "TOLERANCE", 0.01, 100,
        "each cue as the fewest that follow each other such that straight fades between them "
        "keep to its way within this CIEDE2000 difference; 2 is a good beginning. A cue that "
        "cannot be so linked is written plain, with a remark"),
    OPTION_FLAG("channels",
                "no cue text, but the list of its channels: which carries what of which unit, and "
                "its slot",
                .against = "output no-parts linked coarse-only clear-all"),
    OPTION_FLAG("coarse-only",
                "fine channels at 0, for consoles that show steps when they fade pairs"),
    OPTION_FLAG("clear-all", "begin with CLEAR ALL: the console erases its own show first"),
    {0},
};

static const struct option_spec read_options[] = {
    OPTION_FORMAT(cues_writers, "how what was read, or the list of channels, is written"),
    {0},
};

static const struct option_spec drawn_options[] = {
    OPTION_NUMBER("cue", "N", 0.1, 9999.9,
                  "of linked cues, the one that is drawn; that with the longest chain if not said",
                  .with = "picture"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "Writing a show", .options = write_options},
    {.title = "Reading cue text", .options = read_options},
    {.title = "A picture of linked cues", .options = picture_options, .with = "linked"},
    {.title = "", .options = diagram_options},
    {.title = "", .options = drawn_options},
    {0}};

static const char *const examples[] = {
    "metamer cues examples/evening.json --output evening.txt",
    "metamer cues examples/evening.json --channels",
    "metamer cues examples/evening.json --linked 4 --output evening.txt",
    "metamer cues examples/evening.json --linked 4 --picture linked.svg",
    "metamer cues evening.txt",
    NULL,
};

const struct command cmd_cues = {
    .name = "cues",
    .summary = "write a show as cue text (USITT ASCII 3.0), or read such text",
    .usage = "SHOW|TEXT",
    .details =
        "SHOW is a show file (JSON), where an output is 0 to 1, or \"60%\", \"1200lm\" or \"max\", "
        "and rgb "
        "three numbers from 0 to 1, or to 255. Its cues are written as a console can read them: "
        "each with "
        "the levels that stand when it has run, its times, text and follow-on. Channels are "
        "counted unit after unit in the order of the rig; a 16-bit parameter is two channels, "
        "coarse and fine, and every channel is patched to its slot. Remarks, which consoles skip, "
        "list what each carries. A console fades straight in "
        "slots: the looks are right, the ways between them are its own. With --linked they are "
        "kept to by cues that follow each other; that supposes a console that fades coarse and "
        "fine as one value and can run cues so fast. Exit status: 1 if a cue could not be linked "
        "within the tolerance, and was written plain. A picture shows one cue: its way, the "
        "straight "
        "fades that stand for it, and the error between, of four units at most.\n\n"
        "TEXT is cue text. Everything in it that is not understood, or had to be changed, is told "
        "by line, and reading goes on. Exit status: 1 if something was changed or guessed, 2 if "
        "something was dropped.\n\n"
        "What is known of the standard here is not all of it, so conformance is not claimed. "
        "Load into a copy of the console's show first, and compare the looks.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
