/* SPDX-License-Identifier: MIT */
/* Survey picture: the whites that the kinds of a rig reach, and what they give together there. */
#ifndef METAMER_SURVEY_PICTURE_H
#define METAMER_SURVEY_PICTURE_H

#include <metamer/picture.h>
#include <metamer/survey.h>

MTM_BEGIN

/** What a picture of a survey shows. Borrowed throughout. */
typedef struct mtm_survey_view {
    const mtm_rig *rig;       /**< of which the survey is */
    const mtm_survey *survey; /**< of it */
    double within_uv;         /**< with which it was made, 0..0.1; 0: MTM_SURVEY_WITHIN_UV */
} mtm_survey_view;

/**
 * Draws the whites of each kind as bars over colour temperature (even steps of mired), the whites
 * that all reach as a shaded band, and below the output that each gives at a common colour, with
 * the unit that limits it; the mark's shape says whether the common colour is within one step
 * (0.0011 in u', v') of the white. Where the kinds are too many for the height, the first are drawn
 * and the others are one line that says how many they are.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range and a survey of another rig;
 *         MTM_UNSUPPORTED where cairo or Pango is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_survey(const mtm_survey_view *view,
                                                     const mtm_picture_options *options,
                                                     mtm_picture **out, mtm_error *error);

MTM_END
#endif
