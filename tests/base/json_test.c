/* SPDX-License-Identifier: MIT */
/* JSON: each kind of malformed text gets one sentence with its place. */
#include "support/check.h"
#include "support/random.h"

#include "base/json.h"
#include "base/json_fault.h"

static const struct row {
    const char *name;
    const char *text;
    const char *sentence; /* part of it */
} rows[] = {
    {"trailing comma", "{\"metamer\": \"t/1\",\n \"a\": 1,}", "line 2, column"},
    {"comment", "{ // no\n}", "line 1"},
    {"NaN", "{\"metamer\": \"t/1\", \"a\": NaN}", "line 1, column"},
    {"cut short", "{\"metamer\": \"t/1\"", "is not JSON"},
    {"garbage behind", "{\"metamer\": \"t/1\"} x", "is not JSON"},
    {"binary",
     "\x7f"
     "ELF\x02\x01",
     "is not JSON"},
    {"list", "[1, 2]", "holds a list"},
    {"no kind", "{}", "has no key \"metamer\""},
    {"other kind", "{\"metamer\": \"u/1\"}", "found \"u/1\", allowed is \"t/1\""},
    {"kind is a number", "{\"metamer\": 1}", "found a number"},
    {"twice", "{\"metamer\": \"t/1\", \"b\": {\"a\": 1, \"a\": 2}}", "b: key \"a\" stands twice"},
    {"unknown key", "{\"metamer\": \"t/1\", \"numbr\": 1}", "nearest known one is \"number\""},
    {"key near none", "{\"metamer\": \"t/1\", \"zzzzzzzz\": 1}", "allowed are metamer, number, b"},
    {"text for number", "{\"metamer\": \"t/1\", \"number\": \"1\"}", "number: found text"},
    {"infinite", "{\"metamer\": \"t/1\", \"number\": 1e999}", "number: found inf"},
    {"missing", "{\"metamer\": \"t/1\"}", "key \"number\" is missing"},
    {"too large", "{\"metamer\": \"t/1\", \"number\": 11}", "found 11, allowed is a number"},
};

static mtm_result read_number(const char *text, mtm_error *error)
{
    static const char *const keys[] = {"metamer", "number", "b", NULL};
    cJSON *root = NULL;
    double value = 0;
    mtm_result result = mtmi_json_open(text, strlen(text), "test.json", "t/1", &root, error);

    if (result == MTM_OK) {
        mtmi_node node = mtmi_json_root(root, "test.json");
        result = mtmi_json_keys(&node, keys, error);
        if (result == MTM_OK)
            result = mtmi_json_number(&node, "number", 0, 10, &value, error);
    }
    cJSON_Delete(root);
    return result;
}

