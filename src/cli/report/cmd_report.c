/* SPDX-License-Identifier: MIT */
/* metamer report: what was asked of a rig and what it gives, to be handed over. */
#include "cli/args/target.h"
#include "cli/report/report_show.h"
#include "cli/report/report_trim.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Most matches of a report: judgements hold spectra, and this bounds the memory. */
#define MATCHES_MAX 20000

/* What a run holds and frees. */
struct work {
    struct match_asked asked;
    mtm_palette *palette; /* of --targets; NULL: one colour */
    struct report_trim trim;
    struct report_colour *colour; /* count of them, which do not move */
    size_t count;
    struct report_show show;
    mtm_demand *demand, *full;
    mtm_demand_case cases[2];
    mtm_demand_view power;
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

/* Leaves the units that were trimmed out of those that are matched. */
static void leave_trimmed(struct work *work)
{
    struct opened *opened = &work->asked.opened;
    size_t kept = 0;

    for (size_t i = 0; i < opened->unit_count; i++) {
        if (!report_trimmed(&work->trim, opened->unit[i]))
            opened->unit[kept++] = opened->unit[i];
    }
    opened->unit_count = kept;
}

/* The colours that are asked for, before anything is matched. */
static mtm_result read_colours(const struct args *args, struct work *work, mtm_error *error)
{
    const struct opened *opened = &work->asked.opened;
    const char *path = args_text(args, "targets", NULL);
    mtm_result result = MTM_OK;

    if (path != NULL)
        result = mtm_palette_load(path, opened->rig, opened->observer, &work->palette, error);
    if (result != MTM_OK)
        return result;
    const size_t count = path != NULL ? mtm_palette_count(work->palette) : 1;
    if (path != NULL && opened->unit_count > MATCHES_MAX / count)
        return mtmi_fail(error, MTM_RANGE,
                         "--targets: %zu units in %zu colours are more than %d matches; choose "
                         "fewer with --units",
                         opened->unit_count, count, MATCHES_MAX);
    work->colour = calloc(count, sizeof *work->colour);
    if (work->colour == NULL)
        return mtmi_fail_memory(error);
    work->count = count;
    if (path == NULL)
        return target_from_args(args, opened->rig, &work->colour[0].target, error);
    for (size_t i = 0; i < count; i++) {
        work->colour[i].name = mtm_palette_colour_name(work->palette, i);
        work->colour[i].target = *mtm_palette_colour(work->palette, i);
    }
    return MTM_OK;
}

static mtm_result match(const struct args *args, const struct match_asked *asked,
                        struct report_colour *colour, mtm_error *error)
{
    struct match_found *found = &colour->found;

