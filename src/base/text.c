/* SPDX-License-Identifier: MIT */
/* Text: a string that grows; a failed allocation is remembered, not lost. */
#include "base/text.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Room for count more bytes and the final NUL. */
static bool reserve(mtmi_text *text, size_t count)
{
    if (text->failed || count > SIZE_MAX / 4 - text->length) {
        text->failed = true;
        return false;
    }
    size_t needed = text->length + count + 1;
    if (needed <= text->capacity)
        return true;
    size_t capacity = text->capacity < 128 ? 256 : text->capacity * 2;
    if (capacity < needed)
        capacity = needed;
    char *data = realloc(text->data, capacity);
    if (data == NULL) {
        text->failed = true;
        return false;
    }
    text->data = data;
    text->capacity = capacity;
    return true;
}

void mtmi_text_add(mtmi_text *text, const char *format, ...)
{
    va_list arguments;
    va_list again;

    va_start(arguments, format);
    va_copy(again, arguments);
    int count = vsnprintf(NULL, 0, format, arguments);
    if (count >= 0 && reserve(text, (size_t)count)) {
        (void)vsnprintf(text->data + text->length, (size_t)count + 1, format, again);
        text->length += (size_t)count;
    }
    va_end(again);
    va_end(arguments);
}

void mtmi_text_add_bytes(mtmi_text *text, const void *bytes, size_t count)
{
    if (!reserve(text, count))
        return;
    if (count > 0)
        memcpy(text->data + text->length, bytes, count);
    text->length += count;
    text->data[text->length] = '\0';
}

static bool begins_letter(char c)
{
    return ((unsigned char)c & 0xc0) != 0x80;
}

size_t mtmi_utf8_length(const char *text)
{
    const unsigned char *c = (const unsigned char *)text;
    size_t count = c[0] < 0x80 ? 1 : c[0] < 0xc2 ? 0 : c[0] < 0xe0 ? 2 : c[0] < 0xf0 ? 3 : 4;

    if (c[0] > 0xf4)
        return 0;
    for (size_t i = 1; i < count; i++) {
        if ((c[i] & 0xc0) != 0x80)
            return 0;
    }
    bool overlong = (c[0] == 0xe0 && c[1] < 0xa0) || (c[0] == 0xf0 && c[1] < 0x90);
    bool beyond = (c[0] == 0xed && c[1] > 0x9f) || (c[0] == 0xf4 && c[1] > 0x8f);
    return overlong || beyond ? 0 : count;
}

int mtmi_text_letters(const char *letters)
{
    int count = 0;

    for (; *letters != '\0'; letters++)
        count += begins_letter(*letters);
    return count;
}

void mtmi_text_add_cut(mtmi_text *text, const char *letters, int width)
{
    int count = mtmi_text_letters(letters);
    int keep = count > width ? width - 1 : count;
    size_t bytes = 0;

    for (int seen = 0; letters[bytes] != '\0'; bytes++) {
        if (begins_letter(letters[bytes]) && seen++ == keep)
            break;
    }
    mtmi_text_add_bytes(text, letters, bytes);
    if (count > width)
        mtmi_text_add(text, "\u2026");
}

void mtmi_text_add_column(mtmi_text *text, const char *letters, int width)
{
    int count = mtmi_text_letters(letters);

    mtmi_text_add_cut(text, letters, width);
    if (count < width)
        mtmi_text_add(text, "%*s", width - count, "");
}

void mtmi_text_add_cell(mtmi_text *text, const char *cell)
{
    if (strpbrk(cell, ",\"\r\n") == NULL) {
        mtmi_text_add(text, "%s", cell);
        return;
    }
    mtmi_text_add(text, "\"");
    for (; *cell != '\0'; cell++)
        mtmi_text_add(text, "%s%c", *cell == '"' ? "\"" : "", *cell);
    mtmi_text_add(text, "\"");
}

void mtmi_text_free(mtmi_text *text)
{
    free(text->data);
    *text = (mtmi_text){0};
}
