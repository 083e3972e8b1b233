/* SPDX-License-Identifier: MIT */
/* Match run: from options to a match of the units that are meant, for all commands that match. */
#ifndef METAMER_CLI_MATCH_MATCH_RUN_H
#define METAMER_CLI_MATCH_MATCH_RUN_H

#include "cli/args/rig.h"
#include "cli/match/match_out.h"

/** What a match goes by, the colour and the result aside; and its second look. */
extern const struct option_spec match_options[];
extern const struct option_spec match_quality_options[];

/** What was asked, whatever the colour. Zeroed holds nothing. */
struct match_asked {
    struct opened opened;
    mtm_matcher *matcher;
    mtm_match_request request; /**< but for its target */
    bool dimmer_apart;         /**< the dimmer is left to the console */
};

/** Opens the rig of the first word and reads the options. Closed by match_asked_close, also after a
 *  failure. */
MTM_CHECKED mtm_result match_asked_open(const struct args *args, struct match_asked *asked,
                                        mtm_error *error);
void match_asked_close(struct match_asked *asked);

/** One colour matched. Zeroed holds nothing; it must not move, since the report points into it. */
struct match_found {
    mtm_target target;
    mtm_match *match; /**< one a unit that is meant */
    mtm_judgement *judgement;
    mtm_demand *demand;
    bool *held; /**< by match; NULL without --within-load */
    struct slot_kinds kinds;
    struct slot_source slots;
    struct match_report report;
};

/** Matches, weighs and judges. asked must outlive what is found. Freed by match_found_free, also
 *  after a failure. */
MTM_CHECKED mtm_result match_find(const struct args *args, const struct match_asked *asked,
                                  const mtm_target *target, struct match_found *found,
                                  mtm_error *error);
void match_found_free(struct match_found *found);

#endif
