/* SPDX-License-Identifier: MIT */
/* Whites of a fixture: what it makes of the whites that people ask for, and how far they reach. */
#ifndef METAMER_WHITES_H
#define METAMER_WHITES_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/solve.h>
#include <metamer/white.h>

MTM_BEGIN

/** A mix this near to the Planckian locus, in u', v', counts as a white: as near as the quadrangles
 *  of ANSI C78.377 reach. */
#define MTM_WHITE_NEAR_UV 0.006

/** What a fixture makes of a white that was asked. A plain value. */
typedef struct mtm_fixture_white {
    mtm_xy asked_xy;   /**< the Planckian radiator's, for the observer asked for */
    mtm_answer answer; /**< the most light there; the nearest where that is out of reach */
    mtm_white made;    /**< what the levels give to the 2 degree observer, whose colour temperature
                            is (CIE 015:2018, 9.4), whatever observer was asked for; NAN where it is no
                          white */
    double flux_lm;    /**< what the levels give, lumens */
} mtm_fixture_white;

/** The whites that a fixture reaches. A plain value; zeroed where there are none. */
typedef struct mtm_white_range {
    double warmest_k;   /**< lowest temperature that it makes, kelvin */
    double coolest_k;   /**< highest temperature that it makes, kelvin */
    double farthest_uv; /**< u', v' between locus and mix, the most of the whites between the two
                             ends: the line of two emitters sags below the locus */
} mtm_white_range;

/**
 * What a fixture makes of whites on the Planckian locus.
 *
 * @param cct_k count temperatures, MTM_CCT_MIN_K..MTM_CCT_MAX_K
 * @param white room for count; set on MTM_OK
 * @param range sought in steps of one mired from 1000 to 25000 K; NULL if it is not wanted
 * @return MTM_OK; MTM_INVALID; MTM_RANGE for a temperature beyond those; MTM_UNSUPPORTED for the 10
 *         degree observer where an emitter has no spectrum; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_fixture_whites(const mtm_fixture *fixture, mtm_observer observer,
                                                  const double *cct_k, size_t count,
                                                  mtm_fixture_white *white, mtm_white_range *range,
                                                  mtm_error *error);

MTM_END
#endif
