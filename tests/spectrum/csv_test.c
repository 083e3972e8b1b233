/* SPDX-License-Identifier: MIT */
/* CSV spectra: every separator a spreadsheet writes, both decimal marks, and one sentence for each
 * thing that is wrong. */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/spectrum_file.h>

/* All of these say 0.25, 0.5, 0.75 at 400, 550, 700 nm. */
static const struct good_row {
    const char *name;
    const char *text;
} good_rows[] = {
    {"comma", "400,0.25\n550,0.5\n700,0.75\n"},
    {"comma and blank", "400, 0.25\n550 , 0.5\n700 ,0.75"},
    {"semicolon, decimal comma", "400;0,25\n550;0,5\n700;0,75\n"},
    {"semicolon, decimal point", "400;0.25\n550;.5\n700;+7.5e-1\n"},
    {"tab, decimal comma", "400\t0,25\n550\t0,5\n700\t0,75\n"},
    {"blank, decimal comma", "400,0 0,25\n550,0   0,5\n700,0 7,5E-1\n"},
    {"blanks, decimal point", "  400 0.25 \n  550 0.5\t\n  700 0.75\n"},
    {"tab between blanks", "400\t 0.25\n550 \t0.5\n700\t0.75\n"},
    {"bar", "400|0.25\n550|0.5\n700|0.75\n"},
    {"all quoted, decimal comma", "\"400\",\"0,25\"\n\"550\",\"0,5\"\n\"700\",\"0,75\"\n"},
    {"CR LF, heading", "wavelength,value\r\n400,0.25\r\n550,0.5\r\n700,0.75\r\n"},
    {"CR alone", "400,0.25\r550,0.5\r700,0.75\r"},
    {"byte order mark", "\xef\xbb\xbfnm;a\n400;0,25\n550;0,5\n700;0,75\n"},
    {"comments and blank lines", "# one\n\n400 0.25\n  # two\n550 0.5\n\n\n700 0.75\n# three"},
    {"a preamble with a date",
     "instrument x\n2031-04-02;lamp\n01.05.2031\nnm;v\n400;0,25\n550;0,5\n"
     "700;0,75\n"},
    {"empty cells and lines at the end", "400;0,25;;\n550;0,5\n700;0,75;\n;;\n"},
};

static void test_good(void **state)
{
    const struct good_row *row = *state;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};
    double first_nm = 0;
    double last_nm = 0;
    size_t length = strlen(row->text);
    char *exact = malloc(length); /* no byte more, so that a read past the end shows */

    assert_non_null(exact);
    memcpy(exact, row->text, length);
    if (mtm_spectrum_set_parse(exact, length, "dir.d/lamp.csv", MTM_ENDS_HOLD, &set, &error) !=
        MTM_OK)
        fail_msg("%s", error.text);
    free(exact);
    assert_int_equal(mtm_spectrum_set_count(set), 1);
    assert_string_equal(mtm_spectrum_set_name(set, 0), "lamp");
    assert_int_equal(mtm_spectrum_set_quantity(set, 0), MTM_QUANTITY_UNSTATED);
    mtm_spectrum_set_range(set, 0, &first_nm, &last_nm);
    CHECK_NEAR("first", first_nm, 400, 0);
    CHECK_NEAR("last", last_nm, 700, 0);
    const mtm_spectrum *spectrum = mtm_spectrum_set_at(set, 0);
    CHECK_NEAR("360 nm", spectrum->value[0], 0.25, 1e-15);
    CHECK_NEAR("475 nm", spectrum->value[115], 0.375, 1e-15);
    CHECK_NEAR("550 nm", spectrum->value[190], 0.5, 1e-15);
    CHECK_NEAR("830 nm", spectrum->value[470], 0.75, 1e-15);
    mtm_spectrum_set_free(set);
}

