/* SPDX-License-Identifier: MIT */
/* metamer spectrum: what it prints against other programs' figures, and what it refuses. */
#include "support/command.h"

#include <cjson/cJSON.h>

#define MIXTURES "tests/data/led-mixtures.csv"

static const struct row {
    const char *name; /* the line */
    const char *part; /* of the output */
} rows[] = {
    /* synthetic mixtures: x, y, CCT, Duv, efficacy by numpy and SciPy 1.10.1; Ra, Rf, Rg by
     * colour-science 0.4.6, R9 there and by numpy within 0.3 */
    {"spectrum " MIXTURES, "x, y        0.3660  0.3738"},
    {"spectrum " MIXTURES, "CCT, Duv    4395 K  +0.0031"},
    {"spectrum " MIXTURES, "Ra 88.2   R9 67.9   Rf 90.9   Rg 107.3"},
    {"spectrum " MIXTURES, "Efficacy    331.3 lm per watt of radiation"},
    {"spectrum " MIXTURES,
     "0.0054 in u, v"}, /* CIE 13.3: two of them are far from their reference */
    {"spectrum " MIXTURES " --observer 10", "x, y        0.3697  0.3732"},
    {"spectrum " MIXTURES " --observer 10", "(10° observer)"},
    {"spectrum " MIXTURES " --format csv", "five-line-neutral,0.366024,0.373808,"},
    /* CIE 015:2018 prints Ra 64 for FL2; the CIE 224 calculator gives Rf 70.1, that of IES Rg 86 */
    {"spectrum /usr/share/colord/illuminant/CIE-F2.sp", "Ra 64.2   R9 -83.9   Rf 70.1   Rg 86.4"},
    /* colour-science 0.4.6 and its test suite: SSI(C, D65) = 94 */
    {"spectrum /usr/share/colord/illuminant/CIE-C.sp --reference "
     "/usr/share/colord/illuminant/CIE-D65.sp",
     "] 94\n"},
    /* straight lines between the 5 nm of the table, SMPTE ST 2122: 35.863, own program with
     * zero below the data; a polynomial gives 35 */
    {"spectrum /usr/share/colord/illuminant/CIE-F11.sp --reference "
     "/usr/share/colord/illuminant/CIE-D50.sp",
     "] 36\n"},
    /* what a figure rests on */
    {"spectrum profiles/warm-white.csv", "a Planckian radiator (Ra and Rf) of 2702 K\n"},
    {"spectrum profiles/warm-white.csv", "lm per watt of radiation from 380 to 780 nm\n"},
    {"spectrum profiles/warm-white.csv", "beside equal energy\n"},
    {"spectrum /usr/share/colord/illuminant/CIE-F8.sp", "within 50 K of 5000 K"},
    /* SMPTE ST 2122 writes the reference in brackets */
    {"spectrum profiles/warm-white.csv", "Similarity  SSI[P27"},
    /* ANSI C78.377-2017, table 1 */
    {"spectrum profiles/warm-white.csv", "nominal 2700 K, within a quadrangle of C78.377"},
    /* a lime light has no colour temperature, and is shown all the same */
    {"spectrum profiles/lime.csv", "CCT, Duv    none: "},
    {"spectrum profiles/lime.csv", "Peak "},
    {"spectrum profiles/lime.csv --format csv", ",,,,,,,"},
    /* ANSI C78.377 has no class at 9300 K */
    {"spectrum /usr/share/colord/illuminant/CIE-D93.sp", "nominal 6500 K, outside all"},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    struct ran ran = run_line(row->name);

    if (ran.status != EXIT_DONE)
        fail_msg("%s: %s", row->name, ran.err);
    expect_said(ran.out, row->part);
    ran_free(&ran);
}

static double number_of(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);

    if (!cJSON_IsNumber(item))
        fail_msg("%s is not a number", key);
    return item->valuedouble;
}

