/* SPDX-License-Identifier: MIT */
/* Numbers from text, whatever the locale of the program. */
#include "base/number.h"

#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static size_t digits(const char *text)
{
    size_t count = 0;

    while (text[count] >= '0' && text[count] <= '9')
        count++;
    return count;
}

/* Length of a plain decimal number, so that strtod never sees "0x", "inf" or "nan". */
static size_t number_length(const char *text)
{
    size_t sign = (*text == '+' || *text == '-') ? 1 : 0;
    size_t whole = digits(text + sign);
    size_t at = sign + whole;
    size_t fraction = 0;

    if (text[at] == '.') {
        fraction = digits(text + at + 1);
        at += 1 + fraction;
    }
    if (whole + fraction == 0)
        return 0;
    if (text[at] == 'e' || text[at] == 'E') {
        size_t mark = at + 1;
        if (text[mark] == '+' || text[mark] == '-')
            mark++;
        size_t exponent = digits(text + mark);
        if (exponent > 0)
            at = mark + exponent;
    }
    return at;
}

/*
 * Plain numbers need no long arithmetic: digits that fit into a double and a power of ten that is
 * exact leave one rounding, so the quotient or product is the nearest double. (W. Clinger, "How to
 * read floating point numbers accurately", 1990.) True where doubles are not computed in a wider
 * format. False: strtod must do it.
 */
static bool convert_plain(const char *text, size_t length, double *value)
{
    static const double power[] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                   1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    uint64_t digits_read = 0;
    size_t count = 0;
    size_t decimals = 0;
    bool point = false;

    for (size_t i = (*text == '-' || *text == '+') ? 1 : 0; i < length; i++) {
        if (text[i] == '.') {
            point = true;
            continue;
        }
        if (text[i] < '0' || text[i] > '9' || ++count > 15)
            return false;
        digits_read = 10 * digits_read + (uint64_t)(text[i] - '0');
        decimals += point ? 1 : 0;
    }
    double number = (double)digits_read / power[decimals];
    *value = *text == '-' ? -number : number;
    return FLT_EVAL_METHOD == 0;
}

/* strtod reads the decimal sign of the current locale, so the point is swapped for that. */
static double convert(const char *text, size_t length)
{
    char buffer[512];
    const char *point = localeconv()->decimal_point;
    size_t point_length = strlen(point);
    size_t used = 0;

    for (size_t i = 0; i < length; i++) {
        if (text[i] == '.') {
            memcpy(buffer + used, point, point_length);
            used += point_length;
        } else {
            buffer[used++] = text[i];
        }
    }
    buffer[used] = '\0';
    return strtod(buffer, NULL);
}

size_t mtmi_number_read(const char *text, double *value)
{
    size_t length = number_length(text);

    if (length == 0 || length > 480)
        return 0;
    double number = 0;
    if (!convert_plain(text, length, &number))
        number = convert(text, length);
    if (!isfinite(number))
        return 0;
    *value = number;
    return length;
}

bool mtmi_number_whole(const char *text, double *value)
{
    double number = 0;
    size_t length = mtmi_number_read(text, &number);

    if (length == 0 || text[length] != '\0')
        return false;
    *value = number;
    return true;
}

int mtmi_hex_digit(char c)
{
    if (c >= '0' && c <= '9')
        return c - '0';
    if (c >= 'a' && c <= 'f')
        return c - 'a' + 10;
    if (c >= 'A' && c <= 'F')
        return c - 'A' + 10;
    return -1;
}

bool mtmi_size_product(size_t a, size_t b, size_t *product)
{
    if (a != 0 && b > SIZE_MAX / a)
        return false;
    *product = a * b;
    return true;
}
