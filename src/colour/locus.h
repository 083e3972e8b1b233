/* SPDX-License-Identifier: MIT */
/* Locus: points of the Planckian locus in CIE 1960 u, v, and the one nearest to a colour. */
#ifndef METAMER_COLOUR_LOCUS_H
#define METAMER_COLOUR_LOCUS_H

#include <metamer/colour.h>

/** A point of the locus, and its slope by the mired. */
typedef struct mtmi_locus_point {
    double u, v;
    double du, dv;
} mtmi_locus_point;

/** The point at a reciprocal temperature; mired within MTMI_LOCUS_FIRST_MIRED..LAST_MIRED. */
mtmi_locus_point mtmi_locus_at(mtm_observer observer, double mired);

/** Where a colour lies beside the locus. */
typedef struct mtmi_locus_position {
    double mired; /**< of the nearest point; at an end of the pieces it may be the end itself */
    double duv;   /**< signed distance, positive above */
    bool inside;  /**< the nearest point lies within the pieces, and the distance below 0.06 */
} mtmi_locus_position;

/**
 * The nearest point of the 2 degree locus to a finite chromaticity with y > 0; x + y may be above 1
 * here. Where inside is false, mired and duv are only good enough for a sentence (nearest middle of
 * a piece, or end).
 */
mtmi_locus_position mtmi_locus_nearest(mtm_xy xy);

#endif
