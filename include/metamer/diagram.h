/* SPDX-License-Identifier: MIT */
/* Diagram: pictures in the chromaticity plane: one colour. */
#ifndef METAMER_DIAGRAM_H
#define METAMER_DIAGRAM_H

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
 *         MTM_UNSUPPORTED where cairo or Pango is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_colour(const mtm_target *target,
                                                     const mtm_picture_options *options,
                                                     mtm_picture **out, mtm_error *error);

MTM_END
#endif
