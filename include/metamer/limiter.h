/* SPDX-License-Identifier: MIT */
/* Limiter: frames kept within the ratings of ports and supplies. */
#ifndef METAMER_LIMITER_H
#define METAMER_LIMITER_H

#include <metamer/base.h>
#include <metamer/demand.h>
#include <metamer/frames.h>
#include <metamer/rig.h>

MTM_BEGIN

/** Stands between a source of frames and whoever takes them. One thread at a time. */
typedef struct mtm_limiter mtm_limiter;

/**
 * Makes a limiter: where a frame would put a port or a supply over its rating, the units on it are
 * lowered by mtm_demand_factors(), their codes chosen anew, so that they keep their colours as far
 * as codes allow; all other slots pass through as they are. The factors change as steadily as the
 * loads do. Units that share slots get the smallest of their factors. Lowered codes aim a little
 * below the rating, so that rounding stays within it.
 *
 * @param rig    must outlive the limiter and stay unchanged; the slots of its units are read by
 *               their modes, units that the frames do not reach count as dark
 * @param source must outlive the limiter
 * @return MTM_OK; MTM_INVALID; MTM_UNSUPPORTED; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_limiter_create(const mtm_rig *rig,
                                                  const mtm_demand_options *options,
                                                  const mtm_frame_source *source, mtm_limiter **out,
                                                  mtm_error *error);
/** Frees a limiter; NULL is allowed. */
MTM_API void mtm_limiter_free(mtm_limiter *limiter);
/** The limiter as a source; it lives as long as the limiter. */
MTM_API mtm_frame_source mtm_limiter_source(mtm_limiter *limiter);
/** Frames so far in which something was lowered. */
MTM_API uint64_t mtm_limiter_lowered(const mtm_limiter *limiter);

MTM_END
#endif
