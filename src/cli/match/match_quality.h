/* SPDX-License-Identifier: MIT */
/* Match quality: the second look at a matched rig, and the pairs that only seem to agree. */
#ifndef METAMER_CLI_MATCH_MATCH_QUALITY_H
#define METAMER_CLI_MATCH_MATCH_QUALITY_H

#include "cli/match/match_out.h"

/** Two units that agree for the observer of the match, but not to another eye or a camera. */
struct metameric_pair {
    size_t first, second; /* indices of matches */
    mtm_metamerism metamerism;
};

/** Says what Ra stands beside, for whites from least_cct_k to most_cct_k; nothing for NAN. */
void put_ra_reference(double least_cct_k, double most_cct_k, FILE *out);

/** The same for a report with judgements, and which kinds' figures rest on ideal lines. */
void match_put_basis(const struct match_report *report, FILE *out);

/** Judges every match of a report into judgement (report->count places). */
MTM_CHECKED mtm_result match_judge(const struct match_report *report, mtm_judgement *judgement,
                                   mtm_error *error);

/**
 * The worst pairs of units whose colours agree within agree (u', v') for the observer of the match,
 * but differ by more than apart for the other observer, or are spectrally less alike than
 * least_ssi. Of units of one kind that show one colour, the first
 * speaks for all. Returns their number, at most most.
 */
MTM_CHECKED mtm_result match_find_pairs(const struct match_report *report,
                                        struct metameric_pair *pair, size_t most, size_t *count,
                                        mtm_error *error);

#endif
