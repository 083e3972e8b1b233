/* SPDX-License-Identifier: MIT */
/* JSON out: what is printed reads back equal, and lies as a person would lay it. */
#include "support/check.h"

#include "base/json_print.h"

#include <locale.h>

static char *print(const char *text)
{
    cJSON *tree = cJSON_Parse(text);
    mtmi_text printed = {0};

    assert_non_null(tree);
    mtmi_json_print(tree, &printed);
    assert_false(printed.failed);
    cJSON *back = cJSON_Parse(printed.data);
    assert_non_null(back);
    assert_true(cJSON_Compare(tree, back, 1));
    cJSON_Delete(back);
    cJSON_Delete(tree);
    return printed.data;
}

static const struct row {
    const char *name; /* the text that is read */
    const char *printed;
} rows[] = {
    {"{}", "{}\n"},
    {"[]", "[]\n"},
    {"7", "7\n"},
    {"{\"a\":[],\"b\":{}}", "{\n  \"a\": [],\n  \"b\": {}\n}\n"},
    {"{\"a\":1,\"b\":{\"c\":[1,2,{\"d\":null}],\"e\":true}}",
     "{\n  \"a\": 1,\n  \"b\": { \"c\": [1, 2, { \"d\": null }], \"e\": true }\n}\n"},
    {"{\"a\\\"\\n\":\"\\u00e9\\u0001\"}", "{\n  \"a\\\"\\n\": \"\xc3\xa9\\u0001\"\n}\n"},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    char *printed = print(row->name);

    assert_string_equal(printed, row->printed);
    free(printed);
}

/* Every bit of a number survives, whatever its size. */
static void test_numbers(void **state)
{
    static const double numbers[] = {
        0.1,   1.0 / 3, 1e-300,    -2.5e300,           123456789.123456789,
        65535, 5e-324,  1 + 1e-15, 0.30000000000000004};

    (void)state;
    for (size_t i = 0; i < COUNT(numbers); i++) {
        cJSON *number = cJSON_CreateNumber(numbers[i]);
        mtmi_text printed = {0};
        mtmi_json_print(number, &printed);
        if (strtod(printed.data, NULL) != numbers[i])
            fail_msg("%.17g is printed as %s", numbers[i], printed.data);
        mtmi_text_free(&printed);
        cJSON_Delete(number);
    }
}

/* A line that would be longer than 100 columns is broken, one that just fits is not. */
static void test_width(void **state)
{
    (void)state;
    for (int length = 60; length < 120; length++) {
        char text[200];
        (void)snprintf(text, sizeof text, "{\"k\":[\"%0*d\",1]}", length, 0);
        char *printed = print(text);
        /* two blanks, the key of 5 with its blank, ["", 1] of 7 */
        bool fits = 2 + 5 + 7 + length + 1 <= 100;
        if ((strchr(printed + 2, '\n') == strrchr(printed, '}') - 1) != fits)
            fail_msg("%d letters: %s", length, printed);
        free(printed);
    }
}

/* Deep and wide trees take no more than linear time or so: each level asks first what cannot fit.
 */
static void test_deep(void **state)
{
    enum { depth = 900 };
    char text[2 * depth + 1];

    (void)state;
    memset(text, '[', depth);
    memset(text + depth, ']', depth);
    text[2 * depth] = '\0';
    free(print(text));
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 3];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_numbers);
    tests[COUNT(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(test_width);
    tests[COUNT(rows) + 2] = (struct CMUnitTest)cmocka_unit_test(test_deep);
    return cmocka_run_group_tests_name("JSON out", tests, NULL, NULL);
}
