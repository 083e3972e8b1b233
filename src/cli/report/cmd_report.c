/* SPDX-License-Identifier: MIT */
/* metamer report: what was asked of a rig and what it gives, to be handed over. */
#include "cli/args/target.h"
#include "cli/report/report_out.h"

#include "base/error.h"

#include <stdlib.h>
#include <string.h>

/* What a run holds and frees. */
struct work {
    struct match_asked asked;
    struct match_found found;
    struct match_drawn drawn;
    mtm_report *report;
    mtm_report_options options;
};

static bool goes_out(const char *path)
{
    return strcmp(path, "-") == 0;
}

/* The form by the ending; nothing is computed for a file that could not be written so. */
static mtm_result read_options(const struct args *args, struct work *work, mtm_error *error)
{
    const mtm_paper_info *paper = args_choice(args, "paper");
    const mtm_report_form_info *form = args_choice(args, "form");
    const char *path = args_text(args, "write", NULL);

    work->options.paper = paper->paper;
    work->options.form = form->form;
    if (path == NULL)
        return mtmi_fail(error, MTM_PARSE,
                         "--write FILE (or -o FILE) says where the report goes; - is the standard "
                         "output");
    if (args_has(args, "form") || goes_out(path))
        return MTM_OK;
    mtm_result result = mtm_report_form_from_path(path, &work->options.form, error);
    return result == MTM_INVALID ? MTM_PARSE : result;
}

static mtm_result compute(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_target target;
    mtm_result result = match_asked_open(args, &work->asked, error);

    if (result == MTM_OK)
        result = target_from_args(args, work->asked.opened.rig, &target, error);
    if (result == MTM_OK)
        result = match_find(args, &work->asked, &target, &work->found, error);
    return result == MTM_OK
               ? match_drawn_make(&work->found.report, work->asked.matcher, &work->drawn, error)
               : result;
}

/* Title: the job where it is stated, else the rig. */
static mtm_result open_report(const struct args *args, struct work *work, mtm_error *error)
{
    const mtm_rig *rig = work->asked.opened.rig;
    const char *job = report_stated(args, "job", mtm_rig_job(rig));

    work->options.date = report_stated(args, "date", mtm_rig_date(rig));
    work->options.author = report_stated(args, "by", mtm_rig_by(rig));
    return mtm_report_create(job != NULL ? job : mtm_rig_name(rig), &work->report, error);
}

static void add_files(const struct args *args, mtm_report *report)
{
    static const char *const options[] = {"spectrum", "calibration", "like", NULL};
    const char *path[8] = {args->words[0]};
    size_t count = 1;

    for (size_t i = 0; options[i] != NULL; i++) {
        if (args_has(args, options[i]) && strcmp(options[i], "like") != 0)
            path[count++] = args_text(args, options[i], "");
    }
    mtm_report_add_heading(report, 1, "Files");
    mtm_report_add_text(report, "What this report was made from: who has the same files has the "
                                "same checksums.");
    mtm_report_add_files(report, path, count);
}

static mtm_result put_out(const struct work *work, FILE *out, mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;
    mtm_result result = mtm_report_write(work->report, &work->options, &text, &length, error);

    if (result == MTM_OK && fwrite(text, 1, length, out) != length)
        result = mtmi_fail(error, MTM_IO, "the report could not be written whole");
    free(text);
    return result;
}

