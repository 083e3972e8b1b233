/* SPDX-License-Identifier: MIT */
/* Numbers from text, whatever the locale of the program. */
#include "base/number.h"

#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static size_t digits(const char *text)
{
    return strspn(text, "0123456789");
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
    double number = convert(text, length);
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

bool mtmi_size_product(size_t a, size_t b, size_t *product)
{
    if (a != 0 && b > SIZE_MAX / a)
        return false;
    *product = a * b;
    return true;
}
