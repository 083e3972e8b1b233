/* SPDX-License-Identifier: MIT */
/* Numbers from text, whatever the locale of the program; and which of two is more. */
#ifndef METAMER_BASE_NUMBER_H
#define METAMER_BASE_NUMBER_H

#include <metamer/base.h>

#include <math.h>

/**
 * Reads a decimal number at the start of text ("1", "-.5", "2.5e3"); no blanks before it, no hex,
 * no "inf" or "nan", always a decimal point.
 * @return characters used; 0 if there is no number or it is not finite
 */
size_t mtmi_number_read(const char *text, double *value);

/** The same, and all of text must be the number. */
bool mtmi_number_whole(const char *text, double *value);

/** The value of a hexadecimal digit; -1 for any other character. */
int mtmi_hex_digit(char c);

/** a * b, or false where the product does not fit. */
bool mtmi_size_product(size_t a, size_t b, size_t *product);

/**
 * The one idea of "equal up to noise", for quantities in the units that people read (u'v', steps,
 * lumens, watts, levels): what is apart by no more than 1e-9, or 1e-9 of the smaller, is equal.
 * That is far above what orders of summation and libraries of functions differ by, and far below
 * what can be seen or measured.
 */
#define MTMI_NOISE 1e-9

/** The most that is equal to value, which is 0 or more. */
static inline double mtmi_with_noise(double value)
{
    return value + MTMI_NOISE * (value > 1 ? value : 1);
}

/**
 * True if a is more than b, and not equal up to noise. Whatever is chosen as the largest, least,
 * nearest or worst is chosen by this, the first of equals winning: then every machine chooses
 * alike. Infinity exceeds every number, NaN nothing.
 */
static inline bool mtmi_exceeds(double a, double b)
{
    const double least = fabs(a) < fabs(b) ? fabs(a) : fabs(b);

    return a > b && !(a - b <= MTMI_NOISE * (least > 1 ? least : 1));
}

#endif
