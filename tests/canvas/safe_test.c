/* SPDX-License-Identifier: MIT */
/* Words as they come, made fit to be set; figures as they stand on pictures. */
#include "support/check.h"

#include "canvas/canvas.h"
#include "canvas/safe.h"

static const struct row {
    const char *name, *words, *safe;
} rows[] = {
    {"plain", "hall-1", "hall-1"},
    {"markup stays as it is", "<b>&amp;", "<b>&amp;"},
    {"line break", "a\nb\tc\r", "a\\nb\\tc\\r"},
    {"control characters", "a\x01\x7f", "a\\u0001\\u007f"},
    {"turned direction",
     "a\xe2\x80\xae"
     "b",
     "a\\u202eb"},
    {"isolate", "\xe2\x81\xa6x", "\\u2066x"},
    {"right to left stays", "\xd7\xa9\xd7\x9c", "\xd7\xa9\xd7\x9c"},
    {"no UTF-8",
     "a\xff"
     "b",
     "a\\xffb"},
    {"half a letter", "a\xe2\x80", "a\\xe2\\x80"},
};

static void test_safe(void **state)
{
    const struct row *row = *state;
    mtmi_text text = {0};

    mtmi_safe_words(row->words, &text);
    assert_false(text.failed);
    assert_string_equal(text.data, row->safe);
    mtmi_text_free(&text);
}

static void test_long(void **state)
{
    char *words = calloc(4001, 1);
    mtmi_text text = {0};

    (void)state;
    assert_non_null(words);
    memset(words, 'm', 4000);
    mtmi_safe_words(words, &text);
    assert_int_equal(text.length, MTMI_WORDS_LETTERS_MAX + strlen("…"));
    assert_string_equal(text.data + MTMI_WORDS_LETTERS_MAX, "…");
    mtmi_text_free(&text);
    free(words);
}

/* A true minus (U+2212), a thin space (U+2009): SI Brochure, 9th edition, 5.4.3, asks for a space;
 * which one is common practice, no source. */
static void test_figures(void **state)
{
    char text[MTMI_FIGURE_ROOM];

    (void)state;
    assert_string_equal(mtmi_figure(text, -0.00123, 4, NULL), "\xe2\x88\x92"
                                                              "0.0012");
    assert_string_equal(mtmi_figure(text, -0.00003, 4, NULL), "0.0000");
    assert_string_equal(mtmi_figure(text, 3200.4, 0, "K"), "3200\xe2\x80\x89K");
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 2];

    ROW_TESTS(tests, rows, test_safe);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_long);
    tests[COUNT(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(test_figures);
    return cmocka_run_group_tests_name("words", tests, NULL, NULL);
}