    if (asked->opened.unit_count == 0)
        return MTM_OK;
    mtm_result result = match_find(args, asked, &colour->target, found, error);
    if (result == MTM_OK)
        result = match_drawn_make(&found->report, asked->matcher, &colour->drawn, error);
    colour->light = (mtm_match_light_view){.rig = asked->opened.rig,
                                           .target = &colour->target,
                                           .match = found->match,
                                           .judgement = found->judgement,
                                           .count = found->report.count};
    return result;
}

/* What the codes of the report take; what a unit takes at full where no more is known. */
static void take_watts(const struct work *work, const double *full, double *watts)
{
    const mtm_rig *rig = work->asked.opened.rig;
    const size_t trimmed = work->trim.calibration != NULL ? trim_rows(&work->trim.report) : 0;

    for (size_t i = 0; i < work->colour[0].found.report.count; i++) {
        const mtm_match *one = &work->colour[0].found.match[i];
        watts[one->unit] = isfinite(one->watts) ? one->watts : full[one->unit];
    }
    for (size_t i = 0; i < trimmed; i++) {
        const mtm_trim_unit *one = trim_row(&work->trim.report, i);
        watts[one->unit] = mtm_demand_level_w(mtm_rig_unit(rig, one->unit), one->level);
    }
}

/* The same, beside what all would take at full. */
static mtm_result weigh(struct work *work, mtm_error *error)
{
    const mtm_rig *rig = work->asked.opened.rig;
    const size_t units = mtm_rig_unit_count(rig);
    double *full = calloc(units + 1, sizeof *full);
    double *watts = calloc(units + 1, sizeof *watts);

    if (full == NULL || watts == NULL) {
        free(full);
        free(watts);
        return mtmi_fail_memory(error);
    }
    for (size_t i = 0; i < units; i++) {
        const mtm_unit *unit = mtm_rig_unit(rig, i);
        full[i] = fmax(0, mtm_demand_full_w(unit) - mtm_fixture_standby_w(unit->fixture));
    }
    take_watts(work, full, watts);
    mtm_result result = mtm_demand_create(rig, watts, NULL, &work->demand, error);
    if (result == MTM_OK)
        result = mtm_demand_create(rig, full, NULL, &work->full, error);
    free(full);
    free(watts);
    for (size_t i = 1; result == MTM_OK && i < work->count; i++)
        mtm_demand_take_fuller(work->demand, work->colour[i].found.demand);
    work->cases[0] = (mtm_demand_case){
        work->count > 1 ? "the colours, each at its fullest" : "this report", work->demand};
    work->cases[1] = (mtm_demand_case){"all full", work->full};
    work->power = (mtm_demand_view){rig, work->cases, 2};
    return result;
}

static mtm_result compute(const struct args *args, struct work *work, mtm_error *error)
{
    mtm_result result = match_asked_open(args, &work->asked, error);

    if (result == MTM_OK)
        result = read_colours(args, work, error);
    if (result == MTM_OK && args_has(args, "trim")) {
        result = report_trim_find(args, &work->asked, &work->colour[0].target, &work->trim, error);
        if (result == MTM_OK)
            leave_trimmed(work);
    }
    for (size_t i = 0; result == MTM_OK && i < work->count; i++)
        result = match(args, &work->asked, &work->colour[i], error);
    if (result == MTM_OK)
        result = weigh(work, error);
    if (result == MTM_OK && args_has(args, "show"))
        result = report_show_find(args, work->asked.opened.rig,
                                  work->options.form == MTM_REPORT_PDF, &work->show, error);
    return result;
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
    static const char *const named[] = {"spectrum", "targets", "calibration", "trim",
                                        "meter",    "show",    NULL};
    static const char *const perhaps[] = {"filter", "over", NULL}; /* files, or names */
    const char *path[10] = {args->words[0]};
    size_t count = 1;

    for (size_t i = 0; named[i] != NULL; i++) {
        if (args_has(args, named[i]))
            path[count++] = args_text(args, named[i], "");
    }
    for (size_t i = 0; perhaps[i] != NULL; i++) {
        const char *text = args_text(args, perhaps[i], "");
        if (access(text, R_OK) == 0)
            path[count++] = text;
    }
    mtm_report_add_heading(report, 1, "Files");
    mtm_report_add_text(report, "What this report was made from: who has the same files has the "
                                "same checksums.");
    mtm_report_add_files(report, path, count);
}

static void add_all(const struct args *args, struct work *work)
{
    const mtm_rig *rig = work->asked.opened.rig;
    const bool trimmed = work->trim.calibration != NULL;
    const bool matched = work->colour[0].found.report.count > 0;
    const struct report_subject subject = {
        .rig = rig,
        .colour = work->colour,
        .count = work->count,
        .request = &work->asked.request,
        .trimmed = trimmed ? trim_rows(&work->trim.report) : 0,
        .together = args_has(args, "together"),
    };

    report_add_cover(work->report, args, &subject);
    if (trimmed)
        report_add_trim(work->report, args, &work->trim);
    for (size_t i = 0; matched && i < work->count; i++)
        report_add_match(work->report, &work->colour[i]);
    if (work->show.show != NULL)
        report_add_show(work->report, &work->show);
    report_add_demand(work->report, &work->power);
    report_add_kinds(work->report, rig);
    report_add_cautions(work->report, rig);
    report_add_sources(work->report, trimmed, work->show.show != NULL);
    add_files(args, work->report);
    report_add_signatures(work->report, args, rig);
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
    mtm_result result = open_report(args, work, error);

    if (result != MTM_OK)
        return result;
    add_all(args, work);
    const char *path = args_text(args, "write", "");
    return goes_out(path) ? put_out(work, to->out, error)
                          : mtm_report_save(work->report, &work->options, path, error);
}

static bool missed(const struct work *work)
{
    for (size_t k = 0; k < work->count; k++) {
        const struct match_report *report = &work->colour[k].found.report;
        for (size_t i = 0; report->has_tolerance && i < report->count; i++) {
            if (match_misses(report, &report->match[i]))
                return true;
        }
    }
    return report_trim_missed(&work->trim);
}

static void free_work(struct work *work)
{
    mtm_report_free(work->report);
    mtm_demand_free(work->full);
    mtm_demand_free(work->demand);
    report_show_free(&work->show);
    for (size_t i = 0; i < work->count; i++) {
        match_drawn_free(&work->colour[i].drawn);
        match_found_free(&work->colour[i].found);
    }
    free(work->colour);
    mtm_palette_free(work->palette);
    report_trim_free(&work->trim);
    match_asked_close(&work->asked);
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
    if (result == MTM_OK && missed(&work))
        to->status = EXIT_MISSED;
    free_work(&work);
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
    OPTION_TEXT("show", "SHOW", "a show file of this rig, whose cues are told of"),
    OPTION_AS(NULL),
    {0},
};

static const struct option_spec palette_options[] = {
    OPTION_TEXT("targets", "FILE",
                "many colours: those of a palette (\"colours/1\"), each with its tables and "
                "pictures",
                .against = "trim"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "The report", .options = report_options},
    {.title = "The colour (one of them)", .options = target_options, .against = "targets"},
    {.title = "", .options = over_options, .with = "filter"},
    {.title = "", .options = like_options, .against = "targets"},
    {.title = "Or the colours of a palette", .options = palette_options},
    {.title = "The match", .options = match_options},
    {.title = "How it is judged", .options = observer_options},
    {.title = "A second look", .options = match_quality_options},
    {.title = "Units that were read", .options = report_trim_options},
    {0},
};

static const char *const examples[] = {
    "metamer report examples/hall.json --cct 3200 -o hall.pdf",
    "metamer report examples/hall.json --cct 3200 --together --job \"Spring concert\" --by \"the "
    "lighting crew\" --date 2026-03-12 -o concert.pdf --paper letter",
    "metamer report examples/hall.json --cct 3000 --trim examples/hall-readings.csv --show "
    "examples/evening.json -o hall.txt",
    NULL,
};

const struct command cmd_report = {
    .name = "report",
    .summary = "put what a rig gives into a report to be handed over",
    .usage = "RIG",
    .details =
        "Matches the units of a rig as \"metamer match\" does and writes what came of it as one "
        "file: job, place, date and by whom, what was asked, what each unit gives and is sent, the "
        "pictures, power by port and supply, cautions, where the figures come from, a SHA-256 of "
        "every file that was read, and room to sign. Job, site, date and by whom stand in the "
        "rig's file (\"job\", \"site\", \"date\", \"by\") or in options; nothing is made up, and "
        "what nobody states is left out. Without a date the same input gives the same file on "
        "every day.\n\n"
        "With --targets, each colour of a palette has its tables and pictures.\n\n"
        "With --trim, units that a meter read are trimmed, and what they were and will be, how "
        "sure "
        "that is, and the meter's data stand first; the others are matched. With --show, the cues "
        "follow, with the largest step on the way to each.\n\n"
        "Tables that do not fit on a page go on, below the same heads, on the next; those that are "
        "too wide stand in parts.\n\n"
        "A report tells what the files state and what follows from it. Ratings on the equipment, "
        "local codes and licensed practice decide about power and rigging.\n\n"
        "Exits with 1 if a unit is farther from the target than --tolerance, or, with --trim, one "
        "is "
        "not proven inside its tolerance or a reading is in doubt.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
