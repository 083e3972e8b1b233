/* SPDX-License-Identifier: MIT */
/* RGB numbers as people write them: 0 to 1, or 0 to 255 where any is above 1. */
#ifndef METAMER_COLOUR_RGB_NUMBERS_H
#define METAMER_COLOUR_RGB_NUMBERS_H

#include <metamer/rgb.h>

#include <math.h>

/** What they divide by: 255 where any of the three is above 1, else 1. */
static inline double mtmi_rgb_full(const double value[3])
{
    return fmax(value[0], fmax(value[1], value[2])) > 1 ? 255 : 1;
}

#endif
