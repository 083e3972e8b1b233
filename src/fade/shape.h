/* SPDX-License-Identifier: MIT */
/* Shape inside: where a shape changes its formula. */
#ifndef METAMER_FADE_SHAPE_H
#define METAMER_FADE_SHAPE_H

#include <metamer/path.h>

/** The part of the time at which a shape has a bend; negative where it has none. */
double mtmi_shape_bend(mtm_shape_type type, double from, double to);

/** How CIE L* rises with light (1 is full) at this light. */
double mtmi_lightness_slope(double light);

#endif
