/* SPDX-License-Identifier: MIT */
/* Match quality: the second look at a matched rig, and what its figures stand beside. */
#ifndef METAMER_CLI_MATCH_MATCH_QUALITY_H
#define METAMER_CLI_MATCH_MATCH_QUALITY_H

#include "cli/match/match_out.h"

/** Says what Ra stands beside, for whites from least_cct_k to most_cct_k; nothing for NAN. */
void put_ra_reference(double least_cct_k, double most_cct_k, FILE *out);

/** The same for a report with judgements, and which kinds' figures rest on ideal lines. */
void match_put_basis(const struct match_report *report, FILE *out);

/** Judges every match of a report into judgement (report->count places). */
MTM_CHECKED mtm_result match_judge(const struct match_report *report, mtm_judgement *judgement,
                                   mtm_error *error);

#endif
