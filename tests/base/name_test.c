/* SPDX-License-Identifier: MIT */
/* Names: every row of a list is found, nothing beyond it, and a sentence lists them all. */
#include "support/check.h"

#include "base/name.h"

static const char *const names[] = {"linear", "square", "s", "", NULL};

static void test_every_row_is_found(void **state)
{
    (void)state;
    for (size_t i = 0; names[i] != NULL; i++)
        assert_int_equal(mtmi_name_find(names[i], names, mtmi_name_in_array), i);
}

static void test_no_other_is_found(void **state)
{
    static const char *const others[] = {"Linear", "linea", "linears", "ss", " "};

    (void)state;
    for (size_t i = 0; i < COUNT(others); i++)
        assert_true(mtmi_name_find(others[i], names, mtmi_name_in_array) == SIZE_MAX);
    assert_true(mtmi_name_find("s", names + 4, mtmi_name_in_array) == SIZE_MAX); /* empty */
}

static void test_all(void **state)
{
    char text[32];
    char little[10];

    (void)state;
    assert_string_equal(mtmi_name_all(names, mtmi_name_in_array, text, sizeof text),
                        "linear, square, s, ");
    assert_string_equal(mtmi_name_all(names, mtmi_name_in_array, little, sizeof little),
                        "linear, s");
    assert_string_equal(mtmi_name_all(names + 4, mtmi_name_in_array, text, sizeof text), "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_row_is_found),
        cmocka_unit_test(test_no_other_is_found),
        cmocka_unit_test(test_all),
    };

    return cmocka_run_group_tests_name("names", tests, NULL, NULL);
}