static const struct bad_row {
    const char *name;
    const char *text;
    mtm_result result;
    const char *sentence;
} bad_rows[] = {
    {"no number", "nothing\nhere\n", MTM_PARSE, "x.csv: no line begins with a wavelength"},
    {"one column", "400\n500\n", MTM_PARSE, "x.csv: line 1: \"400\" stands alone"},
    {"one row", "400,1\n", MTM_PARSE, "x.csv: 1 samples; a spectrum needs at least 2"},
    {"not a number", "400,1\n500,one\n", MTM_PARSE, "x.csv: line 2: \"one\" is not a number"},
    {"not finite", "400,1\n500,inf\n", MTM_PARSE, "line 2: \"inf\" is not a number"},
    {"overflow", "400,1\n500,1e999\n", MTM_PARSE, "line 2: \"1e999\" is not a number"},
    {"a late heading", "400,1\nnm,value\n", MTM_PARSE, "line 2: \"nm\" is not a number"},
    {"an empty cell", "400;1;2\n500;;3\n", MTM_PARSE, "line 2: a cell is empty"},
    {"a cell too many", "400;1\n500;1;2\n", MTM_PARSE, "line 2: 3 cells where the first row has 2"},
    {"a cell too few", "400;1;2\n500;1\n", MTM_PARSE, "line 2: 2 cells where the first row has 3"},
    {"thousands", "400;1.234,5\n500;1\n", MTM_PARSE, "line 1: \"1.234,5\" is not a number"},
    {"mixed marks", "400;0,5\n500;0.25\n", MTM_PARSE,
     "line 2: numbers with a decimal comma (line 1) and with a decimal point (line 2)"},
    {"falling", "500,1\n400,1\n", MTM_PARSE, "line 2: wavelength 400 nm follows 500 nm"},
    {"twice", "400,1\n500,1\n500,2\n", MTM_PARSE, "line 3: wavelength 500 nm follows 500 nm"},
    {"micrometres", "0.38,1\n0.78,1\n", MTM_PARSE, "0.38 to 0.78, which looks like micrometres"},
    {"infrared", "900,1\n1100,1\n", MTM_PARSE, "from 900 to 1100 nm and miss the visible range"},
    {"ultraviolet", "200,1\n370,1\n", MTM_PARSE, "from 200 to 370 nm and miss the visible range"},
    {"negative wavelength", "-400,1\n500,1\n", MTM_PARSE, "wavelength -400 nm; it must be above 0"},
    {"UTF-16", "\xff\xfe\x34", MTM_PARSE, "x.csv: UTF-16 text with half a character at byte 2"},
    {"too long a number",
     "400,1\n500,1.0000000000000000000000000000000000000000000000000000000000000000\n", MTM_PARSE,
     "is not a number"},
};

static void test_bad(void **state)
{
    const struct bad_row *row = *state;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    assert_int_equal(
        mtm_spectrum_set_parse(row->text, strlen(row->text), "x.csv", MTM_ENDS_ZERO, &set, &error),
        row->result);
    CHECK_HOLDS(error.text, row->sentence);
    assert_null(set);
}

static void test_columns(void **state)
{
    static const char text[] = "nm\twarm \"white\"\tbad\x80\x01name\t\n"
                               "400\t0,25\t1\t3\n550\t0,5\t2\t2\n700\t0,75\t4\t1\n";
    static const char quoted[] = "nm,\"one, \"\"two\"\"\",three\n400,1,2\n500,3,4\n";
    mtm_spectrum_set *set = NULL;

    (void)state;
    assert_int_equal(
        mtm_spectrum_set_parse(text, sizeof text - 1, "x.csv", MTM_ENDS_ZERO, &set, NULL), MTM_OK);
    assert_int_equal(mtm_spectrum_set_count(set), 3);
    /* The heading has three cells for four columns, so the columns go by number. */
    assert_string_equal(mtm_spectrum_set_name(set, 0), "column 2");
    CHECK_NEAR("third column", mtm_spectrum_set_at(set, 2)->value[340], 1, 1e-15);
    CHECK_NEAR("outside", mtm_spectrum_set_at(set, 2)->value[0], 0, 0);
    mtm_spectrum_set_free(set);

    assert_int_equal(
        mtm_spectrum_set_parse(quoted, sizeof quoted - 1, "x.csv", MTM_ENDS_ZERO, &set, NULL),
        MTM_OK);
    assert_string_equal(mtm_spectrum_set_name(set, 0), "one, \"two\"");
    assert_string_equal(mtm_spectrum_set_name(set, 1), "three");
    mtm_spectrum_set_free(set);
}

static void test_names_are_clean(void **state)
{
    static const char text[] = "nm;bad\x80\x01name;gr\xc3\xbcn\n400;1;2\n500;3;4\n";
    mtm_spectrum_set *set = NULL;

    (void)state;
    assert_int_equal(
        mtm_spectrum_set_parse(text, sizeof text - 1, "x.csv", MTM_ENDS_ZERO, &set, NULL), MTM_OK);
    assert_string_equal(mtm_spectrum_set_name(set, 0), "bad??name");
    assert_string_equal(mtm_spectrum_set_name(set, 1), "gr\xc3\xbcn");
    mtm_spectrum_set_free(set);
}

