/* SPDX-License-Identifier: MIT */
/* Sheets: every line fits 80 columns, every unit is there, CSV can be read back. */
#define TRIAL_NAME "r\xc3\xbcstung"
#include "support/trial.h"

#include <metamer/sheet.h>

#define LONG "a-name-that-is-far-too-long-for-any-column-of-a-sheet-of-paper-"
#define SUPPLY "left, \\\"upper\\\"" /* as JSON has it */

static const struct trial_supply supplies[] = {{SUPPLY, 6, 100, 300}};
static const struct trial_unit units[] = {
    {"second", "tunable-white.json", "16-bit", 63999, 509, SUPPLY, 2},
    {"first", "tunable-white.json", "16-bit", 1, 101, SUPPLY, 1},
    {"twin", "tunable-white.json", "16-bit", .supply = SUPPLY, .port = 3, .follows = "first"},
    {"open", "tunable-white.json", "16-bit"},
    {LONG LONG "n\xc3\xa4he", "tunable-white.json", "16-bit", .universe = 1},
};

static mtm_rig *make(void)
{
    return trial_rig_on(supplies, COUNT(supplies), units, COUNT(units));
}

static char *sheet_of(mtm_sheet_type type, mtm_sheet_format format)
{
    mtm_rig *rig = make();
    char *sheet = NULL;
    size_t length = 0;
    mtm_error error = {""};

    if (mtm_sheet_write(rig, type, format, &sheet, &length, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(strlen(sheet), length);
    mtm_rig_free(rig);
    return sheet;
}

static void check_width(const char *sheet)
{
    while (*sheet != '\0') {
        const char *end = strchr(sheet, '\n');
        int letters = 0;
        assert_non_null(end);
        for (const char *c = sheet; c < end; c++)
            letters += ((unsigned char)*c & 0xc0) != 0x80;
        if (letters > 80)
            fail_msg("%d columns: %.*s", letters, (int)(end - sheet), sheet);
        if (end > sheet && end[-1] == ' ')
            fail_msg("blank at the end: %.*s", (int)(end - sheet), sheet);
        sheet = end + 1;
    }
}

static void test_by_supply(void **state)
{
    char *sheet = sheet_of(MTM_SHEET_SUPPLY, MTM_SHEET_TEXT);

    (void)state;
    check_width(sheet);
    CHECK_HOLDS(sheet, "Patch by supply and port: " TRIAL_NAME "\n");
    CHECK_HOLDS(sheet, "6 ports of 100 W, 300 W in all; carries 3 units, 180 W");
    CHECK_HOLDS(sheet, "[ ] 1    first");
    CHECK_HOLDS(sheet, " 1/101-104\n");
    CHECK_HOLDS(sheet, " 63999/509-512\n");
    CHECK_HOLDS(sheet, "follows first\n");
    CHECK_HOLDS(sheet, "No supply: 2 units, 120 W");
    assert_true(strstr(sheet, "first ") < strstr(sheet, "second "));
    free(sheet);
}

static void test_by_address(void **state)
{
    char *sheet = sheet_of(MTM_SHEET_ADDRESS, MTM_SHEET_TEXT);

    (void)state;
    check_width(sheet);
    CHECK_HOLDS(sheet, "Universe 1: 4 of 512 slots in use");
    CHECK_HOLDS(sheet, "    1-100   free: 100 slots\n");
    CHECK_HOLDS(sheet, "[ ] 101-104 first");
    CHECK_HOLDS(sheet, "    105-512 free: 408 slots\n");
    CHECK_HOLDS(sheet, "Universe 63999: 4 of 512 slots in use\n");
    CHECK_HOLDS(sheet, "    1-508   free: 508 slots\n");
    CHECK_HOLDS(sheet, "No universe yet\n");
    free(sheet);
}

static void test_labels(void **state)
{
    char *sheet = sheet_of(MTM_SHEET_LABELS, MTM_SHEET_TEXT);

    (void)state;
    check_width(sheet);
    CHECK_HOLDS(sheet, "| universe 1   address 101 ");
    CHECK_HOLDS(sheet, "| universe 63999   address 509 ");
    CHECK_HOLDS(sheet, "| universe ____   address ____ ");
    /* a follower is plugged in where its leader is not */
    CHECK_HOLDS(sheet, "| port 3 of left, \"upper\" ");
    CHECK_HOLDS(sheet, "| follows first ");
    CHECK_HOLDS(sheet, "| mode 16-bit: 4 slots, 16 bit ");
    free(sheet);
}

/* RFC 4180: lines end with CR LF, quotes in a quoted cell are doubled. */
static void test_csv(void **state)
{
    char *sheet = sheet_of(MTM_SHEET_SUPPLY, MTM_SHEET_CSV);
    char *again = sheet_of(MTM_SHEET_ADDRESS, MTM_SHEET_CSV);
    size_t lines = 0;

    (void)state;
    for (const char *c = sheet; (c = strstr(c, "\r\n")) != NULL; c += 2)
        lines++;
    assert_int_equal(lines, 6);
    CHECK_HOLDS(sheet, "done,unit,fixture,mode,bits,slots,universe,start,end,supply,port,watts,"
                       "follows\r\n");
    CHECK_HOLDS(sheet,
                ",first,tunable white,16-bit,16,4,1,101,104,\"left, \"\"upper\"\"\",1,60,\r\n");
    CHECK_HOLDS(sheet,
                ",twin,tunable white,16-bit,16,4,1,101,104,\"left, \"\"upper\"\"\",3,60,first\r\n");
    CHECK_HOLDS(sheet, ",open,tunable white,16-bit,16,4,,,,,,60,\r\n");
    CHECK_HOLDS(again, ",open,tunable white,16-bit,16,4,,,,,,60,\r\n");
    CHECK_HOLDS(sheet, LONG LONG "n\xc3\xa4he");
    free(again);
    free(sheet);
}

static void test_bad_call(void **state)
{
    mtm_rig *rig = make();
    char *sheet = NULL;
    size_t length = 7;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(
        mtm_sheet_write(NULL, MTM_SHEET_SUPPLY, MTM_SHEET_TEXT, &sheet, &length, &error),
        MTM_INVALID);
    assert_int_equal(
        mtm_sheet_write(rig, (mtm_sheet_type)9, MTM_SHEET_TEXT, &sheet, &length, &error),
        MTM_INVALID);
    assert_null(sheet);
    assert_int_equal(length, 7);
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_supply), cmocka_unit_test(test_by_address),
        cmocka_unit_test(test_labels),    cmocka_unit_test(test_csv),
        cmocka_unit_test(test_bad_call),
    };

    return cmocka_run_group_tests_name("sheets", tests, NULL, NULL);
}