static mtm_result put_together(const struct args *args, struct work *work, struct outlet *to,
                               mtm_error *error)
{
    const mtm_rig *rig = work->asked.opened.rig;
    mtm_result result = open_report(args, work, error);

    if (result != MTM_OK)
        return result;
    report_add_cover(work->report, args, rig, &work->found.report);
    report_add_match(work->report, &work->found, &work->drawn.view);
    report_add_demand(work->report, rig, work->found.demand);
    report_add_cautions(work->report, args, rig);
    report_add_sources(work->report, args);
    add_files(args, work->report);
    report_add_signatures(work->report, args, rig);
    const char *path = args_text(args, "write", "");
    return goes_out(path) ? put_out(work, to->out, error)
                          : mtm_report_save(work->report, &work->options, path, error);
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    static const struct work nothing;
    struct work work = nothing;
    mtm_result result = read_options(args, &work, error);

    if (result == MTM_OK)
        result = compute(args, &work, error);
    if (result == MTM_OK)
        result = put_together(args, &work, to, error);
    for (size_t i = 0; result == MTM_OK && i < work.found.report.count; i++) {
        if (work.found.report.has_tolerance &&
            match_misses(&work.found.report, &work.found.match[i]))
            to->status = EXIT_MISSED;
    }
    mtm_report_free(work.report);
    match_drawn_free(&work.drawn);
    match_found_free(&work.found);
    match_asked_close(&work.asked);
    return result;
}

static const void *form_row_at(size_t index)
{
    return mtm_report_form_at(index);
}

static const void *paper_row_at(size_t index)
{
    return mtm_paper_at(index);
}

static const struct option_spec report_options[] = {
    OPTION_WRITTEN("write", "FILE",
                   "where the report goes (-o FILE does the same); the ending says what it is: "
                   ".pdf, pages for print; .txt and .csv, the same for archives, without pictures; "
                   "- is the standard output",
                   .letter = 'o'),
    OPTION_CHOICE_AT("form", "NAME", mtm_report_form_info, form_row_at,
                     "what the report is written as, whatever the ending; pdf where the standard "
                     "output has none",
                     .with = "write"),
    OPTION_TEXT("job", "TEXT", "what is done, on the cover; as the rig's file states it without"),
    OPTION_TEXT("site", "TEXT", "where that is; likewise"),
    OPTION_TEXT("date", "TEXT",
                "of the report; likewise, and where neither says one, none stands "
                "there"),
    OPTION_TEXT("by", "TEXT", "who hands it over; likewise"),
    OPTION_CHOICE_AT("paper", "NAME", mtm_paper_info, paper_row_at,
                     "of a PDF: a4 (the default) or letter"),
    OPTION_NUMBER("tolerance", "D", 0, 1,
                  "exit with 1 if a unit is farther than this from the target in u'v'"),
    OPTION_AS(NULL),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The report", .options = report_options},
    {.title = "The colour (one of them)", .options = target_options},
    {.title = "", .options = over_options, .with = "filter"},
    {.title = "", .options = like_options},
    {.title = "The match", .options = match_options},
    {.title = "How it is judged", .options = observer_options},
    {.title = "A second look", .options = match_quality_options},
    {0},
};

static const char *const examples[] = {
    "metamer report examples/hall.json --cct 3200 -o hall.pdf",
    "metamer report examples/hall.json --cct 3200 --together --job \"Spring concert\" --by \"the "
    "lighting crew\" --date 2026-03-12 -o concert.pdf --paper letter",
    "metamer report examples/hall.json --cct 3200 -o hall.csv",
    NULL,
};

const struct command cmd_report = {
    .name = "report",
    .summary = "put what a rig gives into a report to be handed over",
    .usage = "RIG",
    .details =
        "Matches the units of a rig as \"metamer match\" does and writes what came of it as one "
        "file: job, place, date and by whom, what was asked, what each unit gives and is sent, the "
        "picture, power by port and supply, cautions, where the figures come from, a SHA-256 of "
        "every file that was read, and room to sign. Job, site, date and by whom stand in the "
        "rig's file (\"job\", \"site\", \"date\", \"by\") or in options; nothing is made up, and "
        "what nobody states is left out. Without a date the same input gives the same file on "
        "every day.\n\n"
        "Tables that do not fit on a page go on, below the same heads, on the next; those that are "
        "too wide stand in parts.\n\n"
        "A report tells what the files state and what follows from it. Ratings on the equipment, "
        "local codes and licensed practice decide about power and rigging.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
