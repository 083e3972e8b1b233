/* SPDX-License-Identifier: MIT */
/* Cue text: numbers, levels and times in words (clause 7). */
#include "cue_text/cue_text.h"

#include "base/number.h"

#include <string.h>

bool mtmi_cue_is_delimiter(char c)
{
    return c == ' ' || c == '\t' || c == ',' || c == '/' || c == ';' || c == '<' || c == '>' ||
           c == '=' || c == '@';
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* Digits at text, most of them at most; returns how many, which is 0 where there are more. */
static size_t take_digits(const char *text, size_t most, unsigned *value)
{
    size_t count = 0;
    unsigned number = 0;

    while (is_digit(text[count])) {
        if (count == most)
            return 0;
        number = number * 10 + (unsigned)(text[count++] - '0');
    }
    *value = number;
    return count;
}

bool mtmi_cue_integer(const char *word, unsigned *value)
{
    unsigned number = 0;
    size_t count = take_digits(word, 8, &number);

    if (count == 0 || word[count] != '\0' || number > 65535)
        return false;
    *value = number;
    return true;
}

bool mtmi_cue_number(const char *word, uint32_t *tenths)
{
    unsigned whole = 0;
    unsigned tenth = 0;
    size_t count = take_digits(word, 4, &whole);
    size_t at = count;

    if (count > 0 && word[at] == '.') {
        if (take_digits(word + at + 1, 1, &tenth) != 1)
            return false;
        at += 2;
    }
    uint32_t number = whole * 10 + tenth;
    if (count == 0 || word[at] != '\0' || number == 0)
        return false;
    *tenths = number;
    return true;
}

static bool hex_level(const char *digits, uint8_t *level, mtmi_cue_strange *strange)
{
    size_t count = strlen(digits);
    unsigned value = 0;

    if (count < 1 || count > 4)
        return false;
    for (size_t i = 0; i < count; i++) {
        int digit = mtmi_hex_digit(digits[i]);
        if (digit < 0)
            return false;
        value = value * 16 + (unsigned)digit;
    }
    *strange = count > 2 ? MTMI_CUE_WIDE_HEX : MTMI_CUE_PLAIN;
    *level = (uint8_t)(count > 2 ? value >> 8 : value);
    return true;
}

bool mtmi_cue_level(const char *word, uint8_t *level, mtmi_cue_strange *strange)
{
    unsigned percent = 0;

    if (word[0] == 'H' || word[0] == 'h')
        return hex_level(word + 1, level, strange);
    if ((word[0] == 'F' || word[0] == 'f') && (word[1] == 'L' || word[1] == 'l') &&
        word[2] == '\0') {
        *strange = MTMI_CUE_WORD;
        *level = 255;
        return true;
    }
    if (!mtmi_cue_integer(word, &percent) || percent > 100)
        return false;
    *strange = MTMI_CUE_PLAIN;
    *level = (uint8_t)((percent * 255 + 50) / 100); /* nearest, half up */
    return true;
}

/* A fraction of a second behind the point: any digits, at least one. */
static bool fraction(const char *digits, double *value)
{
    double scale = 0.1;

    *value = 0;
    if (!is_digit(digits[0]))
        return false;
    while (is_digit(*digits)) {
        *value += (*digits++ - '0') * scale;
        scale /= 10;
    }
    return *digits == '\0';
}

bool mtmi_cue_time(const char *word, double *seconds)
{
    double sum = 0;
    double part = 0;
    const char *at = word;

    for (int fields = 1;; fields++) {
        unsigned value = 0;
        size_t count = take_digits(at, fields == 1 ? 7 : 2, &value);
        if (count == 0)
            return false;
        sum = sum * 60 + value;
        at += count;
        if (*at != ':')
            break;
        if (fields == 3 || (fields == 1 && count > 2))
            return false; /* only seconds alone may have more than two digits */
        at++;
    }
    if (*at == '.' ? !fraction(at + 1, &part) : *at != '\0')
        return false;
    if (!(sum + part < MTM_CUE_TIME_MAX_S + 0.05))
        return false;
    *seconds = sum + part < MTM_CUE_TIME_MAX_S ? sum + part : MTM_CUE_TIME_MAX_S;
    return true;
}

bool mtmi_cue_identifier(const char *word)
{
    size_t count = 0;

    while (is_digit(word[count]) || is_letter(word[count]))
        count++;
    return count >= 1 && count <= 10 && word[count] == '\0';
}
