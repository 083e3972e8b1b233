/* SPDX-License-Identifier: MIT */
/* Sheets: every line fits 80 columns, every unit is there, CSV can be read back. */
#define TRIAL_NAME "r\xc3\xbcstung"
#include "support/trial.h"

#include <metamer/readings.h>
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

/* Frees the rig. */
static char *sheet_as(mtm_rig *rig, const mtm_sheet_request *request)
{
    char *sheet = NULL;
    size_t length = 0;
    mtm_error error = {""};

    if (mtm_sheet_write(rig, request, &sheet, &length, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(strlen(sheet), length);
    mtm_rig_free(rig);
    return sheet;
}

static char *sheet_of(mtm_sheet_type type, mtm_sheet_format format)
{
    return sheet_as(make(), &(mtm_sheet_request){.type = type, .format = format});
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
                       "follows,circuit,breaker,position,remark\r\n");
    CHECK_HOLDS(sheet,
                ",first,tunable white,16-bit,16,4,1,101,104,\"left, \"\"upper\"\"\",1,60,,,,,\r\n");
    CHECK_HOLDS(
        sheet,
        ",twin,tunable white,16-bit,16,4,1,101,104,\"left, \"\"upper\"\"\",3,60,first,,,,\r\n");
    CHECK_HOLDS(sheet, ",open,tunable white,16-bit,16,4,,,,,,60,,,,,\r\n");
    CHECK_HOLDS(again, ",open,tunable white,16-bit,16,4,,,,,,60,,,,,\r\n");
    CHECK_HOLDS(sheet, LONG LONG "n\xc3\xa4he");
    free(again);
    free(sheet);
}

#define TRUSS "over the front of the stage, on the second truss from the house, left of the middle"

/* Forty units of which each has a remark; every fourth hangs on the truss. */
static mtm_rig *many(void)
{
    struct trial_text list = {.length = 0};

    for (int i = 0; i < 40; i++)
        trial_add(
            &list,
            "%s{'name': 'u%02d', 'fixture': 'tunable-white.json', 'mode': '16-bit', "
            "'universe': 1, 'address': %d, 'supply': 'S1', 'port': %d, 'remark': 'lens %d'%s}",
            i > 0 ? ", " : "", i, 1 + 4 * i, i + 1, i,
            i % 4 == 0 ? ", 'position': '" TRUSS "'" : "");
    return trial_rig_of("'revision': 'C', 'date': '4 May', "
                        "'circuits': [{'name': 'C1', 'breaker': 'panel A 4', 'rated_a': 16}], "
                        "'supplies': [{'name': 'S1', 'ports': 40, 'port_w': 100, 'total_w': 4000, "
                        "'circuit': 'C1'}], 'units': [%s]",
                        list.data);
}

static size_t count_of(const char *text, const char *part)
{
    size_t count = 0;

    for (const char *at = text; (at = strstr(at, part)) != NULL; at += strlen(part))
        count++;
    return count;
}

/* No page is longer than it may be, each has its heads, every unit stands on one. */
static void check_pages(const char *sheet, int page_lines, const char *head)
{
    size_t pages = count_of(sheet, "\f") + 1;
    int lines = 0;

    assert_true(pages > 1);
    for (const char *c = sheet; *c != '\0'; c++) {
        lines = *c == '\f' ? 0 : lines + (*c == '\n');
        if (lines > page_lines)
            fail_msg("%d lines on a page of %d:\n%s", lines, page_lines, sheet);
    }
    assert_int_equal(count_of(sheet, head), pages);
    assert_int_equal(count_of(sheet, "revision C, 4 May\n"), pages);
    assert_int_equal(count_of(sheet, "remark: lens "), 40);
}

static void test_pages(void **state)
{
    static const int sizes[] = {MTM_SHEET_PAGE_LEAST, 31, 60};

    (void)state;
    for (size_t i = 0; i < COUNT(sizes); i++) {
        char *sheet = sheet_as(many(), &(mtm_sheet_request){.page_lines = sizes[i]});
        check_pages(sheet, sizes[i], "\non circuit C1, 16 A, breaker panel A 4\n");
        CHECK_HOLDS(sheet, "  page 2 of ");
        CHECK_HOLDS(sheet, "\non this page: ");
        CHECK_HOLDS(sheet, "\nIn all: 40 units, 2400 W\n"
                           "  on circuit C1, 16 A, breaker panel A 4: 40 units, 2400 W\n");
        free(sheet);
    }
    char *sheet = sheet_as(many(), &(mtm_sheet_request){.revision = "D", .date = "today"});
    assert_int_equal(count_of(sheet, "\f"), 0);
    CHECK_HOLDS(sheet, "revision D, today\n");
    check_width(sheet);
    free(sheet);
}

static void test_by_position(void **state)
{
    char *sheet = sheet_as(many(), &(mtm_sheet_request){.type = MTM_SHEET_POSITION});

    (void)state;
    check_width(sheet);
    /* wrapped, and each position once */
    CHECK_HOLDS(sheet, "\nover the front of the stage, on the second truss from the house, left of "
                       "the\nmiddle\n10 units, 600 W\n");
    CHECK_HOLDS(sheet, "\nNo position yet\n30 units, 1800 W\n");
    CHECK_HOLDS(sheet, "[ ] 1/17-20     u04");
    free(sheet);
}

static void test_some_units(void **state)
{
    const size_t unit[] = {7, 3};
    char *sheet = sheet_as(
        many(), &(mtm_sheet_request){.type = MTM_SHEET_ADDRESS, .unit = unit, .unit_count = 2});

    (void)state;
    CHECK_HOLDS(sheet, "In all: 2 units, 120 W");
    assert_null(strstr(sheet, "free:")); /* what the others leave is not told */
    assert_true(strstr(sheet, "u03") < strstr(sheet, "u07"));
    free(sheet);
}

/* The room first, then full codes of every unit, then the lower ones: 16 bits at 50 % are 32768. */
static void test_readings(void **state)
{
    const size_t unit[] = {7, 3};
    const double share[] = {0.5};
    mtm_sheet_request request = {.type = MTM_SHEET_READINGS,
                                 .format = MTM_SHEET_CSV,
                                 .unit = unit,
                                 .unit_count = 2,
                                 .share = share,
                                 .share_count = 1};
    char *sheet = sheet_as(many(), &request);

    (void)state;
    CHECK_HOLDS(sheet, "unit,emitter,code,x,y,lux\r\n,dark,,,,\r\n"
                       "u07,all,full,,,\r\nu07,warm,full,,,\r\nu07,cool,full,,,\r\n"
                       "u03,all,full,,,\r\nu03,warm,full,,,\r\nu03,cool,full,,,\r\n"
                       "u07,warm,32768,,,\r\nu07,cool,32768,,,\r\n"
                       "u03,warm,32768,,,\r\nu03,cool,32768,,,\r\n");
    free(sheet);
    request.format = MTM_SHEET_TEXT;
    sheet = sheet_as(many(), &request);
    check_width(sheet);
    CHECK_HOLDS(sheet, "\nu07: tunable white, 16-bit, universe 1 from slot 29\n"
                       "[ ] all        29-32=255 ");
    CHECK_HOLDS(sheet, "[ ] warm       29=128 "); /* 32768 is 128 and 0 */
    CHECK_HOLDS(sheet, "not into the light");
    free(sheet);
}

/* A form that is filled in reads as it is; what is still empty is passed over, and told. */
static void test_form_reads(void **state)
{
    const size_t unit[] = {7, 3};
    mtm_rig *rig = many();
    char *sheet = sheet_as(many(), &(mtm_sheet_request){.type = MTM_SHEET_READINGS,
                                                        .format = MTM_SHEET_CSV,
                                                        .unit = unit,
                                                        .unit_count = 2});
    struct trial_text filled = {.length = 0};
    mtm_readings *readings = NULL;
    mtm_error error = {""};

    (void)state;
    for (char *line = sheet, *end; (end = strstr(line, "\r\n")) != NULL; line = end + 2) {
        bool lit = strncmp(line, "u07", 3) == 0;
        trial_add(&filled, "%.*s%s\r\n", (int)(end - line) - (lit ? 2 : 0), line,
                  lit ? "0.41,0.39,180" : "");
    }
    trial_must(mtm_readings_parse(filled.data, filled.length, "form", rig, &readings, &error),
               &error);
    assert_int_equal(mtm_readings_count(readings), 3);
    assert_int_equal(mtm_readings_note_count(readings), 1);
    CHECK_HOLDS(mtm_readings_note(readings, 0)->text,
                "4 rows are not filled in and passed over, the first on line 3");
    mtm_readings_free(readings);
    free(sheet);
    mtm_rig_free(rig);
}

static void test_bad_call(void **state)
{
    mtm_rig *rig = make();
    char *sheet = NULL;
    size_t length = 7;
    const size_t unit = 5;
    const double share = 1;
    const mtm_sheet_request bad[] = {
        {.type = (mtm_sheet_type)9},
        {.format = (mtm_sheet_format)9},
        {.page_lines = -1},
        {.page_lines = MTM_SHEET_PAGE_LEAST - 1},
        {.page_lines = MTM_SHEET_PAGE_MOST + 1},
        {.unit = &unit, .unit_count = 1},
        {.share_count = 1},
        {.share = &share, .share_count = 1},
        {.share = &share, .share_count = MTM_SHEET_SHARES_MAX + 1},
    };

    (void)state;
    assert_int_equal(mtm_sheet_write(NULL, &bad[0], &sheet, &length, NULL), MTM_INVALID);
    assert_int_equal(mtm_sheet_write(rig, NULL, &sheet, &length, NULL), MTM_INVALID);
    for (size_t i = 0; i < COUNT(bad); i++)
        assert_int_equal(mtm_sheet_write(rig, &bad[i], &sheet, &length, NULL), MTM_INVALID);
    assert_null(sheet);
    assert_int_equal(length, 7);
    mtm_rig_free(rig);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_supply),  cmocka_unit_test(test_by_address),
        cmocka_unit_test(test_labels),     cmocka_unit_test(test_csv),
        cmocka_unit_test(test_pages),      cmocka_unit_test(test_by_position),
        cmocka_unit_test(test_some_units), cmocka_unit_test(test_readings),
        cmocka_unit_test(test_form_reads), cmocka_unit_test(test_bad_call),
    };

    return cmocka_run_group_tests_name("sheets", tests, NULL, NULL);
}
