/* SPDX-License-Identifier: MIT */
/* Colour facts: one colour in all its forms. */
#ifndef METAMER_COLOUR_FACTS_H
#define METAMER_COLOUR_FACTS_H

#include <metamer/appearance.h>
#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/dominant.h>
#include <metamer/lab.h>
#include <metamer/white.h>

MTM_BEGIN

/** One colour in all its forms. What has no value is NaN. A plain value. */
typedef struct mtm_colour_facts {
    mtm_xyz xyz;             /**< at the stated Y */
    mtm_xyz white_xyz;       /**< what the relative forms stand beside: D65 (CIE 15:2004, table T.3)
                              *   for the observer, Y = 100 */
    mtm_uv uv;               /**< CIE 1976 */
    mtm_white white;         /**< colour temperature and Duv; 2 degree observer only */
    char white_missing[256]; /**< why there is no colour temperature; "" if there is one */
    mtm_dominant dominant;   /**< beside the stated white; NaN for that white itself */
    mtm_lab lab;             /**< CIE 1976 L*a*b* */
    mtm_luv luv;             /**< CIE 1976 L*u*v* */
    mtm_ucs ucs;             /**< CAM16-UCS; 20 cd/m2, background Y = 20, average surround */
    mtm_oklab oklab;         /**< 2 degree observer only */
} mtm_colour_facts;

/**
 * All forms of a colour.
 *
 * @param y      luminance factor beside a white of 100, above 0
 * @param beside the white of dominant wavelength and purity
 * @param facts  set on MTM_OK, untouched otherwise
 * @return MTM_OK, also for a colour that no light has (mtm_dominant_imaginary); MTM_INVALID for
 *         what is no chromaticity, a white outside the locus, or a y out of its range
 */
MTM_API MTM_CHECKED mtm_result mtm_colour_facts_from_xy(mtm_xy xy, mtm_observer observer, double y,
                                                        mtm_xy beside, mtm_colour_facts *facts,
                                                        mtm_error *error);

MTM_END
#endif
