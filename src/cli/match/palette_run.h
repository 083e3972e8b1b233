/* SPDX-License-Identifier: MIT */
/* Matches the colours of a palette, one after the other. */
#ifndef METAMER_CLI_MATCH_PALETTE_RUN_H
#define METAMER_CLI_MATCH_PALETTE_RUN_H

#include "cli/args/picture.h"
#include "cli/args/rig.h"

#include <metamer/match.h>

/** Matches the units that are meant to each colour of --targets, and writes what came of it; the
 *  request is that of each colour but for its target. dimmer_apart: the dimmer is left to the
 *  console. */
MTM_CHECKED mtm_result palette_run(const struct args *args, const struct opened *opened,
                                   mtm_matcher *matcher, const mtm_match_request *request,
                                   bool dimmer_apart, const struct picture_request *picture,
                                   struct outlet *to, mtm_error *error);

#endif
