/* SPDX-License-Identifier: MIT */
/* JSON output when memory runs out: whichever allocation fails, nothing is left out in silence. */
#include "support/check.h"

#include "cli/out/json.h"

static long left; /* allocations of cJSON that still succeed; -1: all */

static void *spare(size_t size)
{
    if (left == 0)
        return NULL;
    left -= left > 0 ? 1 : 0;
    return malloc(size);
}

static cJSON *build(void)
{
    cJSON *root = cJSON_CreateObject();
    cJSON *list = json_add_array(root, "list");
    cJSON *inner = json_add_object(root, "inner");
    cJSON *one = cJSON_CreateObject();

    json_add_text(root, "text", "a");
    json_add_text(root, "nothing", NULL);
    json_add_bool(inner, "yes", true);
    json_add_number(inner, "number", 1.25, 2);
    json_add_pair(inner, "pair", 1, 2, 0);
    json_append_number(list, 3, 0);
    json_append_text(list, "b");
    json_add_number(one, "n", 4, 0);
    json_append(list, one);
    return root;
}

static void check_each(mtm_result (*print)(cJSON *root, FILE *out, mtm_error *error),
                       const char *wanted)
{
    for (long count = 0;; count++) {
        mtm_error error = {""};
        char *text = NULL;
        size_t size = 0;
        FILE *out = open_memstream(&text, &size);

        assert_non_null(out);
        left = count;
        mtm_result result = print(build(), out, &error);
        left = -1;
        assert_int_equal(fclose(out), 0);
        if (result == MTM_OK)
            assert_string_equal(text, wanted);
        else
            assert_string_equal(text, "");
        free(text);
        if (result == MTM_OK) {
            assert_true(count > 20);
            return;
        }
        assert_int_equal(result, MTM_MEMORY);
        assert_true(error.text[0] != '\0');
    }
}

static void test_print(void **state)
{
    (void)state;
    check_each(json_print, "{\n"
                           "  \"list\": [3, \"b\", { \"n\": 4 }],\n"
                           "  \"inner\": { \"yes\": true, \"number\": 1.25, \"pair\": [1, 2] },\n"
                           "  \"text\": \"a\",\n"
                           "  \"nothing\": null\n"
                           "}\n");
}

static void test_print_line(void **state)
{
    (void)state;
    check_each(json_print_line, "{\"list\":[3,\"b\",{\"n\":4}],\"inner\":{\"yes\":true,"
                                "\"number\":1.25,\"pair\":[1,2]},\"text\":\"a\","
                                "\"nothing\":null}\n");
}

static int enter(void **state)
{
    cJSON_Hooks hooks = {.malloc_fn = spare, .free_fn = free};

    (void)state;
    left = -1;
    cJSON_InitHooks(&hooks);
    return 0;
}

static int leave(void **state)
{
    (void)state;
    cJSON_InitHooks(NULL);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_print),
        cmocka_unit_test(test_print_line),
    };

    return cmocka_run_group_tests_name("JSON output", tests, enter, leave);
}
