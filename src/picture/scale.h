/* SPDX-License-Identifier: MIT */
/* Scale: from values to places on a picture, and the round values along it. */
#ifndef METAMER_PICTURE_SCALE_H
#define METAMER_PICTURE_SCALE_H

#include <stdbool.h>

/** Values from..to stand at start..end. Of a logarithmic one, both are above 0. */
typedef struct mtmi_scale {
    double from, to;
    double start, end;
    bool logarithmic;
} mtmi_scale;

/** Where a value stands; beyond the ends too. */
double mtmi_scale_at(const mtmi_scale *scale, double value);
/** What stands at a place; the inverse. */
double mtmi_scale_value(const mtmi_scale *scale, double place);

/** The least of 1, 2, 5 times a power of ten that makes at most this many steps of a span above 0;
 *  most at least 1. */
double mtmi_round_step(double span, int most);
/** Decimals that tell multiples of a step apart. */
int mtmi_step_decimals(double step);
/** The first multiple of step that is not below from (but for noise). */
double mtmi_first_multiple(double from, double step);

#endif
