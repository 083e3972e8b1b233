/* SPDX-License-Identifier: MIT */
/* Filter picture: what filters let through, and what they make of a light. */
#ifndef METAMER_FILTER_PICTURE_H
#define METAMER_FILTER_PICTURE_H

#include <metamer/filter.h>
#include <metamer/picture.h>
#include <metamer/target.h>

MTM_BEGIN

/** A filter over the light of a view. */
typedef struct mtm_shown_filter {
    const mtm_filter *filter; /**< borrowed */
    mtm_filtered made;        /**< of that light, mtm_filter_over */
} mtm_shown_filter;

/** What a picture of filters shows. Borrowed throughout. */
typedef struct mtm_filter_view {
    const mtm_light *light;         /**< that the filters stand before */
    mtm_observer observer;          /**< for whom made is */
    const mtm_shown_filter *filter; /**< count of them */
    size_t count;                   /**< 1..MTM_FILTERS_MAX */
    const mtm_target *target;       /**< that they come near to; NULL: none */
} mtm_filter_view;

/**
 * Draws filters: from the bare light to that behind each, as arrows in the chromaticity diagram,
 * and their transmittance by wavelength. Of more than eight filters the arrows and the names of
 * curves are left out.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range; MTM_UNSUPPORTED where cairo or Pango
 * is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_filters(const mtm_filter_view *view,
                                                      const mtm_picture_options *options,
                                                      mtm_picture **out, mtm_error *error);

MTM_END
#endif
