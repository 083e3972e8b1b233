/* SPDX-License-Identifier: MIT */
/* Linked course: the way of a fade beside the straight fades of the cues that stand for it. */
#ifndef METAMER_LINKED_COURSE_H
#define METAMER_LINKED_COURSE_H

#include <metamer/base.h>
#include <metamer/linked.h>

MTM_BEGIN

/** Most units of a course. */
#define MTM_LINKED_COURSE_UNITS_MAX 64

/** A unit at a moment. A plain value. */
typedef struct mtm_linked_moment {
    double time_s;    /**< since the cue's delay */
    mtm_xyz way;      /**< of the transition, before rounding, for the show's observer, Y in lm */
    mtm_xyz straight; /**< of a console that fades straight in slots from cue to cue */
    double lightness; /**< L* of way, to an eye used to the unit's full light */
    double error;     /**< CIEDE2000 between the two, to the same eye */
} mtm_linked_moment;

/** A course. Immutable: may be shared by threads. */
typedef struct mtm_linked_course mtm_linked_course;

/**
 * Looks at a chain at the moments that mtm_linked_create looked at, twice as many as its cues may
 * stand at. It is of the units with the largest error, but first of one of each fixture and mode;
 * units that do the very same are in it once.
 *
 * @param fader  is set to the state before the cue, and left there
 * @param cue    the index that the chain was made of, with this fader
 * @param linked the chain; not kept
 * @param meant  by unit of the rig; NULL: all
 * @param units  at most so many: 1..MTM_LINKED_COURSE_UNITS_MAX
 * @return MTM_OK, also where nothing moves (then there are no units); MTM_INVALID, also for a chain
 *         of another cue; the rest as mtm_linked_create
 */
MTM_API MTM_CHECKED mtm_result mtm_linked_course_create(mtm_fader *fader, size_t cue,
                                                        const mtm_linked *linked, const bool *meant,
                                                        size_t units, mtm_linked_course **out,
                                                        mtm_error *error);
/** Frees a course; NULL is allowed. */
MTM_API void mtm_linked_course_free(mtm_linked_course *course);

/** Cues of the chain; 0 for NULL. */
MTM_API size_t mtm_linked_course_cues(const mtm_linked_course *course);
/** Seconds since the cue's delay when cue number index of the chain has run; NaN past the last. */
MTM_API double mtm_linked_course_end_s(const mtm_linked_course *course, size_t index);
/** Units in it; 0 for NULL. */
MTM_API size_t mtm_linked_course_units(const mtm_linked_course *course);
/** The unit of the rig that number index is; SIZE_MAX past the last. */
MTM_API size_t mtm_linked_course_unit(const mtm_linked_course *course, size_t index);
/** How many of the meant units do the very same as number index, itself included; 0 past the last.
 */
MTM_API size_t mtm_linked_course_alike(const mtm_linked_course *course, size_t index);
/** Moments, the same for all units; none where there is no unit. */
MTM_API size_t mtm_linked_course_moments(const mtm_linked_course *course);
/** The moments of number index; borrowed. NULL past the last. */
MTM_API const mtm_linked_moment *mtm_linked_course_of(const mtm_linked_course *course,
                                                      size_t index);

MTM_END
#endif
