/* SPDX-License-Identifier: MIT */
/* Choices picture: ways of one unit to make a colour, output against rendering. */
#ifndef METAMER_CHOICES_PICTURE_H
#define METAMER_CHOICES_PICTURE_H

#include <metamer/match.h>
#include <metamer/picture.h>
#include <metamer/rig.h>
#include <metamer/spectral.h>
#include <metamer/target.h>

MTM_BEGIN

/** One way. Borrowed. */
typedef struct mtm_way_view {
    mtm_match match;  /**< what its codes give: levels, flux_lm and watts are drawn */
    double rf;        /**< of the codes; NaN where it cannot be judged */
    double ra;        /**< the same */
    const char *name; /**< why it is listed ("most light"); NULL: in between */
} mtm_way_view;

/** What a picture of choices shows. Borrowed throughout. */
typedef struct mtm_choices_view {
    const mtm_unit *unit;     /**< whose ways they are */
    const mtm_target *target; /**< what was asked of it */
    const mtm_way_view *way;  /**< count ways, most light first */
    size_t count;             /**< 1..MTM_CHOICES_MAX */
    bool ideal_lines;         /**< some spectra are drawn from peak and width */
} mtm_choices_view;

/**
 * Draws the ways in which a unit makes a colour: output against Rf, with what gives more lumens a
 * watt than the first marked and told, a list of their figures, and of each the lumens by emitter.
 * Where not all have an Rf, lumens a watt stand in its place.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range and a way whose lumens are no finite
 *         number; MTM_UNSUPPORTED where cairo or Pango is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_choices(const mtm_choices_view *view,
                                                      const mtm_picture_options *options,
                                                      mtm_picture **out, mtm_error *error);

MTM_END
#endif
