/* SPDX-License-Identifier: MIT */
/* Adaptation: the matrix that CAT16 and the appearance model share. */
#ifndef METAMER_COLOUR_ADAPT_H
#define METAMER_COLOUR_ADAPT_H

#include <metamer/colour.h>

/** XYZ to the sharpened cone responses of CAT16. CIE 248:2022. */
extern const mtm_matrix mtmi_cat16;
/** Its inverse. */
extern const mtm_matrix mtmi_cat16_back;

#endif
