/* SPDX-License-Identifier: MIT */
/* Numbers from text, whatever the locale of the program. */
#ifndef METAMER_BASE_NUMBER_H
#define METAMER_BASE_NUMBER_H

#include <metamer/base.h>

/**
 * Reads a decimal number at the start of text ("1", "-.5", "2.5e3"); no blanks before it, no hex,
 * no "inf" or "nan", always a decimal point.
 * @return characters used; 0 if there is no number or it is not finite
 */
size_t mtmi_number_read(const char *text, double *value);

/** The same, and all of text must be the number. */
bool mtmi_number_whole(const char *text, double *value);

/** a * b, or false where the product does not fit. */
bool mtmi_size_product(size_t a, size_t b, size_t *product);

#endif
