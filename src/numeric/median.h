/* SPDX-License-Identifier: MIT */
/* The median. */
#ifndef METAMER_NUMERIC_MEDIAN_H
#define METAMER_NUMERIC_MEDIAN_H

#include <stddef.h>

/** The middle value (of two, their mean); sorts value. count > 0. */
double mtmi_median(double *value, size_t count);

#endif
