/* SPDX-License-Identifier: MIT */
/* Quality tables: observers and samples laid out for the sums of the quality indices. */
#ifndef METAMER_DATA_QUALITY_H
#define METAMER_DATA_QUALITY_H

/**
 * The samples are published every 5 nm and needed every 1 nm. Their interpolation (Sprague's, as in
 * CIE 167) is linear in the published figures, so the sum of S x R over 1 nm is a sum over the 5 nm
 * nodes of R times a node sum of S x alone. Nodes reach two beyond 380..780 nm, the range of the
 * indices, on each side. Wavelengths are kept by phase: 370 + 5 node + phase nm.
 */
#define MTMI_NODES 85
/** Rows are padded with zeros to whole vectors. */
#define MTMI_NODES_PADDED 88
#define MTMI_PHASES 5
#define MTMI_NODE_FIRST_NM 370

/** Observers by phase, zero outside 380..780 nm: [observer][x, y, z][phase][node]. */
extern const double mtmi_quality_observer[2][3][MTMI_PHASES][MTMI_NODES_PADDED];

/** Weight of nodes -2..+3 in the value at a phase: [phase][tap]. */
extern const double mtmi_quality_sprague[MTMI_PHASES][6];

/** Samples stand in blocks of eight. */
#define MTMI_BLOCK 8
/** CIE 224: 99 samples, then a perfect white, then zeros. */
#define MTMI_CES_BLOCKS 13
#define MTMI_CES_PADDED (MTMI_CES_BLOCKS * MTMI_BLOCK)
#define MTMI_CES_WHITE 99
/** CIE 13.3: 14 samples, then a perfect white, then zeros. */
#define MTMI_TCS_BLOCKS 2
#define MTMI_TCS_PADDED (MTMI_TCS_BLOCKS * MTMI_BLOCK)
#define MTMI_TCS_WHITE 14

/** Reflectance: [block][node][sample of the block]. */
extern const double mtmi_quality_ces[MTMI_CES_BLOCKS][MTMI_NODES][MTMI_BLOCK];
extern const double mtmi_quality_tcs[MTMI_TCS_BLOCKS][MTMI_NODES][MTMI_BLOCK];

/** SSI bins, 380..670 nm by 10 nm (SMPTE ST 2122). */
#define MTMI_SSI_BINS 30

/** Three values of each CIE 224 sample: X, Y, Z or J', a', b'. */
typedef struct mtmi_ces {
    double at[3][MTMI_CES_PADDED];
} mtmi_ces;

/** Three values of each CIE 13.3 sample. */
typedef struct mtmi_tcs {
    double at[3][MTMI_TCS_PADDED];
} mtmi_tcs;

/** What the indices need of a light; lights add, so these do. */
typedef struct mtmi_quality_light {
    mtmi_ces ces;              /**< X, Y, Z of the CIE 224 samples, 10 degrees */
    mtmi_tcs tcs;              /**< X, Y, Z of the CIE 13.3 samples, 2 degrees */
    double ssi[MTMI_SSI_BINS]; /**< sums of the SSI bins */
    double xyz[3];             /**< 2 degrees, 360..830 nm */
} mtmi_quality_light;

/** The daylight components S0, S1, S2 as such lights. */
extern const mtmi_quality_light mtmi_quality_daylight[3];

#endif
