/* SPDX-License-Identifier: MIT */
/* SVG: what cairo wrote, with words for those who cannot see it, and the same in every run. */
#include "canvas/svg.h"

#include "base/error.h"
#include "canvas/safe.h"

#include <stdlib.h>
#include <string.h>

#define DECIMALS 2

/* Numbers of things that cairo counts through the life of the program, in order of appearance. */
struct numbers {
    unsigned long seen[256];
    size_t count;
};

static size_t number_of(struct numbers *numbers, unsigned long number)
{
    for (size_t i = 0; i < numbers->count; i++) {
        if (numbers->seen[i] == number)
            return i;
    }
    if (numbers->count < sizeof numbers->seen / sizeof numbers->seen[0])
        numbers->seen[numbers->count++] = number;
    return numbers->count - 1;
}

static void add_escaped(mtmi_text *out, const char *words)
{
    for (const char *at = words; *at != '\0'; at++) {
        if (*at == '<')
            mtmi_text_add(out, "&lt;");
        else if (*at == '>')
            mtmi_text_add(out, "&gt;");
        else if (*at == '&')
            mtmi_text_add(out, "&amp;");
        else
            mtmi_text_add_bytes(out, at, 1);
    }
}

static void add_element(mtmi_text *out, const char *name, const char *words)
{
    mtmi_text safe = {0};

    if (words == NULL)
        return;
    mtmi_safe_words(words, &safe);
    mtmi_text_add(out, "<%s>", name);
    add_escaped(out, safe.data != NULL ? safe.data : "");
    mtmi_text_add(out, "</%s>\n", name);
    out->failed |= safe.failed;
    mtmi_text_free(&safe);
}

/* Parts of styles that say what holds without them (SVG 1.1, 11.3, 11.4; the miter limit is of no
 * meaning for the joins that are drawn). */
static const char *const unsaid[] = {"stroke-linecap:butt;", "stroke-opacity:1;",
                                     "stroke-miterlimit:10;", "fill-opacity:1;", "stroke:none;"};

/* Letters at the start of a text that need not be copied. */
static size_t unsaid_at(const char *at)
{
    for (size_t i = 0; (*at == 's' || *at == 'f') && i < sizeof unsaid / sizeof unsaid[0]; i++) {
        if (strncmp(at, unsaid[i], strlen(unsaid[i])) == 0)
            return strlen(unsaid[i]);
    }
    return 0;
}

/* Of ".1500": how much is kept of the point and its digits; *all is the number of them. */
static size_t kept_of(const char *point, size_t *all)
{
    size_t digits = strspn(point + 1, "0123456789");
    size_t kept = digits > DECIMALS ? DECIMALS : digits;

    *all = digits + 1;
    if (digits == 0)
        return 1; /* of a sentence */
    while (kept > 0 && point[kept] == '0')
        kept--;
    return kept > 0 ? kept + 1 : 0;
}

/* Copies what cairo wrote, its figures cut to some decimals of a px. */
static void add_short(mtmi_text *out, const char *from, size_t length)
{
    const char *end = from + length;

    for (const char *at = from; at < end;) {
        size_t skipped = unsaid_at(at), kept = 0;
        if (*at == '.')
            kept = kept_of(at, &skipped);
        if (skipped == 0) {
            at++;
            continue;
        }
        mtmi_text_add_bytes(out, from, (size_t)(at - from) + kept);
        from = at += skipped;
    }
    if (from < end)
        mtmi_text_add_bytes(out, from, (size_t)(end - from));
}

/* Behind the first tag <svg ...>. */
static const char *behind_opening(const char *svg)
{
    const char *at = strstr(svg, "<svg");

    at = at != NULL ? strchr(at, '>') : NULL;
    return at == NULL ? svg : at + 1 + (at[1] == '\n');
}

/* Where "image12" or "surface12" stands as a name, behind a quote or a hash: the place of its
 * digits. NULL: no more. */
static const char *next_counted(const char *from)
{
    static const char *const words[] = {"image", "surface"};

    for (const char *at = from; *at != '\0'; at++) {
        for (size_t i = 0; (*at == '"' || *at == '#') && i < 2; i++) {
            const char *digits = at + 1 + strlen(words[i]);
            if (strncmp(at + 1, words[i], strlen(words[i])) == 0 && *digits >= '0' &&
                *digits <= '9')
                return digits;
        }
    }
    return NULL;
}

mtm_result mtmi_svg_tidy(const mtmi_text *svg, const char *title, const char *about, mtmi_text *out,
                         mtm_error *error)
{
    struct numbers numbers = {.count = 0};
    const char *from = svg->data;
    const char *at = behind_opening(from);

    mtmi_text_add_bytes(out, from, (size_t)(at - from));
    add_element(out, "title", title);
    add_element(out, "desc", about);
    for (from = at; (at = next_counted(from)) != NULL;) {
        char *end;
        unsigned long number = strtoul(at, &end, 10);
        add_short(out, from, (size_t)(at - from));
        mtmi_text_add(out, "%zu", number_of(&numbers, number));
        from = end;
    }
    add_short(out, from, svg->length - (size_t)(from - svg->data));
    if (!out->failed)
        return MTM_OK;
    mtmi_text_free(out);
    return mtmi_fail_memory(error);
}
