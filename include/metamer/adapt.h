/* SPDX-License-Identifier: MIT */
/* Chromatic adaptation: the colour that looks the same under another white. */
#ifndef METAMER_ADAPT_H
#define METAMER_ADAPT_H

#include <metamer/base.h>
#include <metamer/colour.h>

MTM_BEGIN

/** Which linear transform; zero is the default. */
typedef enum mtm_adapt_method {
    MTM_ADAPT_CAT16 = 0, /**< CIE 248:2022 */
    MTM_ADAPT_BRADFORD   /**< linear Bradford, ICC.1; by LittleCMS */
} mtm_adapt_method;

/**
 * The matrix that takes XYZ under one white to XYZ under another; Y of the white is kept.
 *
 * @param from, to  whites; finite, all values > 0; only their ratios to Y count
 * @param degree    0 (none) .. 1 (complete)
 * @return MTM_OK; MTM_INVALID for a white or a degree out of range, or for a white so far from any
 *         light that the transform's cone responses are not positive
 */
MTM_API MTM_CHECKED mtm_result mtm_adapt_matrix(mtm_adapt_method method, mtm_xyz from, mtm_xyz to,
                                                double degree, mtm_matrix *matrix,
                                                mtm_error *error);

MTM_END
#endif
