/* SPDX-License-Identifier: MIT */
/* White: correlated colour temperature, distance from the Planckian locus, and the loci. */
#ifndef METAMER_WHITE_H
#define METAMER_WHITE_H

#include <metamer/base.h>
#include <metamer/colour.h>

MTM_BEGIN

#define MTM_CCT_MIN_K 1000.0  /**< lowest colour temperature that is computed */
#define MTM_CCT_MAX_K 25000.0 /**< highest colour temperature that is computed */
/** Below this the CIE defines no daylight (ISO/CIE 11664-2). */
#define MTM_DAYLIGHT_MIN_K 4000.0
/** Beyond this distance a colour temperature means nothing (CIE 015:2018, 9.4). */
#define MTM_DUV_MAX 0.05

/** A white by its place beside the Planckian locus. A plain value. */
typedef struct mtm_white {
    double cct_k; /**< correlated colour temperature, kelvin, 1000..25000 */
    double duv;   /**< signed distance in CIE 1960 u, v; positive above the locus */
} mtm_white;

/**
 * Finds the white nearest to a chromaticity.
 *
 * @param xy    CIE 1931 chromaticity; finite, x >= 0, y > 0, x + y <= 1
 * @param white set on MTM_OK, untouched otherwise
 * @param error the sentence for the user; may be NULL
 * @return MTM_OK; MTM_INVALID if xy is not a chromaticity; MTM_RANGE if |duv| > 0.05 or the
 *         temperature lies outside 1000..25000 K
 * A temperature within 0.01 K of a bound, or a duv within 1e-6 of one, counts as the bound.
 * Error against a dense search: below 0.01 K and 1e-6 in duv.
 * Source: CIE 015:2018, 9.4; Y. Ohno, LEUKOS 10(1), 2014; sign of duv as in ANSI C78.377.
 */
MTM_API MTM_CHECKED mtm_result mtm_white_from_xy(mtm_xy xy, mtm_white *white, mtm_error *error);

/**
 * The chromaticity of a white; the inverse of mtm_white_from_xy, as exact. At low temperatures a
 * positive duv leads beyond x + y = 1 (at 1600 K above 0.005, at 3000 K above 0.03), where no light
 * is: the point is given all the same, and mtm_xy_valid tells.
 *
 * @return MTM_OK; MTM_INVALID if cct_k is outside 1000..25000 or |duv| > 0.05
 */
MTM_API MTM_CHECKED mtm_result mtm_white_to_xy(mtm_white white, mtm_xy *xy, mtm_error *error);

/** The Planckian locus, 2 or 10 degree observer; cct_k 1000..25000, else MTM_INVALID.
 *  c2 = 1.4388e-2 m K. */
MTM_API MTM_CHECKED mtm_result mtm_planck_xy(double cct_k, mtm_observer observer, mtm_xy *xy,
                                             mtm_error *error);

/** The CIE daylight locus (2 degree formula; by the spectrum for 10); cct_k 4000..25000, else
 *  MTM_INVALID. */
MTM_API MTM_CHECKED mtm_result mtm_daylight_xy(double cct_k, mtm_observer observer, mtm_xy *xy,
                                               mtm_error *error);

/** Reciprocal megakelvin: 1e6 / cct_k; cct_k > 0. */
MTM_API double mtm_mired_from_cct(double cct_k);
/** 1e6 / mired; mired > 0. */
MTM_API double mtm_cct_from_mired(double mired);

MTM_END
#endif
