/* SPDX-License-Identifier: MIT */
/* Layout picture: universes slot by slot, and which unit hangs on which port. */
#ifndef METAMER_LAYOUT_PICTURE_H
#define METAMER_LAYOUT_PICTURE_H

#include <metamer/layout.h>
#include <metamer/picture.h>

MTM_BEGIN

/** What a picture of a layout shows. Borrowed throughout. */
typedef struct mtm_layout_view {
    const mtm_rig *rig;     /**< of which the places are */
    const mtm_place *place; /**< one for each unit */
    const mtm_place *was;   /**< one for each unit: where it was, so that what is to be changed by
                                 hand is marked; NULL: nothing is */
} mtm_layout_view;

/**
 * Draws a layout: each universe as a grid of its 512 slots, 32 in a row, with the units on them by
 * number (and name, where there is room); and the riser: under each supply its ports, and on each
 * the units that hang there. Units are numbered in the order of the rig. Universes too many for
 * grids become a line each; supplies whose ports have no room a line each, and what has no line
 * either is counted in the last one.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range and places that the rig has not;
 *         MTM_UNSUPPORTED where cairo or Pango is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_layout(const mtm_layout_view *view,
                                                     const mtm_picture_options *options,
                                                     mtm_picture **out, mtm_error *error);

MTM_END
#endif
