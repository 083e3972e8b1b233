/* SPDX-License-Identifier: MIT */
/* Spectrum: one grid for all spectra, how samples reach it, and shapes of light on it. */
#ifndef METAMER_SPECTRUM_H
#define METAMER_SPECTRUM_H

#include <metamer/base.h>

MTM_BEGIN

#define MTM_SPECTRUM_FIRST_NM 360 /**< first wavelength of the grid */
#define MTM_SPECTRUM_LAST_NM 830  /**< last wavelength of the grid */
#define MTM_SPECTRUM_COUNT 471    /**< points of the grid, 1 nm apart */

/** A spectrum on the CIE grid, 360..830 nm by 1 nm. A plain value.
 *  Emitters: W/nm, so that Y is in lumens. Filters: transmittance 0..1. Sources: relative. */
typedef struct mtm_spectrum {
    double value[MTM_SPECTRUM_COUNT]; /**< by wavelength, from MTM_SPECTRUM_FIRST_NM on */
} mtm_spectrum;

/** What stands where nothing was measured. CIE 015:2018, 7.2.2. */
typedef enum mtm_ends {
    MTM_ENDS_ZERO = 0, /**< light: nothing outside the measured range */
    MTM_ENDS_HOLD      /**< filters and surfaces: the end values go on */
} mtm_ends;

/**
 * Brings samples at any spacing to the grid.
 *
 * Even spacing of 2 nm or more: Sprague's fifth-degree polynomial; uneven: a cubic spline,
 * held back beside wide intervals; finer than 2 nm: straight between samples, and shared between
 * the two grid points beside, so that a narrow line keeps its power and its place. Samples on the
 * grid stay as they are. CIE 167:2005; CIE 015:2018, 7.2.
 *
 * @param wavelength_nm count wavelengths, strictly rising, finite
 * @param value         count finite values
 * @param count         2..100000
 * @param ends          what stands outside the samples
 * @param spectrum      set on MTM_OK, untouched otherwise
 * @return MTM_OK, MTM_INVALID, MTM_LIMIT, MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_from_samples(const double *wavelength_nm,
                                                         const double *value, size_t count,
                                                         mtm_ends ends, mtm_spectrum *spectrum,
                                                         mtm_error *error);

/**
 * The same by straight lines between samples: what SMPTE ST 2122 asks for, and so what
 * mtm_ssi_from_spectrum should be given where samples are coarse. For colour, take the above.
 * @return MTM_OK, MTM_INVALID, MTM_LIMIT, MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_straight_from_samples(const double *wavelength_nm,
                                                                  const double *value, size_t count,
                                                                  mtm_ends ends,
                                                                  mtm_spectrum *spectrum,
                                                                  mtm_error *error);

/** Reads a spectrum of light from a file that holds one. Errors name the file and the line.
 *  @return MTM_OK, or as all that reads a file (see mtm_result) */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_load(const char *path, mtm_ends ends,
                                                 mtm_spectrum *spectrum, mtm_error *error);

/**
 * LED line shape of Ohno (Opt. Eng. 44, 111302, 2005), S = (g + 2 g^5) / 3, 1 at the peak.
 *
 * @param peak_nm 300..900
 * @param fwhm_nm full width at half maximum, 0.5..300; the formula's own width is fwhm / 0.92182
 * @return MTM_OK; MTM_INVALID for a figure out of its range
 */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_led(double peak_nm, double fwhm_nm,
                                                mtm_spectrum *spectrum, mtm_error *error);

/** Planckian radiator, 1 at 560 nm, c2 = 1.4388e-2 m K (CIE 015). cct_k 500..1000000, else
 *  MTM_INVALID. */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_planck(double cct_k, mtm_spectrum *spectrum,
                                                   mtm_error *error);

/** CIE daylight, 100 at 560 nm. ISO/CIE 11664-2. cct_k 4000..25000, else MTM_INVALID. */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_daylight(double cct_k, mtm_spectrum *spectrum,
                                                     mtm_error *error);

MTM_END
#endif
