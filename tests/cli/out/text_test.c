/* SPDX-License-Identifier: MIT */
/* Text output: columns of letters of any script. */
#include "support/check.h"

#include "cli/out/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Widths: Unicode Standard Annex 11, East Asian Width (wide: 2), and combining marks (0). */
static const struct row {
    const char *name; /* the text */
    int columns;
    int room;
    const char *put; /* in that room */
} rows[] = {
    {"wash", 4, 6, "wash  "},
    {"", 0, 2, "  "},
    {"B\xc3\xbchne", 5, 6, "B\xc3\xbchne "},
    {"Bu\xcc\x88hne", 5, 6, "Bu\xcc\x88hne "},
    {"\xe4\xb8\xad\xe5\xa4\xae", 4, 6, "\xe4\xb8\xad\xe5\xa4\xae  "},
    {"\xe4\xb8\xad\xe5\xa4\xae", 4, 3, "\xe4\xb8\xad…"},
    {"\xe4\xb8\xad\xe5\xa4\xae\xe4\xb8\xad", 6, 4, "\xe4\xb8\xad… "},
    {"front-left-wash", 15, 8, "front-l…"},
    {"\xff\xfe", 2, 3, "\xff\xfe "},
    {"a\xe4\xb8", 2, 3, NULL}, /* cut within a letter: nothing is read behind the end */
};

static void test_row(void **state)
{
    const struct row *row = *state;
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    assert_non_null(out);
    text_put(row->name, row->room, out);
    assert_int_equal(fclose(out), 0);
    assert_int_equal(text_width(row->name), row->columns);
    if (row->put != NULL)
        assert_string_equal(text, row->put);
    free(text);
}

static void test_decimals(void **state)
{
    (void)state;
    assert_int_equal(text_decimals(6068, 0), 0);
    assert_int_equal(text_decimals(10, 0), 0);
    assert_int_equal(text_decimals(9.9, 0), 1);
    assert_int_equal(text_decimals(0.52, 0), 2);
    assert_int_equal(text_decimals(1e-9, 0), 4);
    assert_int_equal(text_decimals(90, 1), 1);
}

/* A word longer than any line loses none of its letters. */
static void test_long_word(void **state)
{
    char word[400] = "";
    char *text = NULL;
    size_t size = 0;

    (void)state;
    memset(word, 'a', sizeof word - 1);
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    (void)text_put_wrapped(word, 0, 0, 80, out);
    assert_int_equal(fclose(out), 0);
    assert_string_equal(text, word);
    free(text);
}

/* A figure stays with its unit; what only looks like one is parted as usual. */
static void test_units(void **state)
{
    static const struct {
        const char *text, *word;
    } words[] = {
        {"12 W of it", "12 W"},
        {"45.5 %, and", "45.5 %,"},
        {"±0.3 nm.", "±0.3 nm."},
        {"(230 V) or", "(230 V)"},
        {"+3.2 lm/W", "+3.2 lm/W"},
        {"12 Washes", "12"},
        {"dimmer 12", "dimmer"},
        {"8-bit K", "8-bit"},
        {"5, W", "5,"},
        {"1/13 s", "1/13"},
        {"7 lamps of 3 W", "7"},
        {"Δu'v' 0.003", "Δu'v'"},
        {"12", "12"},
        {"12 ", "12"},
        {"12\nW", "12"},
    };
    char *text = NULL;
    size_t size = 0;

    (void)state;
    for (size_t i = 0; i < COUNT(words); i++)
        if (text_unbroken(words[i].text) != strlen(words[i].word))
            fail_msg("\"%s\": %zu", words[i].text, text_unbroken(words[i].text));
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    (void)text_put_wrapped("it takes 12 W, at most 45 % of all", 0, 0, 11, out);
    assert_int_equal(fclose(out), 0);
    assert_string_equal(text, "it takes\n12 W, at\nmost 45 %\nof all");
    free(text);
}

/* A name stands whole, in its column or above it. */
static void test_names(void **state)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    (void)state;
    assert_non_null(out);
    text_put_name("bar", 2, 5, out);
    (void)fputs("1\n  ", out);
    text_put_name("bar-12", 2, 5, out);
    (void)fputs("2\n", out);
    assert_int_equal(text_name_columns(20, 70, out), 20);
    assert_int_equal(text_name_columns(40, 70, out), 30);
    assert_int_equal(text_name_columns(40, 95, out), 12);
    assert_int_equal(fclose(out), 0);
    assert_string_equal(text, "bar  1\n  bar-12\n       2\n");
    free(text);
}

int main(void)
{
    const struct CMUnitTest plain[] = {cmocka_unit_test(test_long_word),
                                       cmocka_unit_test(test_units), cmocka_unit_test(test_names),
                                       cmocka_unit_test(test_decimals)};
    struct CMUnitTest tests[COUNT(rows)];

    ROW_TESTS(tests, rows, test_row);
    return cmocka_run_group_tests_name("columns", tests, NULL, NULL) +
           cmocka_run_group_tests_name("decimals", plain, NULL, NULL);
}
