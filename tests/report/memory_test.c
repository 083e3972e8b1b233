/* SPDX-License-Identifier: MIT */
/* Reports whose memory runs out at each allocation: a sentence, nothing leaked, or the same bytes.
 */
#include "support/failing.h"

#include <metamer/report.h>

#include <stdlib.h>

static mtm_result make(mtm_report_form form, mtm_error *error)
{
    static const mtm_report_column columns[] = {{"Unit", false}, {"Δu'v'", true}};
    const mtm_report_options options = {.form = form};
    mtm_report *report = NULL;
    char *text = NULL;
    size_t length = 0;
    mtm_result result = mtm_report_create("hall", &report, error);

    if (result != MTM_OK)
        return result;
    mtm_report_add_heading(report, 1, "What each unit gives");
    mtm_report_add_contents(report);
    mtm_report_add_text(report, "Two units.");
    mtm_report_add_caution(report, "Caution: bright.");
    mtm_report_add_table(report, columns, 2, 1);
    mtm_report_add_row(report, (const char *const[]){"wash-1", "0.0001"});
    mtm_report_add_row(report, (const char *const[]){"wash-2", "-0.0002"});
    mtm_report_end_page(report);
    mtm_report_add_signature(report, "received by", "somebody");
    result = mtm_report_write(report, &options, &text, &length, error);
    if (result == MTM_OK && form != MTM_REPORT_PDF)
        failing_tell(text, length);
    free(text);
    mtm_report_free(report);
    return result;
}

static mtm_result make_text(mtm_error *error)
{
    return make(MTM_REPORT_TEXT, error);
}

static mtm_result make_csv(mtm_error *error)
{
    return make(MTM_REPORT_CSV, error);
}

/* Where fonts lie in a PDF goes with what the program drew before: its bytes are not compared. */
static mtm_result make_pdf(mtm_error *error)
{
    return make(MTM_REPORT_PDF, error);
}

static mtm_result make_sum(mtm_error *error)
{
    char path[512], sum[MTM_SHA256_ROOM];

    (void)snprintf(path, sizeof path, "%s/examples/hall.json", getenv("METAMER_SOURCE"));
    mtm_result result = mtm_file_sha256(path, sum, NULL, error);
    if (result == MTM_OK)
        failing_tell(sum, strlen(sum));
    return result;
}

static mtm_result make_files(mtm_error *error)
{
    const mtm_report_options options = {.form = MTM_REPORT_CSV};
    char path[512];
    const char *paths[] = {path};
    mtm_report *report = NULL;
    char *text = NULL;
    size_t length = 0;
    mtm_result result = mtm_report_create("hall", &report, error);

    if (result != MTM_OK)
        return result;
    (void)snprintf(path, sizeof path, "%s/profiles/five-colour-wash.json",
                   getenv("METAMER_SOURCE"));
    mtm_report_add_files(report, paths, 1);
    result = mtm_report_write(report, &options, &text, &length, error);
    free(text);
    mtm_report_free(report);
    return result;
}

static const failing_row rows[] = {{"text", make_text},
                                   {"csv", make_csv},
                                   {"pdf", make_pdf},
                                   {"sum", make_sum},
                                   {"files", make_files}};

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];
    mtm_error error = {""};
    mtm_result result = make(MTM_REPORT_PDF, &error); /* loads the libraries */

    if (result == MTM_UNSUPPORTED) {
        print_message("skipped: cairo and Pango are not here\n");
        return 77;
    }
    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("memory of reports", tests, NULL, NULL);
}
