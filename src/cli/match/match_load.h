/* SPDX-License-Identifier: MIT */
/* Match load: what a match asks of ports and supplies, and how it is kept within their ratings. */
#ifndef METAMER_CLI_MATCH_MATCH_LOAD_H
#define METAMER_CLI_MATCH_MATCH_LOAD_H

#include "cli/match/match_out.h"

#include <metamer/load.h>

/** The loads of a match; units that are not part of it count as dark. The caller frees *out. */
MTM_CHECKED mtm_result match_load(const mtm_rig *rig, const mtm_match *match, size_t count,
                                  mtm_load **out, mtm_error *error);

/** What is to be kept within the ratings. */
struct match_work {
    mtm_rig *rig;
    mtm_matcher *matcher;
    const size_t *unit; /* count of them */
    size_t count;
    const mtm_match_request *request;
    bool together;
};

/**
 * Lowers the output of units whose port or supply would carry too much, colour kept, until all are
 * within their ratings; held[i] tells which. match and common come in matched and go out lowered.
 */
MTM_CHECKED mtm_result match_hold_load(const struct match_work *work, mtm_match *match,
                                       mtm_common *common, bool *held, mtm_error *error);

/** One sentence for each port and supply that is over its rating. */
void match_put_overloads(const mtm_rig *rig, const mtm_load *load, FILE *out);

#endif