static void test_filters_reach_far_enough(void **state)
{
    static const char text[] = "450,1\n700,1\n";
    mtm_spectrum_set *set = NULL;
    mtm_error error;

    (void)state;
    assert_int_equal(
        mtm_spectrum_set_parse(text, sizeof text - 1, "x.csv", MTM_ENDS_HOLD, &set, &error),
        MTM_PARSE);
    CHECK_HOLDS(error.text, "must reach from 400 to 700 nm");
    assert_int_equal(
        mtm_spectrum_set_parse(text, sizeof text - 1, "x.csv", MTM_ENDS_ZERO, &set, &error),
        MTM_OK);
    mtm_spectrum_set_free(set);
}

static void test_zero_byte(void **state)
{
    mtm_spectrum_set *set = NULL;
    mtm_error error;

    (void)state;
    assert_int_equal(mtm_spectrum_set_parse("400,1\0,2", 8, "x.csv", MTM_ENDS_HOLD, &set, &error),
                     MTM_PARSE);
    CHECK_HOLDS(error.text, "byte 6 is 0");
}

/* A million rows and a thousand columns too many: refused by number, and at once. */
static void test_limits(void **state)
{
    size_t room = 12U * 1000 * 1000;
    char *text = malloc(room);
    size_t used = 0;
    mtm_spectrum_set *set = NULL;
    mtm_error error;

    (void)state;
    assert_non_null(text);
    for (int i = 0; i < 1000 * 1000; i++)
        used += (size_t)snprintf(text + used, room - used, "%d.%d,1\n", 400 + i / 10, i % 10);
    assert_int_equal(mtm_spectrum_set_parse(text, used, "x.csv", MTM_ENDS_HOLD, &set, &error),
                     MTM_LIMIT);
    CHECK_HOLDS(error.text, "x.csv: line 100001: more than 100000 rows");

    used = (size_t)snprintf(text, room, "400");
    for (int i = 0; i < 1030; i++)
        used += (size_t)snprintf(text + used, room - used, ",1");
    assert_int_equal(mtm_spectrum_set_parse(text, used, "x.csv", MTM_ENDS_HOLD, &set, &error),
                     MTM_LIMIT);
    CHECK_HOLDS(error.text, "x.csv: line 1: more than 1025 columns");
    free(text);
}

/* Files: one spectrum where one is wanted, and what is no file. */
static void test_load(void **state)
{
    char path[] = "/tmp/metamer-spectrum-XXXXXX";
    int handle = mkstemp(path);
    FILE *file = handle < 0 ? NULL : fdopen(handle, "w");
    mtm_spectrum spectrum = {.value = {7}};
    mtm_error error;

    (void)state;
    assert_non_null(file);
    assert_true(fputs("nm,red,green\n400,1,2\n500,3,4\n", file) >= 0);
    assert_int_equal(fclose(file), 0);
    assert_int_equal(mtm_spectrum_load(path, MTM_ENDS_ZERO, &spectrum, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, path);
    CHECK_HOLDS(error.text, "2 spectra (red, green, ...) where one is wanted");

    file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs("400,1\n500,3\n", file) >= 0);
    assert_int_equal(fclose(file), 0);
    assert_int_equal(mtm_spectrum_load(path, MTM_ENDS_ZERO, NULL, &error), MTM_INVALID);
    assert_int_equal(mtm_spectrum_load(path, MTM_ENDS_ZERO, &spectrum, &error), MTM_OK);
    CHECK_NEAR("450 nm", spectrum.value[90], 2, 1e-15);
    assert_int_equal(remove(path), 0);

    assert_int_equal(mtm_spectrum_load(path, MTM_ENDS_ZERO, &spectrum, &error), MTM_NOT_FOUND);
    CHECK_HOLDS(error.text, path);
    assert_int_equal(mtm_spectrum_load("/tmp", MTM_ENDS_ZERO, &spectrum, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "/tmp");
    CHECK_NEAR("untouched", spectrum.value[90], 2, 1e-15);
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_columns),
        cmocka_unit_test(test_names_are_clean),
        cmocka_unit_test(test_filters_reach_far_enough),
        cmocka_unit_test(test_zero_byte),
        cmocka_unit_test(test_limits),
        cmocka_unit_test(test_load),
    };
    struct CMUnitTest tests[COUNT(good_rows) + COUNT(bad_rows) + COUNT(single)];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, good_rows, test_good);
    next += COUNT(good_rows);
    ROW_TESTS(next, bad_rows, test_bad);
    next += COUNT(bad_rows);
    memcpy(next, single, sizeof single);
    return cmocka_run_group_tests_name("CSV spectra", tests, NULL, NULL);
}
