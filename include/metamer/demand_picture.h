/* SPDX-License-Identifier: MIT */
/* Demand picture: what ports, supplies and circuits carry, against their ratings. */
#ifndef METAMER_DEMAND_PICTURE_H
#define METAMER_DEMAND_PICTURE_H

#include <metamer/demand.h>
#include <metamer/picture.h>

MTM_BEGIN

/** Most cases that a picture of a demand shows. */
#define MTM_DEMAND_CASES_MAX 6

/** One case: loads, and what they are called. Borrowed. */
typedef struct mtm_demand_case {
    const char *name;         /**< "all full", "white 4000 K" */
    const mtm_demand *demand; /**< of the rig */
} mtm_demand_case;

/** What a picture of a demand shows. Borrowed throughout. */
typedef struct mtm_demand_view {
    const mtm_rig *rig;           /**< of which the loads are */
    const mtm_demand_case *cases; /**< count of them: the first is drawn as bars, the others as
                                       marks */
    size_t count;                 /**< 1..MTM_DEMAND_CASES_MAX */
} mtm_demand_view;

/**
 * Draws the loads of a rig as parts of their ratings: a line for each port, supply and circuit,
 * what they may carry as a limit. Where the lines are too many for the height, the fullest are
 * drawn and the others are one line that says how many they are and between what parts they lie.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range and loads that are not of this rig;
 *         MTM_UNSUPPORTED where cairo or Pango is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_demand(const mtm_demand_view *view,
                                                     const mtm_picture_options *options,
                                                     mtm_picture **out, mtm_error *error);

MTM_END
#endif