static bool is_null(const cJSON *object, const char *key)
{
    return cJSON_IsNull(cJSON_GetObjectItemCaseSensitive(object, key));
}

/* One object for each spectrum; figures of five-line-neutral as above. */
static void test_json(void **state)
{
    struct ran ran = run_line("spectrum " MIXTURES " --format json --white 0.3127,0.3290");
    cJSON *root = cJSON_Parse(ran.out);
    const cJSON *object = cJSON_GetArrayItem(root, 2);
    const cJSON *r = cJSON_GetObjectItemCaseSensitive(object, "r");

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    assert_int_equal(cJSON_GetArraySize(root), 6);
    assert_string_equal(cJSON_GetStringValue(cJSON_GetObjectItemCaseSensitive(object, "name")),
                        "five-line-neutral");
    CHECK_NEAR("cct_k", number_of(object, "cct_k"), 4395.47, 0.1);
    CHECK_NEAR("duv", number_of(object, "duv"), 0.00314, 1e-5);
    CHECK_NEAR("ra", number_of(object, "ra"), 88.15, 0.1);
    CHECK_NEAR("r9", number_of(object, "r9"), 68.2, 1.5);
    CHECK_NEAR("rf", number_of(object, "rf"), 90.881, 0.005);
    CHECK_NEAR("rg", number_of(object, "rg"), 107.288, 0.005);
    CHECK_NEAR("ler", number_of(object, "ler_lm_per_w"), 331.305, 0.01);
    assert_true(number_of(object, "ssi") < 100);
    assert_true(number_of(object, "peak_nm") > 380 && number_of(object, "fwhm_nm") > 5);
    assert_true(number_of(object, "dominant_nm") > 380 && number_of(object, "purity") > 0);
    assert_int_equal(cJSON_GetArraySize(r), 15);
    CHECK_NEAR("r[8]", cJSON_GetArrayItem(r, 8)->valuedouble, number_of(object, "r9"), 0);
    assert_true(cJSON_IsNull(cJSON_GetArrayItem(r, 14))); /* no data of a fifteenth sample */
    CHECK_NEAR("x", number_of(object, "x"), 0.366024, 5e-5);
    CHECK_NEAR("u'", number_of(object, "u_prime"), 0.2168, 5e-5);
    CHECK_NEAR("v'", number_of(object, "v_prime"), 0.4981, 5e-5);
    assert_true(cJSON_IsTrue(cJSON_GetObjectItemCaseSensitive(object, "cri_valid")));
    assert_true(
        cJSON_IsFalse(cJSON_GetObjectItemCaseSensitive(cJSON_GetArrayItem(root, 0), "cri_valid")));
    cJSON_Delete(root);
    ran_free(&ran);
}

static void test_json_without_white(void **state)
{
    struct ran ran = run_line("spectrum profiles/lime.csv --format json");
    cJSON *root = cJSON_Parse(ran.out);
    const cJSON *object = cJSON_GetArrayItem(root, 0);

    (void)state;
    assert_int_equal(ran.status, EXIT_DONE);
    assert_true(is_null(object, "cct_k") && is_null(object, "ra") && is_null(object, "rf"));
    assert_true(is_null(object, "ssi"));
    CHECK_HOLDS(cJSON_GetStringValue(cJSON_GetObjectItemCaseSensitive(object, "missing")),
                "Planckian");
    assert_true(number_of(object, "dominant_nm") > 550);
    cJSON_Delete(root);
    ran_free(&ran);
}

/* Runs the command on a file that holds text. */
static struct ran run_on_text(const char *text, const char *options)
{
    char path[] = "/tmp/metamer-spectrum-XXXXXX";
    char line[160];
    int handle = mkstemp(path);

    assert_true(handle >= 0);
    assert_int_equal(write(handle, text, strlen(text)), (ssize_t)strlen(text));
    (void)close(handle);
    (void)snprintf(line, sizeof line, "spectrum %s %s", path, options);
    struct ran ran = run_line(line);
    (void)unlink(path);
    if (ran.status != EXIT_DONE)
        fail_msg("%s", ran.err);
    return ran;
}

