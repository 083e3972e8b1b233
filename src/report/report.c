/* SPDX-License-Identifier: MIT */
/* Report: its forms, its papers, and writing it. */
#include "report/model.h"

#include "base/error.h"
#include "base/file.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

static const mtm_report_form_info forms[] = {
    {MTM_REPORT_PDF, "pdf", "pages for print, with bookmarks and pictures"},
    {MTM_REPORT_TEXT, "txt", "lines of text, for archives"},
    {MTM_REPORT_CSV, "csv", "the tables, for other programs"},
};
#define FORM_COUNT (sizeof forms / sizeof forms[0])

static const mtm_paper_info papers[] = {
    {MTM_PAPER_A4, "a4", "210 by 297 mm", 595.276, 841.89},
    {MTM_PAPER_LETTER, "letter", "8.5 by 11 inches", 612, 792},
};
#define PAPER_COUNT (sizeof papers / sizeof papers[0])

const mtm_report_form_info *mtm_report_form_at(size_t index)
{
    return index < FORM_COUNT ? &forms[index] : NULL;
}

const mtm_paper_info *mtm_paper_at(size_t index)
{
    return index < PAPER_COUNT ? &papers[index] : NULL;
}

mtm_result mtm_report_form_from_path(const char *path, mtm_report_form *form, mtm_error *error)
{
    if (path == NULL || form == NULL)
        return mtmi_fail(error, MTM_INVALID, "a path, and a place for its form, are needed");
    for (size_t i = 0; i < FORM_COUNT; i++) {
        if (strcasecmp(mtmi_path_ending(path), forms[i].name) == 0) {
            *form = forms[i].form;
            return MTM_OK;
        }
    }
    return mtmi_fail(error, MTM_INVALID,
                     "%.200s: the ending says what a report is written as; allowed are .pdf, .txt "
                     "and .csv",
                     path);
}

static mtm_result check(const mtm_report *report, const mtm_report_options *options,
                        mtm_error *error)
{
    if ((unsigned)options->form >= FORM_COUNT)
        return mtmi_fail(error, MTM_INVALID, "there is no such form of a report: %d",
                         (int)options->form);
    if ((unsigned)options->paper >= PAPER_COUNT)
        return mtmi_fail(error, MTM_INVALID, "there is no such paper: %d", (int)options->paper);
    if (report->failed)
        return mtmi_fail_memory(error);
    if (report->missing)
        return mtmi_fail(error, MTM_INVALID,
                         "something was added to the report that is not there: words, a table of 1 "
                         "to %d columns, a row behind a table, or what draws a picture",
                         MTM_REPORT_COLUMNS_MAX);
    return MTM_OK;
}

mtm_result mtm_report_write(const mtm_report *report, const mtm_report_options *options,
                            char **text, size_t *length, mtm_error *error)
{
    static const mtm_report_options usual = {.form = MTM_REPORT_PDF};
    const mtm_report_options *how = options != NULL ? options : &usual;
    mtmi_text bytes = {0};

    if (report == NULL || text == NULL || length == NULL)
        return mtmi_fail(error, MTM_INVALID, "a report, and a place for its text, are needed");
    mtm_result result = check(report, how, error);
    if (result != MTM_OK)
        return result;
    if (how->form == MTM_REPORT_PDF)
        result = mtmi_report_as_pdf(report, how, &bytes, error);
    else if (how->form == MTM_REPORT_TEXT)
        mtmi_report_as_text(report, &bytes);
    else
        mtmi_report_as_csv(report, &bytes);
    if (result == MTM_OK && bytes.failed)
        result = mtmi_fail_memory(error);
    if (result != MTM_OK) {
        mtmi_text_free(&bytes);
        return result;
    }
    *text = bytes.data;
    *length = bytes.length;
    return MTM_OK;
}

mtm_result mtm_report_save(const mtm_report *report, const mtm_report_options *options,
                           const char *path, mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;

    if (path == NULL)
        return mtmi_fail(error, MTM_INVALID, "a path is needed");
    mtm_result result = mtm_report_write(report, options, &text, &length, error);
    if (result == MTM_OK)
        result = mtmi_file_write(path, text, length, error);
    free(text);
    return result;
}
