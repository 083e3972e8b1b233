/* SPDX-License-Identifier: MIT */
/* Fade course: what units go through in a fade, at so many moments: for pictures and plots. */
#ifndef METAMER_FADE_COURSE_H
#define METAMER_FADE_COURSE_H

#include <metamer/base.h>
#include <metamer/fade.h>
#include <metamer/fade_report.h>

MTM_BEGIN

/** Most units of a course. */
#define MTM_FADE_COURSE_UNITS_MAX 64
#define MTM_FADE_COURSE_MOMENTS_MIN 2    /**< least moments of a course */
#define MTM_FADE_COURSE_MOMENTS_MAX 8192 /**< most moments of a course */

/** A unit at a moment of its fade. A plain value. */
typedef struct mtm_fade_moment {
    double time_s;                  /**< since the cue began */
    mtm_xyz sent;                   /**< light of the codes, for the show's observer, Y in lm */
    mtm_xyz wanted;                 /**< what the path asks for, the same */
    double lightness;               /**< L* of sent, as mtm_fade_finding has it */
    double step;                    /**< largest CIEDE2000 difference of two frames in a row since
                                     *   the moment before; 0 at the first */
    double level[MTM_EMITTERS_MAX]; /**< before rounding, by emitter */
    mtm_codes codes;                /**< what is sent */
} mtm_fade_moment;

/** What is recorded. */
typedef struct mtm_fade_course_request {
    const bool *meant;               /**< by unit of the rig; NULL: all */
    const mtm_fade_finding *finding; /**< by unit of the rig: its step says how much it matters */
    size_t units;                    /**< at most so many: 1..MTM_FADE_COURSE_UNITS_MAX */
    size_t moments;                  /**< at most so many: MTM_FADE_COURSE_MOMENTS_MIN.._MAX */
    mtm_fade_progress progress;      /**< may be NULL */
    void *context;                   /**< handed to progress */
} mtm_fade_course_request;

/** A course. Immutable: may be shared by threads. */
typedef struct mtm_fade_course mtm_fade_course;

/**
 * Runs a cue that has just been started until nothing moves, and records units that move: those
 * with the largest step, but first one of each fixture and mode. Units that do the very same are
 * recorded once. Every frame is looked at; where there are more frames than moments, moments stand
 * evenly among them, the first and the last frame included.
 *
 * @param fader after mtm_fader_go or mtm_fader_go_to; left at the end of the cue
 * @return MTM_OK, also where nothing moves (then there are no units); MTM_INVALID; MTM_RANGE where
 *         progress ended it; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_fade_course_create(mtm_fader *fader,
                                                      const mtm_fade_course_request *request,
                                                      mtm_fade_course **out, mtm_error *error);
/** Frees a course; NULL is allowed. */
MTM_API void mtm_fade_course_free(mtm_fade_course *course);

/** Units recorded. 0 for NULL. */
MTM_API size_t mtm_fade_course_units(const mtm_fade_course *course);
/** The unit of the rig that number index is; SIZE_MAX past the last. */
MTM_API size_t mtm_fade_course_unit(const mtm_fade_course *course, size_t index);
/** How many of the meant units do the very same as number index, itself included; 0 past the last.
 */
MTM_API size_t mtm_fade_course_alike(const mtm_fade_course *course, size_t index);
/** Moments recorded, the same for all units. */
MTM_API size_t mtm_fade_course_moments(const mtm_fade_course *course);
/** The moments of number index; borrowed. NULL past the last. */
MTM_API const mtm_fade_moment *mtm_fade_course_of(const mtm_fade_course *course, size_t index);

MTM_END
#endif
