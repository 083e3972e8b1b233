/* SPDX-License-Identifier: MIT */
/* Linked cues: a fade as the fewest cues that a console can run one after the other. */
#ifndef METAMER_LINKED_H
#define METAMER_LINKED_H

#include <metamer/base.h>
#include <metamer/codes.h>
#include <metamer/fade.h>

MTM_BEGIN

/** Most places in time at which a cue of a chain may stand. */
#define MTM_LINKED_TIMES_MAX 600
/** Most units times places. */
#define MTM_LINKED_WORK_MAX ((size_t)2000000)

/** A chain of cues in place of one. Immutable once made: may be shared by threads. */
typedef struct mtm_linked mtm_linked;

/**
 * Finds the fewest cues such that fades straight in slots from each to the next, a 16-bit pair as
 * one, stay within tolerance of the transition that the cue's own fade takes.
 *
 * A chain's cues stand at multiples of 0.1 s, which is as fine as cue text counts, or of the least
 * multiple of that which makes no more than MTM_LINKED_TIMES_MAX places; the last stands at the
 * end. Their levels are whole codes. The error is looked at twice as often as that, for every unit
 * that the cue names, as CIEDE2000 to an eye used to the unit's full light; the transition is the
 * one before rounding. The count is the least there is: moments are reached in order of the cues it
 * takes to reach them. A fade of 0.1 s or less is one cue: nobody sees its transition.
 *
 * @param fader     is set to the state before the cue, and left there
 * @param cue       an index
 * @param tolerance CIEDE2000, > 0
 * @param progress  may be NULL
 * @return MTM_OK; MTM_RANGE where no chain is good enough: the sentence tells unit, time, and what
 *         rounding to codes alone does there; MTM_LIMIT for too many units, or where
 *         progress ended it; what starting the cue fails with
 */
MTM_API MTM_CHECKED mtm_result mtm_linked_create(mtm_fader *fader, size_t cue, double tolerance,
                                                 mtm_fade_progress progress, void *context,
                                                 mtm_linked **out, mtm_error *error);
/** Frees a chain; NULL is allowed. */
MTM_API void mtm_linked_free(mtm_linked *linked);

/** Cues of the chain, at least 1. */
MTM_API size_t mtm_linked_count(const mtm_linked *linked);
/** Seconds that cue number index fades; index < count. The first waits for the cue's delay before.
 */
MTM_API double mtm_linked_time_s(const mtm_linked *linked, size_t index);
/** What a unit sends when cue number index has run; unit < the rig's count. */
MTM_API mtm_codes mtm_linked_codes(const mtm_linked *linked, size_t index, size_t unit);
/** The largest error of the chain, CIEDE2000. */
MTM_API double mtm_linked_error(const mtm_linked *linked);

MTM_END
#endif
