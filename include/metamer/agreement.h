/* SPDX-License-Identifier: MIT */
/* Agreement: how near matched units are to each other, and which pairs only seem to agree. */
#ifndef METAMER_AGREEMENT_H
#define METAMER_AGREEMENT_H

#include <metamer/base.h>
#include <metamer/judge.h>
#include <metamer/match.h>
#include <metamer/rig.h>

MTM_BEGIN

/**
 * The largest distance in u', v' between any two units that give light; 0 for fewer than two.
 *
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_match_spread(const mtm_match *match, size_t count,
                                                double *spread_uv, mtm_error *error);

/** The match farthest from what was asked (the first of equals); NULL if there is none. Borrowed
 *  from match. */
MTM_API const mtm_match *mtm_match_farthest(const mtm_match *match, size_t count);

/**
 * Looks at the light of every match (mtm_judge), which mtm_match_pairs asks for.
 *
 * @param match     count of them, of this rig
 * @param judgement room for count; set in part on failure
 * @return MTM_OK; MTM_INVALID, also for a match of no unit of the rig; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_judge_matches(const mtm_rig *rig, const mtm_match *match,
                                                 size_t count, mtm_judgement *judgement,
                                                 mtm_error *error);

/** What passes for alike and what is named as apart. A plain value. */
typedef struct mtm_pair_limits {
    double agree_uv;  /**< within this, in u', v' for the observer of the match, two pass for alike;
                           above 0 */
    double apart_uv;  /**< beyond this for the other observer they are named; above 0 */
    double least_ssi; /**< with a lower SSI they are named; below 100 */
} mtm_pair_limits;

/** The usual limits: three steps of 0.0011 both ways, and an SSI of 60 (common practice, no
 *  source). */
MTM_API mtm_pair_limits mtm_pair_limits_usual(void);

/** Two units that agree for the observer of the match, but not to another eye or a camera. */
typedef struct mtm_metameric_pair {
    size_t first;              /**< index of a match */
    size_t second;             /**< index of the other, higher */
    mtm_metamerism metamerism; /**< how they compare */
} mtm_metameric_pair;

/**
 * The pairs that surprise most, in falling order: by how far they exceed the limits. Of units of
 * one fixture that show one colour (u', v' within 0.001) the first speaks for all; units that are
 * dark or have no spectrum are left out.
 *
 * @param match     count of them
 * @param judgement one a match, of mtm_judge
 * @param observer  of the match
 * @param limits    NULL for the usual
 * @param pair      room for at most `most`
 * @param found     set on MTM_OK to their number
 * @return MTM_OK; MTM_INVALID; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_match_pairs(const mtm_rig *rig, const mtm_match *match,
                                               const mtm_judgement *judgement, size_t count,
                                               mtm_observer observer, const mtm_pair_limits *limits,
                                               mtm_metameric_pair *pair, size_t most, size_t *found,
                                               mtm_error *error);

MTM_END
#endif
