/* SPDX-License-Identifier: MIT */
/* JSON: where a text ceases to be what cJSON takes. Only looked for where cJSON has failed. */
#include "base/json_fault.h"

#include <cjson/cJSON.h>

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* cJSON before 1.7.18 takes so many letters for a number, and stumbles over the next. */
#define NUMBER_LETTERS 63

/* The mark of UTF-8. */
#define UTF8_MARK "\xef\xbb\xbf"
#define UTF8_MARK_LETTERS 3

struct scan {
    const char *at, *end;
    bool is_object[CJSON_NESTING_LIMIT]; /* of the values that are open; else a list */
    size_t depth;
};

static bool take(struct scan *scan, const char *word)
{
    size_t length = strlen(word);

    if ((size_t)(scan->end - scan->at) < length || memcmp(scan->at, word, length) != 0)
        return false;
    scan->at += length;
    return true;
}

/* White space of RFC 8259, 2. */
static void skip_blanks(struct scan *scan)
{
    while (scan->at < scan->end && strchr(" \t\r\n", *scan->at) != NULL)
        scan->at++;
}

static bool take_number(struct scan *scan)
{
    char number[NUMBER_LETTERS + 1] = "";
    char *end = NULL;

    if (scan->at == scan->end || strchr("-0123456789", *scan->at) == NULL)
        return false;
    for (size_t i = 0; i < NUMBER_LETTERS && scan->at + i < scan->end &&
                       strchr("0123456789-+.eE", scan->at[i]) != NULL;
         i++)
        number[i] = scan->at[i];
    (void)strtod(number, &end);
    scan->at += end - number;
    return end != number;
}

/* A unit of UTF-16 as four digits. */
static bool take_utf16(struct scan *scan, unsigned long *unit)
{
    char digits[5] = "";
    char *end = NULL;

    if (scan->end - scan->at < 4 || !take(scan, "\\u"))
        return false;
    for (size_t i = 0; i < 4 && scan->at + i < scan->end; i++)
        digits[i] = scan->at[i];
    if (strspn(digits, "0123456789abcdefABCDEF") != 4)
        return false;
    *unit = strtoul(digits, &end, 16);
    scan->at += 4;
    return true;
}

/* Above U+FFFF two units stand for a letter, and neither alone. */
static bool take_escape(struct scan *scan)
{
    unsigned long unit = 0;
    unsigned long second = 0;

    if (scan->end - scan->at >= 2 && strchr("\"\\/bfnrt", scan->at[1]) != NULL) {
        scan->at += 2;
        return true;
    }
    if (!take_utf16(scan, &unit) || (unit >= 0xdc00 && unit <= 0xdfff))
        return false;
    if (unit < 0xd800 || unit > 0xdfff)
        return true;
    return take_utf16(scan, &second) && second >= 0xdc00 && second <= 0xdfff;
}

static bool take_string(struct scan *scan)
{
    if (!take(scan, "\""))
        return false;
    while (scan->at < scan->end && *scan->at != '"') {
        if (*scan->at != '\\')
            scan->at++;
        else if (!take_escape(scan))
            return false;
    }
    return take(scan, "\"");
}

/* In an object, the key that stands before a value. */
static bool take_key(struct scan *scan)
{
    if (!scan->is_object[scan->depth - 1])
        return true;
    skip_blanks(scan);
    if (!take_string(scan))
        return false;
    skip_blanks(scan);
    return take(scan, ":");
}

static bool take_close(struct scan *scan)
{
    skip_blanks(scan);
    if (scan->depth == 0 || !take(scan, scan->is_object[scan->depth - 1] ? "}" : "]"))
        return false;
    scan->depth--;
    return true;
}

/* A value; of a list or an object with values its opening, and *opened. */
static bool take_value(struct scan *scan, bool *opened)
{
    *opened = false;
    skip_blanks(scan);
    if (take(scan, "null") || take(scan, "true") || take(scan, "false") || take_number(scan))
        return true;
    if (scan->at == scan->end || (*scan->at != '{' && *scan->at != '['))
        return take_string(scan);
    if (scan->depth == CJSON_NESTING_LIMIT)
        return false;
    scan->is_object[scan->depth++] = *scan->at++ == '{';
    *opened = !take_close(scan);
    return !*opened || take_key(scan);
}

const char *mtmi_json_fault(const char *text, size_t length)
{
    struct scan scan = {.at = text, .end = text + length};
    bool opened = false;

    if (length > UTF8_MARK_LETTERS + 1) /* before less than two letters cJSON does not know it */
        (void)take(&scan, UTF8_MARK);
    for (;;) {
        if (!take_value(&scan, &opened))
            return scan.at;
        if (opened)
            continue;
        while (take_close(&scan))
            ;
        if (scan.depth == 0)
            return scan.at == scan.end ? NULL : scan.at;
        if (!take(&scan, ",") || !take_key(&scan))
            return scan.at;
    }
}
