/* SPDX-License-Identifier: MIT */
/* Safe words: names as they come, made fit to be set in one line. */
#include "canvas/safe.h"

#include <stdint.h>

static uint32_t point_of(const char *at, size_t length)
{
    static const uint8_t lead[5] = {0, 0x7f, 0x1f, 0x0f, 0x07};
    uint32_t point = (uint8_t)at[0] & lead[length];

    for (size_t i = 1; i < length; i++)
        point = point << 6 | ((uint8_t)at[i] & 0x3fU);
    return point;
}

static bool is_hidden(uint32_t point)
{
    return point < 0x20 || (point >= 0x7f && point < 0xa0) || point == 0x061c ||
           (point >= 0x200e && point <= 0x200f) || (point >= 0x2028 && point <= 0x202e) ||
           (point >= 0x2066 && point <= 0x2069) || point == 0xfeff;
}

static void add_hidden(uint32_t point, mtmi_text *out)
{
    if (point == '\n')
        mtmi_text_add(out, "\\n");
    else if (point == '\t')
        mtmi_text_add(out, "\\t");
    else if (point == '\r')
        mtmi_text_add(out, "\\r");
    else
        mtmi_text_add(out, "\\u%04x", (unsigned)point);
}

/* The letter at words, made fit; returns what stands behind it. */
static const char *add_letter(const char *words, mtmi_text *out)
{
    size_t length = mtmi_utf8_length(words);

    if (length == 0) {
        mtmi_text_add(out, "\\x%02x", (unsigned)(uint8_t)*words);
        return words + 1;
    }
    uint32_t point = point_of(words, length);
    if (is_hidden(point))
        add_hidden(point, out);
    else
        mtmi_text_add_bytes(out, words, length);
    return words + length;
}

void mtmi_safe_words(const char *words, mtmi_text *out)
{
    for (int letters = 0; *words != '\0'; letters++) {
        if (letters == MTMI_WORDS_LETTERS_MAX) {
            mtmi_text_add(out, "…");
            return;
        }
        words = add_letter(words, out);
    }
}

void mtmi_safe_paragraph(const char *words, mtmi_text *out)
{
    while (words != NULL && *words != '\0') {
        if (*words == '\n')
            mtmi_text_add_bytes(out, words++, 1);
        else
            words = add_letter(words, out);
    }
}
