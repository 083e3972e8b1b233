/* SPDX-License-Identifier: MIT */
/* Fade picture: what units go through in a fade, over time and in the chromaticity diagram. */
#ifndef METAMER_FADE_PICTURE_H
#define METAMER_FADE_PICTURE_H

#include <metamer/fade_course.h>
#include <metamer/picture.h>

MTM_BEGIN

/** Units whose lines a picture of a fade has room for. */
#define MTM_FADE_PICTURE_UNITS 6

/** How many moments a picture can show: one for two places from left to right. options may be
 *  NULL. For mtm_fade_course_request.moments. */
MTM_API size_t mtm_picture_moments(const mtm_picture_options *options);

/** What a picture of a fade shows. Borrowed throughout. */
typedef struct mtm_fade_view {
    const mtm_show *show;            /**< whose cue it is */
    size_t cue;                      /**< an index */
    const mtm_fade_finding *finding; /**< by unit of the rig; those count that move */
    const mtm_fade_course *course;   /**< of the same cue */
    double visible; /**< CIEDE2000 of a step that counts, above 0: 1 is about what a careful eye
                         sees (common practice, no source) */
} mtm_fade_view;

/**
 * Draws a fade: output, colour temperature, Duv and step of each unit of the course over one time,
 * of its first unit the levels and the codes too; and the ways through the chromaticity diagram,
 * from hollow to filled, with what the paths ask for. Colours are shown where L* is 2 or more. Axes
 * of output, steps, levels and codes begin at 0 and end 8 % above the largest value, that of steps
 * at 1.4 times visible or above. The enlarged part of the diagram is a square of 1.25 times the
 * ways' larger extent, at least 0.02 wide.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a course of more than MTM_FADE_PICTURE_UNITS units; the
 *         rest as mtm_picture_of_colour
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_fade(const mtm_fade_view *view,
                                                   const mtm_picture_options *options,
                                                   mtm_picture **out, mtm_error *error);

MTM_END
#endif