static void test_row(void **state)
{
    const struct row *row = *state;
    mtm_error error = {""};

    assert_int_equal(read_number(row->text, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "test.json: ");
    CHECK_HOLDS(error.text, row->sentence);
}

static void test_good(void **state)
{
    mtm_error error = {""};

    (void)state;
    assert_int_equal(read_number("{\"metamer\": \"t/1\", \"number\": 2.5}", &error), MTM_OK);
}

static void test_depth_bomb(void **state)
{
    enum { depth = 100000 };
    mtm_error error = {""};
    char *text = malloc(depth + 1);

    (void)state;
    assert_non_null(text);
    memset(text, '[', depth);
    text[depth] = '\0';
    assert_int_equal(read_number(text, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "is not JSON");
    free(text);
}

/* cJSON takes 64 bytes for two of the file: a list of digits must not be grown without bound. */
static void test_too_many_values(void **state)
{
    enum { length = 2 * MTMI_JSON_VALUES_MAX + 3 };
    mtm_error error = {""};
    char *text = malloc(length + 1);

    (void)state;
    assert_non_null(text);
    for (size_t i = 0; i < length; i++)
        text[i] = i == 0 ? '[' : i == length - 1 ? ']' : i % 2 == 1 ? '1' : ',';
    text[length] = '\0';
    assert_int_equal(read_number(text, &error), MTM_LIMIT);
    CHECK_HOLDS(error.text, "test.json: has more than 2000000 values");
    free(text);
}

/* An allocator of cJSON that has nothing left. */
static void *refuse(size_t size)
{
    (void)size;
    return NULL;
}

/* What cJSON takes for JSON, each without memory: that is no fault of the text. */
static void test_no_memory(void **state)
{
    static const char *const texts[] = {
        "{\"metamer\": \"t/1\", \"number\": 2.5}",
        "\xef\xbb\xbf{\"metamer\": \"t/1\", \"number\": -0.25e+1}\n",
        " { \"a\" : [ ] , \"b\" : { } , \"c\" : [ true , false , null ] } \r\n\t",
        "[[[{\"a\":[1,{\"b\":\"\"}]}]], 0]",
        "\"\\u00e9\\ud83d\\ude00 \\\\ \\\" \\/\\b\\f\\n\\r\\t\"",
    };
    cJSON_Hooks hooks = {.malloc_fn = refuse, .free_fn = free};

    (void)state;
    for (size_t i = 0; i < COUNT(texts); i++) {
        mtm_error error = {""};

        assert_null(mtmi_json_fault(texts[i], strlen(texts[i])));
        cJSON_InitHooks(&hooks);
        mtm_result result = read_number(texts[i], &error);
        cJSON_InitHooks(NULL);
        assert_int_equal(result, MTM_MEMORY);
        assert_string_equal(error.text, "out of memory");
    }
}

/* cJSON does not know the mark of UTF-8 before a single letter. */
static void test_short_mark(void **state)
{
    static const char *const texts[] = {"\xef\xbb\xbf",
                                        "\xef\xbb\xbf"
                                        "0",
                                        "\xef\xbb\xbf[]"};

    (void)state;
    for (size_t i = 0; i < COUNT(texts); i++) {
        cJSON *tree = cJSON_ParseWithLength(texts[i], strlen(texts[i]));

        assert_true(tree != NULL || mtmi_json_fault(texts[i], strlen(texts[i])) != NULL);
        cJSON_Delete(tree);
    }
}

/* Where cJSON refuses, a fault is found, and where none is found it takes the text: a text with
 * changed, missing and doubled letters is never called a want of memory. */
static void test_fault_agrees(void **state)
{
    static const char whole[] =
        "{\"a\": [1, -2.5e3, {\"b\\u00e9\": null}], \"c\\n\": \"\\ud83d\\ude00\", "
        "\"d\": {}, \"e\": [[], true, false]}";
    static const char letters[] = "{}[]\",:\\ u0d8e9+-.tfn\t\x01\xef";
    struct random random = {20261126};
    size_t taken = 0;

    (void)state;
    for (int trial = 0; trial < 20000; trial++) {
        char text[2 * sizeof whole];
        size_t length = sizeof whole - 1;

        size_t changes = 1 + random_index(&random, 3);
        memcpy(text, whole, sizeof whole);
        for (size_t change = 0; change < changes; change++) {
            size_t at = random_index(&random, length);
            size_t kind = random_index(&random, 3);
            if (kind == 0)
                text[at] = letters[random_index(&random, sizeof letters - 1)];
            else if (kind == 1)
                memmove(text + at, text + at + 1, length-- - at);
            else
                memmove(text + at + 1, text + at, length++ - at);
        }
        cJSON *tree = cJSON_ParseWithLength(text, length);
        if (tree == NULL && mtmi_json_fault(text, length) == NULL)
            fail_msg("no fault found in %.*s", (int)length, text);
        taken += tree != NULL;
        cJSON_Delete(tree);
    }
    assert_in_range(taken, 1000, 19000); /* both kinds were seen */
}

static void test_zero_byte(void **state)
{
    cJSON *root = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtmi_json_open("{}\0{}", 5, "test.json", "t/1", &root, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "zero byte");
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 7];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_good);
    tests[COUNT(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(test_depth_bomb);
    tests[COUNT(rows) + 2] = (struct CMUnitTest)cmocka_unit_test(test_zero_byte);
    tests[COUNT(rows) + 3] = (struct CMUnitTest)cmocka_unit_test(test_too_many_values);
    tests[COUNT(rows) + 4] = (struct CMUnitTest)cmocka_unit_test(test_no_memory);
    tests[COUNT(rows) + 5] = (struct CMUnitTest)cmocka_unit_test(test_fault_agrees);
    tests[COUNT(rows) + 6] = (struct CMUnitTest)cmocka_unit_test(test_short_mark);
    return cmocka_run_group_tests_name("JSON", tests, NULL, NULL);
}
