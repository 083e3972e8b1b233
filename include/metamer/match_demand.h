/* SPDX-License-Identifier: MIT */
/* Match demand: what a match asks of ports and supplies, and how it keeps within their ratings. */
#ifndef METAMER_MATCH_DEMAND_H
#define METAMER_MATCH_DEMAND_H

#include <metamer/base.h>
#include <metamer/demand.h>
#include <metamer/match.h>
#include <metamer/rig.h>

MTM_BEGIN

/**
 * The loads of matched units of a rig; units that are not among them count as dark.
 *
 * @param match   count of them
 * @param options NULL for the defaults
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_match_demand(const mtm_rig *rig, const mtm_match *match,
                                                size_t count, const mtm_demand_options *options,
                                                mtm_demand **out, mtm_error *error);

/**
 * Lowers the output of units whose port or supply would carry too much (mtm_demand_factors), colour
 * kept, until all are within their ratings. What is lowered aims a little below the rating, so that
 * rounding stays within it.
 *
 * @param request what the units were matched for
 * @param match   count of them, as matched; lowered on MTM_OK, else as they were
 * @param common  how they came out together: one output for all stays one, that of the unit that
 *                must come down farthest. NULL, or none that exists: each on its own
 * @param held    set on MTM_OK, by match: its output was lowered
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY; what the matcher refuses
 */
MTM_API MTM_CHECKED mtm_result mtm_match_hold_demand(
    mtm_matcher *matcher, const mtm_match_request *request, mtm_match *match, size_t count,
    mtm_common *common, const mtm_demand_options *options, bool *held, mtm_error *error);

MTM_END
#endif