/* Samples far apart: said, and beyond any use no indices. */
static void test_coarse(void **state)
{
    static const char hundred[] = "400,1\n500,2\n600,3\n700,1\n";
    static const char ten[] = "400,1\n410,1\n420,1\n440,1\n460,1\n480,1\n500,2\n520,2\n540,2\n"
                              "560,2\n580,2\n600,3\n620,3\n640,3\n660,2\n680,2\n700,1\n";
    struct ran ran = run_on_text(hundred, "");

    (void)state;
    CHECK_HOLDS(ran.out, "Rendering   none: samples lie up to 100 nm apart");
    CHECK_HOLDS(ran.out, "more than 5 nm apart");
    assert_null(strstr(ran.out, "Ra "));
    assert_null(strstr(ran.out, "SSI"));
    ran_free(&ran);
    ran = run_on_text(hundred, "--format json --reference profiles/lime.csv");
    cJSON *root = cJSON_Parse(ran.out);
    assert_true(is_null(cJSON_GetArrayItem(root, 0), "ra"));
    assert_true(is_null(cJSON_GetArrayItem(root, 0), "ssi"));
    cJSON_Delete(root);
    ran_free(&ran);
    ran = run_on_text(ten, "");
    CHECK_HOLDS(ran.out, "more than 5 nm apart");
    CHECK_HOLDS(ran.out, "Ra ");
    ran_free(&ran);
}

/* Common practice, no source: deep colours get a word of caution, whites with a line there do not.
 */
static void test_caution(void **state)
{
    static const struct {
        const char *text;
        bool cautioned;
    } files[] = {
        {"380 0\n395 0.2\n405 1\n415 0.2\n430 0\n780 0\n", true},
        {"380 0\n430 0\n440 6\n450 0\n550 1\n600 1\n650 0.5\n780 0\n", false},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(files); i++) {
        struct ran ran = run_on_text(files[i].text, "");

        assert_true((strstr(ran.out, "Note: peak below 450") != NULL) == files[i].cautioned);
        ran_free(&ran);
    }
}

static void test_bad(void **state)
{
    (void)state;
    expect_failure("spectrum", EXIT_USAGE, "FILE");
    expect_failure("spectrum no-such-file.csv", EXIT_USAGE, "no-such-file.csv");
    expect_failure("spectrum profiles/lime.csv no-such-file.csv", EXIT_USAGE, "no-such-file.csv");
    expect_failure("spectrum LICENSE", EXIT_USAGE, "LICENSE");
    expect_failure("spectrum profiles/lime.csv --reference " MIXTURES, EXIT_USAGE,
                   "holds 6 spectra");
    expect_failure("spectrum profiles/lime.csv --reference no-such-file.csv", EXIT_USAGE,
                   "no-such-file.csv");
    expect_failure("spectrum profiles/lime.csv --white 0.3", EXIT_USAGE, "--white");
    expect_failure("spectrum profiles/lime.csv --white 0.9,0.3", EXIT_USAGE, "the white, x 0.9");
    expect_failure("spectrum profiles/lime.csv --format yaml", EXIT_USAGE, "yaml");
}

static const struct CMUnitTest single_tests[] = {
    cmocka_unit_test(test_json),   cmocka_unit_test(test_json_without_white),
    cmocka_unit_test(test_coarse), cmocka_unit_test(test_caution),
    cmocka_unit_test(test_bad),
};

int main(void)
{
    static struct CMUnitTest tests[COUNT(rows) + COUNT(single_tests)];

    ROW_TESTS(tests, rows, test_row);
    memcpy(tests + COUNT(rows), single_tests, sizeof single_tests);
    return cmocka_run_group_tests_name("spectrum command", tests, enter_source, NULL);
}
