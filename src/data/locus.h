/* SPDX-License-Identifier: MIT */
/* Locus: the Planckian locus as pieces of a polynomial, made at build time from the observers. */
#ifndef METAMER_DATA_LOCUS_H
#define METAMER_DATA_LOCUS_H

/** Reciprocal temperature, in mired, that the pieces cover: a little more than 25000..1000 K. */
#define MTMI_LOCUS_FIRST_MIRED 35.0
#define MTMI_LOCUS_STEP_MIRED 2.5
#define MTMI_LOCUS_PIECES 388
#define MTMI_LOCUS_LAST_MIRED (MTMI_LOCUS_FIRST_MIRED + (MTMI_LOCUS_STEP_MIRED * MTMI_LOCUS_PIECES))

/**
 * One piece, by s, the mired from its middle: u = sum of at[k][0] s^k, v = sum of at[k][1] s^k, CIE
 * 1960 u, v. Quintic, with value, slope and curvature of the true locus at both ends, so the pieces
 * join without a corner.
 */
typedef struct mtmi_locus_piece {
    double at[6][2];
} mtmi_locus_piece;

/** [observer][piece], observer 0 for 2 degrees, 1 for 10 degrees. c2 = 1.4388e-2 m K. */
extern const mtmi_locus_piece mtmi_locus[2][MTMI_LOCUS_PIECES];

/** Grid of CIE 1931 x, y that holds every chromaticity within 0.05 of the 2 degree locus. */
#define MTMI_LOCUS_GRID_X 0.19
#define MTMI_LOCUS_GRID_Y 0.20
#define MTMI_LOCUS_GRID_STEP 0.0075
#define MTMI_LOCUS_GRID_COLUMNS 72
#define MTMI_LOCUS_GRID_ROWS 52

/** Mired of the locus point nearest to each grid node, [y][x], clamped to the pieces. */
extern const float mtmi_locus_start[MTMI_LOCUS_GRID_ROWS][MTMI_LOCUS_GRID_COLUMNS];

/** XYZ of the daylight components S0, S1, S2 under each observer, [observer][component][X, Y, Z]:
 *  sums over 360..830 nm by 1 nm, components linear between their 10 nm, 1 for the observer's own
 *  scale. */
extern const double mtmi_daylight_xyz[2][3][3];

#endif
