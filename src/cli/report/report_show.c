/* SPDX-License-Identifier: MIT */
/* A show in a report: its cues, their times, and how smoothly they go. */
#include "cli/report/report_show.h"

#include "cli/show_notes.h"

#include "base/error.h"
#include "base/file.h"
#include "base/number.h"

#include <metamer/fade_report.h>

#include <math.h>
#include <stdlib.h>

/* The show on the rig that the report is of. */
static mtm_result load(const char *path, const mtm_rig *rig, struct report_show *show,
                       mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;
    mtm_result result = mtmi_file_read(path, MTMI_FILE_LIMIT, &text, &length, error);

    if (result == MTM_OK) {
        char *folder = mtmi_path_directory(path);
        result = folder == NULL
                     ? mtmi_fail_memory(error)
                     : mtm_show_parse(text, length, path, folder, rig, &show->show, error);
        free(folder);
    }
    free(text);
    return result;
}

/* Cues that are drawn, a page each: the first that move something. */
#define CUES_DRAWN 12
/* CIEDE2000 of a step that a careful eye sees: common practice, no source. */
#define VISIBLE 1.0

static mtm_result record(mtm_fader *fader, struct report_show *show, size_t cue, mtm_error *error)
{
    const size_t units = mtm_rig_unit_count(mtm_show_rig(show->show));
    const mtm_picture_options options = {.form = MTM_PICTURE_PDF};
    const mtm_fade_course_request request = {
        .finding = show->finding + cue * units,
        .units = MTM_FADE_PICTURE_UNITS,
        .moments = mtm_picture_moments(&options),
    };
    mtm_result result = mtm_fader_set_before(fader, cue, error);

    if (result == MTM_OK)
        result = mtm_fader_go(fader, cue, error);
    if (result == MTM_OK)
        result = mtm_fade_course_create(fader, &request, &show->course[cue], error);
    if (result == MTM_OK)
        show->view[cue] = (mtm_fade_view){.show = show->show,
                                          .cue = cue,
                                          .finding = request.finding,
                                          .course = show->course[cue],
                                          .visible = VISIBLE};
    return result;
}

static mtm_result examine(mtm_fader *fader, bool pictured, struct report_show *show,
                          mtm_error *error)
{
    const size_t units = mtm_rig_unit_count(mtm_show_rig(show->show));
    const size_t cues = mtm_show_cue_count(show->show);
    mtm_result result = MTM_OK;
    size_t room = 0, drawn = 0;

    if (mtmi_size_product(cues, units, &room))
        show->finding = calloc(room + 1, sizeof *show->finding);
    show->course = calloc(cues + 1, sizeof(mtm_fade_course *));
    show->view = calloc(cues + 1, sizeof *show->view);
    if (show->finding == NULL || show->course == NULL || show->view == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; result == MTM_OK && i < cues; i++) {
        bool moves = false;
        result = mtm_fade_examine(fader, i, show->finding + i * units, NULL, NULL, error);
        for (size_t k = 0; result == MTM_OK && k < units; k++)
            moves = moves || show->finding[i * units + k].moves;
        if (result == MTM_OK && moves && pictured && drawn++ < CUES_DRAWN)
            result = record(fader, show, i, error);
    }
    return result;
}

mtm_result report_show_find(const struct args *args, const mtm_rig *rig, bool pictured,
                            struct report_show *show, mtm_error *error)
{
    const mtm_fader_options usual = {.refresh_hz = 0};
    mtm_fader *fader = NULL;
    mtm_result result = load(args_text(args, "show", ""), rig, show, error);

    if (result == MTM_OK)
        result = mtm_fader_create(show->show, &usual, &fader, error);
    if (result == MTM_OK)
        result = mtm_fader_check(fader, error);
    if (result == MTM_OK)
        result = examine(fader, pictured, show, error);
    mtm_fader_free(fader);
    return result;
}

void report_show_free(struct report_show *show)
{
    for (size_t i = 0; show->course != NULL && i < mtm_show_cue_count(show->show); i++)
        mtm_fade_course_free(show->course[i]);
    free((void *)show->course);
    free(show->view);
    free(show->finding);
    mtm_show_free(show->show);
}

static void put_worst(struct report_row *row, const struct report_show *show, size_t cue)
{
    const mtm_rig *rig = mtm_show_rig(show->show);
    const mtm_fade_finding *all = show->finding + cue * mtm_rig_unit_count(rig);
    const mtm_fade_finding *worst = NULL;

    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++) {
        if (all[i].moves && (worst == NULL || mtmi_exceeds(all[i].step, worst->step)))
            worst = &all[i];
    }
    report_put_number(row, worst != NULL ? worst->step : (double)NAN, 2);
    report_put(row, worst != NULL ? mtm_rig_unit(rig, (size_t)(worst - all))->name : "");
}

static void add_cue(mtm_report *report, const struct report_show *show, size_t index,
                    struct report_row *row)
{
    const mtm_cue *cue = mtm_show_cue(show->show, index);

    report_put_text(row, "%.6g", cue->number);
    report_put(row, cue->text);
    report_put_text(row, "%.6g", cue->up_s);
    report_put_text(row, "%.6g", cue->down_s);
    report_put_text(row, "%.6g", cue->delay_s);
    if (cue->follow_s >= 0)
        report_put_text(row, "%.6g", cue->follow_s);
    else
        report_put(row, "-");
    put_worst(row, show, index);
    report_end_row(report, row);
}

static void say_goals(const void *of, FILE *out)
{
    const struct report_show *show = of;

    if (show_note_goals(show->show, NULL, "", out, NULL) != MTM_OK)
        (void)fprintf(out, "Which units cannot do as asked could not be told.\n");
}

static mtm_result draw_fade(const void *subject, const mtm_picture_options *options,
                            mtm_picture **out, mtm_error *error)
{
    return mtm_picture_of_fade(subject, options, out, error);
}

static void add_pictures(mtm_report *report, const struct report_show *show)
{
    for (size_t i = 0; i < mtm_show_cue_count(show->show); i++) {
        char text[40];
        if (show->course[i] == NULL)
            continue;
        (void)snprintf(text, sizeof text, "Cue %.6g", mtm_show_cue(show->show, i)->number);
        mtm_report_add_heading(report, 1, text);
        mtm_report_add_picture(report, "what units go through in it", 1, draw_fade, &show->view[i]);
    }
}

void report_add_show(mtm_report *report, const struct report_show *show)
{
    static const mtm_report_column columns[] = {
        {"Cue", true},     {"Text", false},     {"Up s", true},         {"Down s", true},
        {"Delay s", true}, {"Next at s", true}, {"Largest step", true}, {"Of unit", false},
    };
    struct report_row row = {.count = 0};

    mtm_report_add_heading(report, 1, "The cues");
    mtm_report_add_table(report, columns, sizeof columns / sizeof columns[0], 2);
    for (size_t i = 0; i < mtm_show_cue_count(show->show); i++)
        add_cue(report, show, i, &row);
    mtm_report_add_text(report, "Largest step: the largest colour difference (CIEDE2000) between "
                                "two frames in a row; 1 is about what a careful eye sees (common "
                                "practice, no source).");
    report_add_said(report, say_goals, show);
    add_pictures(report, show);
}
