/* SPDX-License-Identifier: MIT */
/* Quality of light: colour rendering, fidelity and gamut, spectral similarity. */
#ifndef METAMER_QUALITY_H
#define METAMER_QUALITY_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/spectrum.h>
#include <metamer/white.h>

MTM_BEGIN

/** Samples of CIE 13.3. R15 of other documents is not computed: the publication's samples end at
 *  14. */
#define MTM_TCS_COUNT 14
/** Samples of CIE 224 and TM-30. */
#define MTM_CES_COUNT 99
#define MTM_HUE_BINS 16 /**< hue bins of CIE 224 */
/** Largest distance between test and reference in CIE 1960 u, v (CIE 13.3-1995, 5.3). */
#define MTM_CRI_DISTANCE_MAX 0.0054

/** Colour rendering of CIE 13.3-1995. A plain value. */
typedef struct mtm_cri {
    double ra;               /**< general index: mean of the first eight */
    double r[MTM_TCS_COUNT]; /**< special indices R1..R14; r[8] is R9. May be negative. */
    double distance;         /**< between test and reference, CIE 1960 u, v */
    bool far;                /**< distance > 0.0054: the standard calls the indices not valid */
} mtm_cri;

/** Fidelity and gamut of CIE 224:2017 and ANSI/IES TM-30-20. A plain value. */
typedef struct mtm_fidelity {
    double rf;                         /**< fidelity index, 0..100 */
    double rg;                         /**< gamut index, 100 as the reference */
    double sample[MTM_CES_COUNT];      /**< fidelity of each sample */
    double bin_rf[MTM_HUE_BINS];       /**< fidelity by hue bin; bin 0 is hue 0..22.5 degrees */
    double chroma_shift[MTM_HUE_BINS]; /**< percent of the reference's chroma */
    double hue_shift[MTM_HUE_BINS];    /**< radians, positive against the clock */
    size_t bin_count[MTM_HUE_BINS];    /**< samples in the bin; of an empty bin the rest is 0 */
} mtm_fidelity;

/** All indices of one spectrum. A plain value. */
typedef struct mtm_quality {
    mtm_white white;       /**< 2 degrees, 360..830 nm */
    mtm_cri cri;           /**< CIE 13.3-1995 */
    mtm_fidelity fidelity; /**< CIE 224:2017 */
    double ssi;            /**< to the default reference; not rounded, as the standard prints it */
} mtm_quality;

/**
 * Computes all indices of a spectrum at once, 380..780 nm by 1 nm, samples interpolated after
 * Sprague. References: CIE 13.3: Planckian below 5000 K, daylight from there; CIE 224: Planckian up
 * to 4000 K, daylight from 5000 K, a mixture between; SSI: Planckian below 4000 K, daylight from
 * there (SMPTE ST 2122 as the open library colorSpec for R has it).
 *
 * @param spectrum finite values, relative
 * @param quality  set on MTM_OK, untouched otherwise
 * @return MTM_OK; MTM_INVALID for a value that is not finite; MTM_RANGE for a spectrum without
 *         light, or without a colour temperature (mtm_white_from_xy), which has no reference.
 * A white too far from its reference is computed all the same, and cri.far is set.
 *
 * TLCI (EBU Tech 3355) is not computed: the sensitivities of its camera could not be had. The
 * melanopic ratio of CIE S 026 is not either: its action spectrum could not be had (the openly
 * packaged melanopic functions are earlier ones, with another peak).
 */
MTM_API MTM_CHECKED mtm_result mtm_quality_from_spectrum(const mtm_spectrum *spectrum,
                                                         mtm_quality *quality, mtm_error *error);

/** Colour rendering alone. MTM_INVALID and MTM_RANGE as above. */
MTM_API MTM_CHECKED mtm_result mtm_cri_from_spectrum(const mtm_spectrum *spectrum, mtm_cri *cri,
                                                     mtm_error *error);

/** Fidelity and gamut alone. MTM_INVALID and MTM_RANGE as above. */
MTM_API MTM_CHECKED mtm_result mtm_fidelity_from_spectrum(const mtm_spectrum *spectrum,
                                                          mtm_fidelity *fidelity, mtm_error *error);

/**
 * Spectral similarity index, SMPTE ST 2122:2020; 100 for equal shapes, may be negative. Not
 * rounded.
 *
 * @param reference NULL for the default reference of the test's colour temperature
 * @return MTM_OK, MTM_INVALID, MTM_RANGE as above; with a reference the test needs no colour
 *         temperature
 */
MTM_API MTM_CHECKED mtm_result mtm_ssi_from_spectrum(const mtm_spectrum *spectrum,
                                                     const mtm_spectrum *reference, double *ssi,
                                                     mtm_error *error);

/** What light a white's indices stand beside. */
typedef enum mtm_reference {
    MTM_REFERENCE_NONE = 0, /**< there is none, for there is no colour temperature */
    MTM_REFERENCE_PLANCK,   /**< a Planckian radiator */
    MTM_REFERENCE_MIXTURE,  /**< one of a Planckian radiator and daylight (Rf only) */
    MTM_REFERENCE_DAYLIGHT  /**< a phase of daylight */
} mtm_reference;

/** That of Ra: Planckian below 5000 K, daylight from there (CIE 13.3-1995, 5.2). MTM_REFERENCE_NONE
 *  for a temperature that is no number above 0. */
MTM_API mtm_reference mtm_ra_reference(double cct_k);
/** That of Rf: Planckian to 4000 K, daylight from 5000 K, a mixture between (CIE 224:2017). */
MTM_API mtm_reference mtm_rf_reference(double cct_k);
/** That of SSI where none is stated: Planckian below 4000 K, daylight from there (SMPTE ST 2122 as
 *  the open library colorSpec for R has it). */
MTM_API mtm_reference mtm_ssi_reference(double cct_k);

/** What a meter cannot tell apart at 5000 K, about: 1 % (common practice, no source). */
#define MTM_RA_JUMP_NEAR_K 50

/** True where whites from least_cct_k to most_cct_k may stand on either side of 5000 K, where the
 *  reference of Ra changes and Ra jumps: they come within 50 K of it, or lie on both sides. */
MTM_API bool mtm_ra_jumps(double least_cct_k, double most_cct_k);

MTM_END
#endif
