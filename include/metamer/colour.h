/* SPDX-License-Identifier: MIT */
/* Colour: tristimulus values, chromaticities and the uniform spaces. */
#ifndef METAMER_COLOUR_H
#define METAMER_COLOUR_H

#include <metamer/base.h>
#include <metamer/spectrum.h>

MTM_BEGIN

/** CIE standard observer; zero is the default, 2 degrees. Also indexes two-element arrays. */
typedef enum mtm_observer {
    MTM_OBSERVER_2 = 0, /**< CIE 1931, 2 degree field */
    MTM_OBSERVER_10 = 1 /**< CIE 1964, 10 degree field */
} mtm_observer;

#define MTM_OBSERVER_COUNT 2 /**< number of observers */

/** Tristimulus values. Scale as stated: lumens for emitters, Y = 100 or 1 for the white elsewhere.
 */
typedef struct mtm_xyz {
    double x; /**< X */
    double y; /**< Y: luminous, whatever the scale */
    double z; /**< Z */
} mtm_xyz;

/** CIE x, y chromaticity. */
typedef struct mtm_xy {
    double x; /**< X / (X + Y + Z) */
    double y; /**< Y / (X + Y + Z) */
} mtm_xy;

/** CIE 1976 u', v' chromaticity. The 1960 v is two thirds of this v. */
typedef struct mtm_uv {
    double u; /**< u' */
    double v; /**< v' */
} mtm_uv;

/** A linear map of three values to three, rows first. */
typedef struct mtm_matrix {
    double m[3][3]; /**< row by row */
} mtm_matrix;

/** Chromaticity of XYZ; black (X + Y + Z <= 0) gives { 0, 0 }. CIE 015:2018, 7.2. */
MTM_API mtm_xy mtm_xy_from_xyz(mtm_xyz xyz);

/** u', v' of XYZ; black gives { 0, 0 }. ISO/CIE 11664-5. */
MTM_API mtm_uv mtm_uv_from_xyz(mtm_xyz xyz);

/** XYZ of luminance y_value at a chromaticity; xy.y > 0, else all are NAN. */
MTM_API mtm_xyz mtm_xyz_from_xy(mtm_xy xy, double y_value);

/** u', v' from x, y. ISO/CIE 11664-5. */
MTM_API mtm_uv mtm_uv_from_xy(mtm_xy xy);

/** x, y from u', v'. */
MTM_API mtm_xy mtm_xy_from_uv(mtm_uv uv);

/** Distance in u', v'. */
MTM_API double mtm_uv_distance(mtm_uv a, mtm_uv b);

/** True for a finite chromaticity with x >= 0, y > 0 and x + y <= 1. */
MTM_API bool mtm_xy_valid(mtm_xy xy);

/** matrix times XYZ. */
MTM_API mtm_xyz mtm_matrix_apply(const mtm_matrix *matrix, mtm_xyz xyz);

/** XYZ = 683 lm/W times the sum over 1 nm steps of spectrum and observer. CIE 015:2018, 7.1. */
MTM_API mtm_xyz mtm_xyz_from_spectrum(const mtm_spectrum *spectrum, mtm_observer observer);

/**
 * Scales a spectrum of light, whatever its unit, to W/nm: so that its Y (2 degree observer) is
 * flux_lm. An emitter wants it so.
 *
 * @param spectrum in and out; changed on MTM_OK only; finite values
 * @param flux_lm  finite, >= 0; 0 makes it dark
 * @return MTM_OK; MTM_INVALID; MTM_RANGE for a spectrum without visible light to be scaled
 */
MTM_API MTM_CHECKED mtm_result mtm_spectrum_scale_to_lm(mtm_spectrum *spectrum, double flux_lm,
                                                        mtm_error *error);

MTM_END
#endif
