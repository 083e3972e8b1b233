/* SPDX-License-Identifier: MIT */
/* Diagram: pictures in the chromaticity plane: one colour; a match of a rig. */
#ifndef METAMER_DIAGRAM_H
#define METAMER_DIAGRAM_H

#include <metamer/match.h>
#include <metamer/picture.h>
#include <metamer/target.h>

MTM_BEGIN

/**
 * Draws one colour in the chromaticity diagram, with spectrum locus, Planckian and daylight locus,
 * and its neighbourhood enlarged.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for what is no chromaticity and a size out of range;
 *         MTM_UNSUPPORTED where cairo, Pango or a font is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_colour(const mtm_target *target,
                                                     const mtm_picture_options *options,
                                                     mtm_picture **out, mtm_error *error);

/** What a picture of a match shows. Borrowed throughout. */
typedef struct mtm_match_view {
    const mtm_rig *rig;       /**< of which the matches are */
    mtm_matcher *matcher;     /**< that made them */
    const mtm_target *target; /**< what was asked of it */
    const mtm_match *match;   /**< count answers */
    size_t count;             /**< 1 or more */
    const char *const
        *reason;         /**< by match, why it comes no closer ("" for none); NULL: not told */
    double tolerance_uv; /**< radius of the tolerance in u', v'; 0: none is drawn */
} mtm_match_view;

/**
 * Draws a match in the chromaticity diagram: the gamut of each kind, what all kinds have in common,
 * the target, and what each unit gives, numbered where there is room and listed. Units of one kind
 * that give the same share a number; where the list has no room, kinds stand in place of units.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range and a match that the rig or the matcher
 *         has not; MTM_UNSUPPORTED where cairo, Pango or a font is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_match(const mtm_match_view *view,
                                                    const mtm_picture_options *options,
                                                    mtm_picture **out, mtm_error *error);

MTM_END
#endif
