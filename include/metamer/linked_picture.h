/* SPDX-License-Identifier: MIT */
/* Linked picture: the way of a fade, the straight fades that stand for it, and what is between. */
#ifndef METAMER_LINKED_PICTURE_H
#define METAMER_LINKED_PICTURE_H

#include <metamer/linked_course.h>
#include <metamer/picture.h>
#include <metamer/show.h>

MTM_BEGIN

/** Units whose lines such a picture has room for. */
#define MTM_LINKED_PICTURE_UNITS 4

/** What a picture of linked cues shows. Borrowed throughout. */
typedef struct mtm_linked_view {
    const mtm_show *show;            /**< whose cue it is */
    size_t cue;                      /**< an index */
    const mtm_linked_course *course; /**< of the same cue */
    double tolerance;                /**< CIEDE2000 that the chain keeps to, above 0 */
} mtm_linked_view;

/**
 * Draws linked cues: output, colour temperature and Duv of the straight fades over those of the way
 * (thin), the error between with the tolerance, upright lines where a cue ends and the next
 * begins, and both in the chromaticity diagram. Colours are shown where L* is 2 or more. The axis
 * of output begins at 0 and ends 8 % above the largest value, that of errors too, at 1.2 times the
 * tolerance or above.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a course of more than MTM_LINKED_PICTURE_UNITS units; the
 *         rest as mtm_picture_of_colour
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_linked(const mtm_linked_view *view,
                                                     const mtm_picture_options *options,
                                                     mtm_picture **out, mtm_error *error);

MTM_END
#endif
