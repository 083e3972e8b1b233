/* SPDX-License-Identifier: MIT */
/* Judge: a second look at what a unit shows: rendering, the other observer, metamerism in pairs. */
#ifndef METAMER_JUDGE_H
#define METAMER_JUDGE_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/spectrum.h>

MTM_BEGIN

/** What a second look at one unit's light tells. A plain value. */
typedef struct mtm_judgement {
    bool has_spectrum; /**< false: an emitter is known by x, y only; nothing else holds */
    bool ideal_lines;  /**< a lit emitter's spectrum is drawn from peak and width (mtm_emitter):
                            what follows is as good as that */
    bool planckian;    /**< the unit is a lamp: the spectrum is that of a Planckian radiator, not
                        *   a measurement, and what follows rests on that */
    mtm_spectrum spectrum;           /**< the mixture, W/nm */
    mtm_xyz xyz[MTM_OBSERVER_COUNT]; /**< for both observers */
    bool has_quality;                /**< false: dark, or no white, so there is no reference */
    double ra;                       /**< general rendering index of CIE 13.3-1995; 100 at most */
    double r9;                       /**< that of its sample 9, a strong red; may be negative */
    double rf; /**< fidelity index of CIE 224:2017, ANSI/IES TM-30-20, 0..100 */
    double rg; /**< gamut index of the same; 100 as the reference */
} mtm_judgement;

/** How two lights that may look alike compare. A plain value. */
typedef struct mtm_metamerism {
    double delta_uv[MTM_OBSERVER_COUNT]; /**< distance in u', v' for each observer */
    double ssi; /**< spectral similarity (SMPTE ST 2122), the lesser of the two directions */
} mtm_metamerism;

/**
 * Looks at the light of a fixture at these levels.
 *
 * @param level linear light 0..1, one an emitter
 * @return MTM_OK, also where nothing can be told (see has_spectrum); MTM_INVALID for a level that
 * is out of its range
 */
MTM_API MTM_CHECKED mtm_result mtm_judge(const mtm_fixture *fixture, const double *level,
                                         mtm_judgement *judgement, mtm_error *error);

/** Compares two judgements that have spectra with light in them; MTM_UNSUPPORTED otherwise. */
MTM_API MTM_CHECKED mtm_result mtm_judge_pair(const mtm_judgement *a, const mtm_judgement *b,
                                              mtm_metamerism *metamerism, mtm_error *error);

MTM_END
#endif
