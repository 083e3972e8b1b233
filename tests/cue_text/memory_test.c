/* SPDX-License-Identifier: MIT */
/* Failing memory where cue text is made, written and read. */
#include "support/failing.h"

#include "cue_text/linked.h"

#include <metamer/cue_export.h>
#include <metamer/linked_course.h>

#include <unistd.h>

static mtm_show *show;
static mtm_cue_sheet *sheet; /* of the show */
static char *text;           /* of the sheet */
static size_t text_length;

static void tell_sheet(const mtm_cue_sheet *of)
{
    failing_tell_text(mtm_cue_sheet_manufacturer(of));
    for (size_t i = 0; i < mtm_cue_sheet_count(of); i++) {
        const mtm_cue_entry *cue = mtm_cue_sheet_at(of, i);
        failing_tell(&cue->number_tenths, sizeof cue->number_tenths);
        for (size_t p = 0; p < cue->part_count; p++) {
            failing_tell_text(cue->part[p].text != NULL ? cue->part[p].text : "");
            failing_tell(&cue->part[p].up_s, sizeof cue->part[p].up_s);
            for (size_t l = 0; l < cue->part[p].level_count; l++)
                failing_tell(&cue->part[p].level[l].level, 1);
        }
    }
    for (size_t i = 0; i < mtm_cue_sheet_remark_count(of); i++)
        failing_tell_text(mtm_cue_sheet_remark(of, i).text);
}

/* More cues than a sheet has room for at first; one takes the place of another. */
static mtm_result build_sheet(mtm_error *error)
{
    const mtm_cue_level level[] = {{1, 200}, {7, 3}};
    const mtm_cue_part part[] = {
        {.text = "open", .has_up = true, .up_s = 3, .level_count = 2, .level = level},
        {.number = 1, .level_count = 1, .level = level}};
    mtm_cue_sheet *made = NULL;
    mtm_result result = mtm_cue_sheet_create(&made, error);

    if (result != MTM_OK) {
        assert_null(made);
        return result;
    }
    for (uint32_t i = 0; result == MTM_OK && i < 40; i++) {
        const size_t before = mtm_cue_sheet_count(made);
        const mtm_cue_entry cue = {
            .number_tenths = 10 * (i % 39 + 1), .part_count = 2, .part = part};
        result = mtm_cue_sheet_add(made, &cue, error);
        if (result != MTM_OK)
            assert_int_equal(mtm_cue_sheet_count(made), before);
    }
    if (result == MTM_OK)
        result = mtm_cue_sheet_patch(made, (mtm_cue_patch){1, 13, 255}, error);
    if (result == MTM_OK)
        result = mtm_cue_sheet_pair(made, 1, error);
    if (result == MTM_OK)
        result = mtm_cue_sheet_set_maker(made, "own", "none", error);
    if (result == MTM_OK)
        tell_sheet(made);
    mtm_cue_sheet_free(made);
    return result;
}

static mtm_result write_text(mtm_error *error)
{
    mtm_cue_write_options options = {.note = "an evening", .rig = mtm_show_rig(show)};
    mtm_cue_write_report report;
    char *made = NULL;
    size_t length = 77;

    failing_mark(&report, sizeof report);
    mtm_result result = mtm_cue_text_write(sheet, &options, &made, &length, &report, error);
    if (result != MTM_OK) {
        assert_true(made == NULL && length == 77);
        failing_check_mark(&report, sizeof report);
    } else {
        failing_tell(made, length);
    }
    free(made);
    return result;
}

static mtm_result read_back(const char *from, size_t length, mtm_error *error)
{
    mtm_cue_sheet *made = NULL;
    mtm_result result = mtm_cue_text_read(from, length, NULL, &made, error);

    if (result != MTM_OK)
        assert_null(made);
    else
        tell_sheet(made);
    mtm_cue_sheet_free(made);
    return result;
}

static mtm_result read_text(mtm_error *error)
{
    return read_back(text, text_length, error);
}

/* What is remarked on: a byte order mark, a line that nothing knows, a level out of range. */
static mtm_result read_remarks(mtm_error *error)
{
    static const char odd[] = "\xef\xbb\xbfIdent 3:0\r\nnonsense here\r\nCue 1\r\nText a very "
                              "long\x01 text\r\nUp 99:99:99.99\r\nChan 1/H1FF 2@HZZ 3/50\r\nCue "
                              "1\r\nPart 2\r\nChan 70000/FF\r\nEndData\r\n";

    return read_back(odd, sizeof odd - 1, error);
}

static mtm_result export_with(double linked_tolerance, mtm_error *error)
{
    const mtm_cue_export_options options = {.linked_tolerance = linked_tolerance};
    mtm_cue_sheet *made = NULL;
    mtm_result result = mtm_cue_sheet_from_show(show, &options, &made, error);

    if (result != MTM_OK)
        assert_null(made);
    else
        tell_sheet(made);
    mtm_cue_sheet_free(made);
    return result;
}

static mtm_result export_show(mtm_error *error)
{
    return export_with(0, error);
}

static mtm_result link_cue(mtm_error *error)
{
    mtm_fader *fader = NULL;
    mtm_linked_course *course = NULL;
    mtm_linked *linked = NULL;
    mtm_result result = mtm_fader_create(show, NULL, &fader, error);

    if (result == MTM_OK)
        result = mtm_linked_create(fader, 0, 12, NULL, NULL, &linked, error);
    if (result != MTM_OK)
        assert_null(linked);
    if (result == MTM_OK)
        result = mtm_linked_course_create(fader, 0, linked, NULL, 2, &course, error);
    for (size_t i = 0; i < mtm_linked_course_units(course); i++)
        failing_tell(mtm_linked_course_of(course, i), sizeof(mtm_linked_moment));
    mtm_linked_course_free(course);
    for (size_t i = 0; result == MTM_OK && i < mtm_linked_count(linked); i++) {
        double time_s = mtm_linked_time_s(linked, i);
        mtm_codes codes = mtm_linked_codes(linked, i, 0);
        failing_tell(&time_s, sizeof time_s);
        failing_tell(&codes, sizeof codes);
    }
    mtm_linked_free(linked);
    mtm_fader_free(fader);
    return result;
}

static const failing_row rows[] = {
    {"build a sheet", build_sheet}, {"write cue text", write_text},
    {"read cue text", read_text},   {"read cue text with remarks", read_remarks},
    {"export a show", export_show}, {"link a cue", link_cue},
};

static int enter(void **state)
{
    const char *source = getenv("METAMER_SOURCE");
    const mtm_cue_export_options plain = {0};
    const mtm_cue_write_options usual = {0};

    (void)state;
    if (source == NULL || chdir(source) != 0 ||
        mtm_show_load("examples/evening.json", &show, NULL) != MTM_OK ||
        mtm_cue_sheet_from_show(show, &plain, &sheet, NULL) != MTM_OK)
        return -1;
    return mtm_cue_text_write(sheet, &usual, &text, &text_length, NULL, NULL) == MTM_OK ? 0 : -1;
}

static int leave(void **state)
{
    (void)state;
    free(text);
    mtm_cue_sheet_free(sheet);
    mtm_show_free(show);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, failing_test);
    return cmocka_run_group_tests_name("cue_text_memory", tests, enter, leave);
}
