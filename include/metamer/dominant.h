/* SPDX-License-Identifier: MIT */
/* Dominant wavelength and purity of a colour; peak, width and efficacy of a spectrum. */
#ifndef METAMER_DOMINANT_H
#define METAMER_DOMINANT_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/spectrum.h>

MTM_BEGIN

/** A colour as a mixture of a white and one wavelength. */
typedef struct mtm_dominant {
    double wavelength_nm; /**< 380..700; negative: the complementary wavelength of a purple */
    double purity; /**< excitation purity: 0 the white, 1 the spectrum locus or purple line */
} mtm_dominant;

/**
 * Dominant wavelength and excitation purity against a white. The spectrum locus is the polygon of
 * its 1 nm points, 380..700 nm, closed by the purple line.
 *
 * @param xy    chromaticity
 * @param white chromaticity of the white, inside the locus
 * @return MTM_OK; MTM_INVALID for what is no chromaticity or a white outside the locus; MTM_RANGE
 *         if xy is the white, which has no dominant wavelength
 * Source: CIE S 017 (ILV), 17-23-062, 17-23-063, 17-23-067.
 */
MTM_API MTM_CHECKED mtm_result mtm_dominant_from_xy(mtm_xy xy, mtm_xy white, mtm_observer observer,
                                                    mtm_dominant *dominant, mtm_error *error);

/** True where the purity is above 1 by more than the rounding of a chromaticity (0.002): the colour
 *  lies outside the spectrum locus, and no light has it. */
MTM_API bool mtm_dominant_imaginary(mtm_dominant dominant);

/** The highest point of a spectrum. */
typedef struct mtm_peak {
    double wavelength_nm; /**< where a parabola through the highest samples has its top */
    double value;         /**< there, in the units of the spectrum */
    double fwhm_nm;       /**< width between the nearest half values to both sides */
    bool has_fwhm;        /**< false where the spectrum ends before it has fallen to half */
} mtm_peak;

/** MTM_INVALID for a value that is not finite; MTM_RANGE where no value is above 0. */
MTM_API MTM_CHECKED mtm_result mtm_peak_from_spectrum(const mtm_spectrum *spectrum, mtm_peak *peak,
                                                      mtm_error *error);

/**
 * Luminous efficacy of radiation, lm/W: 683 times the part of the power, 360..830 nm, that V sees.
 * MTM_INVALID for a value that is not finite; MTM_RANGE where the power is not above 0.
 */
MTM_API MTM_CHECKED mtm_result mtm_ler_from_spectrum(const mtm_spectrum *spectrum, double *lm_per_w,
                                                     mtm_error *error);

MTM_END
#endif
