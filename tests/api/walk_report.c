/* SPDX-License-Identifier: MIT */
/* The walk through reports. */
#include "walk.h"

#include <metamer/report.h>

#include <math.h>

/* Each thing that is not there makes the whole report one that is refused. */
#define BAD_PART(function, ...)                                                                    \
    do {                                                                                           \
        mtm_report *bad_ = NULL;                                                                   \
        function(NULL, __VA_ARGS__);                                                               \
        walk_note(#function);                                                                      \
        DONE(mtm_report_create, "r", &bad_);                                                       \
        function(bad_, __VA_ARGS__);                                                               \
        REFUSED(mtm_report_write, bad_, &as_text, &text, &length);                                 \
        mtm_report_free(bad_);                                                                     \
    } while (0)

static mtm_result draw_nothing(const void *subject, const mtm_picture_options *options,
                               mtm_picture **out, mtm_error *error)
{
    (void)subject;
    (void)options;
    (void)out;
    (void)error;
    return MTM_OK;
}

static void walk_report_parts(const mtm_report_options *options)
{
    const mtm_report_options as_text = *options;
    const mtm_report_column column = {"c", false};
    char *text = NULL;
    size_t length = 0;

    BAD_PART(mtm_report_add_heading, 1, NULL);
    BAD_PART(mtm_report_add_text, NULL);
    BAD_PART(mtm_report_add_caution, NULL);
    BAD_PART(mtm_report_add_table, NULL, 1, 0);
    BAD_PART(mtm_report_add_table, &column, 0, 0);
    BAD_PART(mtm_report_add_table, &column, MTM_REPORT_COLUMNS_MAX + 1, 0);
    BAD_PART(mtm_report_add_row, (const char *const[]){"cell"});
    BAD_PART(mtm_report_add_picture, "what", 1, NULL, &world);
    BAD_PART(mtm_report_add_picture, "what", (double)NAN, draw_nothing, &world);
    BAD_PART(mtm_report_add_signature, NULL, NULL);
    mtm_report_add_contents(NULL);
    walk_note("mtm_report_add_contents");
    mtm_report_end_page(NULL);
    walk_note("mtm_report_end_page");
    mtm_report_add_files(NULL, NULL, 1);
    walk_note("mtm_report_add_files");
    HOLDS(mtm_report_write, text == NULL && length == 0);
}

void walk_reports(void **state)
{
    mtm_report_options options = {.form = MTM_REPORT_TEXT};
    mtm_report_form form = MTM_REPORT_CSV;
    mtm_report *report = NULL;
    char sum[MTM_SHA256_ROOM];
    char *text = NULL;
    size_t length = 0;

    (void)state;
    HOLDS(mtm_report_form_at, mtm_report_form_at(0) != NULL && mtm_report_form_at(99) == NULL);
    HOLDS(mtm_paper_at, mtm_paper_at(0) != NULL && mtm_paper_at(99) == NULL);
    REFUSED(mtm_report_form_from_path, NULL, &form);
    REFUSED(mtm_report_form_from_path, "a.pdf", NULL);
    REFUSED(mtm_report_form_from_path, "a.doc", &form);
    HOLDS(mtm_report_form_from_path, form == MTM_REPORT_CSV);
    REFUSED(mtm_report_create, NULL, &report);
    REFUSED(mtm_report_create, "", &report);
    REFUSED(mtm_report_create, "r", NULL);
    walk_report_parts(&options);
    DONE(mtm_report_create, "r", &report);
    REFUSED(mtm_report_write, NULL, &options, &text, &length);
    REFUSED(mtm_report_write, report, &options, NULL, &length);
    REFUSED(mtm_report_write, report, &options, &text, NULL);
    REFUSED(mtm_report_save, report, &options, NULL);
    REFUSED(mtm_report_save, NULL, &options, "r.txt");
    options.form = (mtm_report_form)NO_ENUM;
    REFUSED(mtm_report_write, report, &options, &text, &length);
    options = (mtm_report_options){.paper = (mtm_paper)NO_ENUM};
    REFUSED(mtm_report_write, report, &options, &text, &length);
    REFUSED(mtm_file_sha256, NULL, sum, NULL);
    REFUSED(mtm_file_sha256, "r", NULL, NULL);
    mtm_report_free(report);
    mtm_report_free(NULL);
    walk_note("mtm_report_free");
}
