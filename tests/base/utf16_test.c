/* SPDX-License-Identifier: MIT */
/* UTF-16 text: characters of RFC 2781, clause 5, and RFC 3629, clause 7 (from memory), of each
 * length in UTF-8, in both orders; and halves of characters. */
#include "support/check.h"

#include "base/utf16.h"

#define BYTES(text) (text), sizeof(text) - 1

static const struct row {
    const char *name;
    const char *in;
    size_t length;
    const char *out; /* NULL: refused */
} rows[] = {
    /* RFC 2781, 5: U+12345 "=Ra"; U+12345 in UTF-8 is F0 92 8D 85 (RFC 3629, 3) */
    {"high first", BYTES("\xfe\xff\xd8\x08\xdf\x45\0=\0R\0a"), "\xf0\x92\x8d\x85=Ra"},
    {"low first", BYTES("\xff\xfe\x08\xd8\x45\xdf=\0R\0a\0"), "\xf0\x92\x8d\x85=Ra"},
    /* RFC 3629, 7: "A<NOT IDENTICAL TO><ALPHA>." and U+233B4 */
    {"two and three octets", BYTES("\xfe\xff\0A\x22\x62\x03\x91\0."), "A\xe2\x89\xa2\xce\x91."},
    {"four octets", BYTES("\xff\xfe\x4c\xd8\xb4\xdf"), "\xf0\xa3\x8e\xb4"},
    {"nothing but the mark", BYTES("\xff\xfe"), ""},
    {"an odd octet", BYTES("\xff\xfe=\0R"), NULL},
    {"a first half at the end", BYTES("\xfe\xff\0=\xd8\x08"), NULL},
    {"two first halves", BYTES("\xfe\xff\xd8\x08\xd8\x08"), NULL},
    {"a second half alone", BYTES("\xfe\xff\xdf\x45\0="), NULL},
};

static void test_row(void **state)
{
    const struct row *row = *state;
    char *copy = malloc(row->length); /* exact, so that a sanitizer sees what is read behind it */
    char *converted = NULL;
    const char *text = copy;
    size_t length = row->length;
    mtm_error error = {""};

    assert_non_null(copy);
    memcpy(copy, row->in, length);
    mtm_result result = mtmi_utf16_convert(&text, &length, "f", &converted, &error);
    if (row->out == NULL) {
        assert_int_equal(result, MTM_PARSE);
        CHECK_HOLDS(error.text, "f: UTF-16 text with half a character at byte ");
        assert_null(converted);
    } else {
        assert_int_equal(result, MTM_OK);
        assert_string_equal(text, row->out);
        assert_int_equal(length, strlen(row->out));
    }
    free(converted);
    free(copy);
}

static void test_other_text_stays(void **state)
{
    static const char utf8[] = "\xef\xbb\xbfunit";
    const char *text = utf8;
    size_t length = sizeof utf8 - 1;
    char *converted = NULL;

    (void)state;
    assert_int_equal(mtmi_utf16_convert(&text, &length, "f", &converted, NULL), MTM_OK);
    assert_ptr_equal(text, utf8);
    assert_int_equal(length, sizeof utf8 - 1);
    assert_null(converted);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + 1];

    ROW_TESTS(tests, rows, test_row);
    tests[COUNT(rows)] = (struct CMUnitTest)cmocka_unit_test(test_other_text_stays);
    return cmocka_run_group_tests_name("UTF-16", tests, NULL, NULL);
}
