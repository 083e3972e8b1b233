/* SPDX-License-Identifier: MIT */
/* Lines and fields of a table: RFC 4180, 2 (quotes, CR LF), and what instruments write besides. */
#include "base/csv.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

enum { FIELDS = 6 };

static const struct fields {
    const char *line;
    char separator;
    const char *field[FIELDS]; /* NULL behind the last */
} rows[] = {
    {"aaa,bbb,ccc", ',', {"aaa", "bbb", "ccc"}},
    {"\"aaa\",\"b,bb\",ccc", ',', {"aaa", "b,bb", "ccc"}},
    {"\"aaa\",\"b\"\"bb\",\"ccc\"", ',', {"aaa", "b\"bb", "ccc"}},
    {"a;b;;", ';', {"a", "b", "", ""}},
    {" a ,\tb\t, \" c \" ", ',', {"a", "b", "c"}},
    {"a\t\tb", '\t', {"a", "", "b"}},
    {"0,45;1,5", ';', {"0,45", "1,5"}},
    {"380 0.5", MTMI_CSV_BLANK, {"380", "0.5"}},
    {"380\t0.5", MTMI_CSV_BLANK, {"380", "0.5"}},
    {"\"open,end", ',', {"open,end"}},
    {"", ',', {""}},
};

static void test_fields_are_cut(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char line[40];
        char *at = line;
        size_t count = 0;

        memcpy(line, rows[i].line, strlen(rows[i].line) + 1);
        for (; at != NULL && count < FIELDS - 1; count++) {
            assert_non_null(rows[i].field[count]);
            assert_string_equal(mtmi_csv_field(&at, rows[i].separator), rows[i].field[count]);
        }
        assert_null(at);
        assert_null(rows[i].field[count]);
    }
}

static void test_lines_end_in_any_way(void **state)
{
    static const char *const lines[] = {"a", "b", "", "c", "d"};
    char text[] = "a\nb\r\n\r\nc\rd";
    char *next = text;
    char *line = NULL;

    (void)state;
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        assert_true(mtmi_csv_line(&next, &line));
        assert_string_equal(line, lines[i]);
    }
    assert_false(mtmi_csv_line(&next, &line));
}

static void test_no_line_follows_the_last_end(void **state)
{
    char text[] = "a\n";
    char *next = text;
    char *line = NULL;

    (void)state;
    assert_true(mtmi_csv_line(&next, &line));
    assert_false(mtmi_csv_line(&next, &line));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fields_are_cut),
        cmocka_unit_test(test_lines_end_in_any_way),
        cmocka_unit_test(test_no_line_follows_the_last_end),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
