/* SPDX-License-Identifier: MIT */
/* CGATS spectra: the files that distributions install, the forms of the standard, what is wrong. */
#include "support/check.h"

#include <metamer/colour.h>
#include <metamer/spectrum_file.h>

/* Debian's colord-data 1.4.6 and argyll-ref 2.3.1: what each file holds. */
static const struct installed_row {
    const char *name; /* the path */
    size_t count;
    double first_nm, last_nm;
    mtm_quantity quantity;
} installed_rows[] = {
    {"/usr/share/colord/cmf/CIE1931-2deg-XYZ.cmf", 3, 360, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/cmf/CIE1964-10deg-XYZ.cmf", 3, 360, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-A.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-B.sp", 1, 340, 770, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-C.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-D50.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-D55.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-D65.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-D93.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-E.sp", 1, 380, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F1.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F2.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F3.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F4.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F5.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F6.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F7.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F8.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F9.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F10.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F11.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/illuminant/CIE-F12.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/ref/CIE-1986-daylight-SPD.cmf", 3, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/colord/ref/CIE-TCS.sp", 15, 360, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/3dap5k.sp", 1, 355, 750, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/CIE_C.sp", 1, 320, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_0.0.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_0.1.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_0.3.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_0.5.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_0.7.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_1.0.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_1.2.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_1.5.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_1.7.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_2.0.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_2.5.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/D50_3.0.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/F1.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/F5.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/F8.sp", 1, 380, 780, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/GTIPlus.sp", 1, 340, 730, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/Office.sp", 1, 355, 750, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/SOtele.sp", 1, 380, 730, MTM_QUANTITY_TRANSMITTANCE},
    {"/usr/share/color/argyll/ref/Trulux.sp", 1, 355, 750, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/TruluxPlus.sp", 1, 355, 750, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/example.sp", 1, 300, 830, MTM_QUANTITY_UNSTATED},
    {"/usr/share/color/argyll/ref/example121.sp", 1, 350, 750, MTM_QUANTITY_UNSTATED},
};

static void test_installed(void **state)
{
    const struct installed_row *row = *state;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};
    double first_nm = 0;
    double last_nm = 0;

    if (mtm_spectrum_set_load(row->name, MTM_ENDS_ZERO, &set, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mtm_spectrum_set_count(set), row->count);
    assert_int_equal(mtm_spectrum_set_quantity(set, 0), row->quantity);
    mtm_spectrum_set_range(set, 0, &first_nm, &last_nm);
    CHECK_NEAR("first", first_nm, row->first_nm, 0);
    CHECK_NEAR("last", last_nm, row->last_nm, 0);
    mtm_spectrum_set_free(set);
}

/* Files of those packages that describe no spectrum. */
static const struct refused_row {
    const char *name; /* the path */
} refused_rows[] = {
    {"/usr/share/color/argyll/ref/ccxx.ti1"},
    {"/usr/share/color/argyll/ref/linear.cal"},
    {"/usr/share/color/argyll/ref/ColorChecker.cie"},
    {"/usr/share/color/argyll/ref/QPcard_201.cie"},
    {"/usr/share/colord/ti1/display-short.ti1"},
};

static void test_refused_file(void **state)
{
    const struct refused_row *row = *state;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    assert_int_equal(mtm_spectrum_set_load(row->name, MTM_ENDS_ZERO, &set, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, row->name);
    CHECK_HOLDS(error.text, "describes no spectrum");
    assert_null(set);
}

#define HEAD(fields, sets)                                                                         \
    "CGATS.17\nORIGINATOR \"bench\"\nNUMBER_OF_FIELDS " fields "\nNUMBER_OF_SETS " sets "\n"

/* The same two spectra, 0.5 0.25 0.75 and 0.125 0.5 1, at 400, 550, 700 nm, named 1A and "two b".
 */
static const struct form_row {
    const char *name;
    const char *text;
} form_rows[] = {
    {"SPEC_",
     HEAD("4", "2") "BEGIN_DATA_FORMAT\nSAMPLE_ID SPEC_400 SPEC_550 SPEC_700\nEND_DATA_FORMAT\n"
                    "BEGIN_DATA\n1A 0.5 2.5e-1 0.75\n\"two b\" 125e-3 .5 1\nEND_DATA\n"},
    {"six digits",
     HEAD("4",
          "2") "BEGIN_DATA_FORMAT\nSAMPLE_ID SPEC_400000 SPEC_550000 SPEC_700000\n"
               "END_DATA_FORMAT\nBEGIN_DATA\n1A 0.5 25E-2 0.75\n'two b' 0.125 .5 1\nEND_DATA\n"},
    {"nm, CR LF",
     HEAD("4", "2") "BEGIN_DATA_FORMAT\r\nnm400 nm550 nm700 SAMPLE_NAME\r\nEND_DATA_FORMAT\r\n"
                    "BEGIN_DATA\r\n0.5 .25 0.75 1A\r\n0.125 .5 1 \"two b\"\r\nEND_DATA\r\n"},
    {"percent in the name",
     HEAD("4", "2") "BEGIN_DATA_FORMAT\nSAMPLE_ID SPECTRAL_PCT_400 SPECTRAL_PCT_550 "
                    "SPECTRAL_PCT_700\nEND_DATA_FORMAT\n"
                    "BEGIN_DATA\n1A 50 25 75\n\"two b\" 12.5 50 100\nEND_DATA\n"},
    {"pairs of columns",
     HEAD("7",
          "2") "BEGIN_DATA_FORMAT\nSAMPLE_ID SPECTRAL_NM SPECTRAL_DEC SPECTRAL_NM SPECTRAL_PCT "
               "SPECTRAL_NM SPECTRAL_DEC\nEND_DATA_FORMAT\nBEGIN_DATA\n"
               "1A 400 0.5 550 25 700 .75\n\"two b\" 400 .125 550 50 700 1\nEND_DATA\n"},
    {"two tables",
     HEAD("4",
          "1") "BEGIN_DATA_FORMAT\nSAMPLE_ID SPEC_400 SPEC_550 SPEC_700\nEND_DATA_FORMAT\n"
               "BEGIN_DATA\n1A 0.5 0.25 0.75\nEND_DATA\n"
               "NUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_ID R_400 R_550 R_700\n"
               "END_DATA_FORMAT\nNUMBER_OF_SETS 1\nBEGIN_DATA\n\"two b\" 0.125 .5 1\nEND_DATA\n"},
    {"no counts, no heading, comments",
     "# a comment BEGIN_DATA\nORIGINATOR \"bench\"\nBEGIN_DATA_FORMAT\nSAMPLE_ID SPEC_400 SPEC_550 "
     "SPEC_700\nEND_DATA_FORMAT\n# more\nBEGIN_DATA\n1A 0.5 0.25 0.75 # here\n\"two b\" 125e-3 .5 "
     "1\n"
     "END_DATA\n"},
    {"norm for a reflectance",
     HEAD("4", "2") "SPECTRAL_NORM 200\nMEAS_TYPE \"REFLECTIVE\"\n"
                    "BEGIN_DATA_FORMAT\nSAMPLE_ID SPEC_400 SPEC_550 SPEC_700\nEND_DATA_FORMAT\n"
                    "BEGIN_DATA\n1A 100 50 150\n\"two b\" 25 100 200\nEND_DATA\n"},
};

static void test_form(void **state)
{
    const struct form_row *row = *state;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    if (mtm_spectrum_set_parse(row->text, strlen(row->text), "x.txt", MTM_ENDS_HOLD, &set,
                               &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mtm_spectrum_set_count(set), 2);
    assert_string_equal(mtm_spectrum_set_name(set, 0), "1A");
    assert_string_equal(mtm_spectrum_set_name(set, 1), "two b");
    const double *a = mtm_spectrum_set_at(set, 0)->value;
    const double *b = mtm_spectrum_set_at(set, 1)->value;
    CHECK_NEAR("400", a[40], 0.5, 1e-15);
    CHECK_NEAR("550", a[190], 0.25, 1e-15);
    CHECK_NEAR("700", a[340], 0.75, 1e-15);
    CHECK_NEAR("held", a[0], 0.5, 1e-15);
    CHECK_NEAR("400", b[40], 0.125, 1e-15);
    CHECK_NEAR("550", b[190], 0.5, 1e-15);
    CHECK_NEAR("700", b[340], 1, 1e-15);
    mtm_spectrum_set_free(set);
}

#define FORMAT "BEGIN_DATA_FORMAT\nSAMPLE_ID SPEC_400 SPEC_700\nEND_DATA_FORMAT\n"

static const struct bad_row {
    const char *name;
    const char *text;
    const char *sentence;
} bad_rows[] = {
    {"too few sets", HEAD("3", "3") FORMAT "BEGIN_DATA\n1 1 2\n2 3 4\nEND_DATA\n",
     "Count mismatch. NUMBER_OF_SETS was 3, found 2"},
    {"too many sets", HEAD("3", "1") FORMAT "BEGIN_DATA\n1 1 2\n2 3 4\nEND_DATA\n",
     "Count mismatch. NUMBER_OF_SETS was 1, found 2"},
    {"too few fields", HEAD("4", "1") FORMAT "BEGIN_DATA\n1 1 2\nEND_DATA\n",
     "x.txt: near line 8: Count mismatch. NUMBER_OF_FIELDS was 4, found 3"},
    {"too many fields", HEAD("2", "1") FORMAT "BEGIN_DATA\n1 1 2\nEND_DATA\n",
     "Count mismatch. NUMBER_OF_FIELDS was 2, found 3"},
    {"a cell is missing", HEAD("3", "2") FORMAT "BEGIN_DATA\n1 1 2\n2 3\nEND_DATA\n", "x.txt: "},
    {"a word for a number", HEAD("3", "1") FORMAT "BEGIN_DATA\n1 1 high\nEND_DATA\n",
     "x.txt: set 1, SPEC_700: \"high\" is not a number"},
    {"decimal comma", HEAD("3", "1") FORMAT "BEGIN_DATA\n1 1 0,5\nEND_DATA\n",
     "\"0,5\" is not a number"},
    {"no wavelength",
     HEAD("3", "1") "BEGIN_DATA_FORMAT\nSAMPLE_ID XYZ_X XYZ_Y\nEND_DATA_FORMAT\nBEGIN_DATA\n1 1 2\n"
                    "END_DATA\n",
     "x.txt: describes no spectrum"},
    {"no data", "CGATS.17\nORIGINATOR \"x\"\n", "x.txt: describes no spectrum"},
    {"falling",
     HEAD("3", "1") "BEGIN_DATA_FORMAT\nSAMPLE_ID SPEC_700 SPEC_400\nEND_DATA_FORMAT\nBEGIN_DATA\n"
                    "1 1 2\nEND_DATA\n",
     "x.txt: set 1: wavelength 400 nm follows 700 nm"},
    {"twice",
     HEAD("4", "1") "BEGIN_DATA_FORMAT\nSAMPLE_ID SPEC_400 SPEC_700 SPEC_700\nEND_DATA_FORMAT\n"
                    "BEGIN_DATA\n1 1 2 3\nEND_DATA\n",
     "x.txt: set 1: wavelength 700 nm stands there twice"},
    {"including", HEAD("3", "1") ".INCLUDE \"other.txt\"\n" FORMAT "BEGIN_DATA\n1 1 2\nEND_DATA\n",
     "x.txt: asks for another file to be included"},
    {"counts that eat memory", HEAD("3", "3000000000") FORMAT "BEGIN_DATA\n1 1 2\nEND_DATA\n",
     "x.txt: "},
    {"counts that eat a little less", HEAD("3", "30000000") FORMAT "BEGIN_DATA\n1 1 2\nEND_DATA\n",
     "x.txt: "},
    {"an open string", HEAD("3", "1") FORMAT "BEGIN_DATA\n\"1 1 2\nEND_DATA\n", "x.txt: "},
    {"cut off", HEAD("3", "2") FORMAT "BEGIN_DATA\n1 1 2\n2 3", "x.txt: "},
};

static void test_bad(void **state)
{
    const struct bad_row *row = *state;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    assert_int_equal(
        mtm_spectrum_set_parse(row->text, strlen(row->text), "x.txt", MTM_ENDS_ZERO, &set, &error),
        MTM_PARSE);
    CHECK_HOLDS(error.text, row->sentence);
    assert_null(strchr(error.text, '\n'));
    assert_null(set);
}

/* A flood of keywords, of sets, of fields: refused at once. */
static void test_floods(void **state)
{
    static const char tail[] = "\n" FORMAT "BEGIN_DATA\n1 1 2\nEND_DATA\n";
    size_t room = (size_t)12 * 1000 * 1000;
    char *text = malloc(room);
    size_t used = 0;
    mtm_spectrum_set *set = NULL;
    mtm_error error = {""};

    (void)state;
    assert_non_null(text);
    for (int i = 0; i < 300000; i++)
        used += (size_t)snprintf(text + used, room - used, "KEYWORD \"K%d\"\n", i);
    used += (size_t)snprintf(text + used, room - used, "%s", tail);
    assert_int_equal(mtm_spectrum_set_parse(text, used, "x.txt", MTM_ENDS_ZERO, &set, &error),
                     MTM_LIMIT);
    CHECK_HOLDS(error.text, "x.txt: 600002 words outside of data; at most 10000 are read");

    used = (size_t)snprintf(text, room, HEAD("3", "1000000") FORMAT "BEGIN_DATA\n");
    for (int i = 0; i < 1000000; i++)
        used += (size_t)snprintf(text + used, room - used, "1 2 3\n");
    assert_int_equal(mtm_spectrum_set_parse(text, used, "x.txt", MTM_ENDS_ZERO, &set, &error),
                     MTM_PARSE);
    used = (size_t)snprintf(text, room, HEAD("3", "2000") FORMAT "BEGIN_DATA\n");
    for (int i = 0; i < 2000; i++)
        used += (size_t)snprintf(text + used, room - used, "1 2 3\n");
    used += (size_t)snprintf(text + used, room - used, "END_DATA\n");
    assert_int_equal(mtm_spectrum_set_parse(text, used, "x.txt", MTM_ENDS_ZERO, &set, &error),
                     MTM_LIMIT);
    CHECK_HOLDS(error.text, "x.txt: set 1025: more than 1024 spectra in one file");
    assert_null(set);
    free(text);
}

/* 3.33 nm steps whose names are rounded: the heading is believed where it agrees. */
static void test_rounded_names(void **state)
{
    mtm_spectrum_set *set = NULL;
    double peak = 0;
    double power = 0;
    const char *path = "/usr/share/color/argyll/ref/example121.sp";

    (void)state;
    assert_int_equal(mtm_spectrum_set_load(path, MTM_ENDS_ZERO, &set, NULL), MTM_OK);
    /* The lamp's mercury line lies at 435.8 nm; beside it stand the samples at 436.67 and 440. */
    const double *value = mtm_spectrum_set_at(set, 0)->value;
    for (int nm = 425; nm <= 447; nm++) {
        power += value[nm - 360];
        peak += nm * value[nm - 360];
    }
    CHECK_NEAR("mercury", peak / power, 435.8, 1.0);
    mtm_spectrum_set_free(set);
}

int main(void)
{
    struct CMUnitTest
        tests[COUNT(installed_rows) + COUNT(refused_rows) + COUNT(form_rows) + COUNT(bad_rows) + 2];
    struct CMUnitTest *next = tests;

    ROW_TESTS(next, installed_rows, test_installed);
    next += COUNT(installed_rows);
    ROW_TESTS(next, refused_rows, test_refused_file);
    next += COUNT(refused_rows);
    ROW_TESTS(next, form_rows, test_form);
    next += COUNT(form_rows);
    ROW_TESTS(next, bad_rows, test_bad);
    next += COUNT(bad_rows);
    *next++ = (struct CMUnitTest)cmocka_unit_test(test_floods);
    *next = (struct CMUnitTest)cmocka_unit_test(test_rounded_names);
    return cmocka_run_group_tests_name("CGATS spectra", tests, NULL, NULL);
}
