/* SPDX-License-Identifier: MIT */
/* Spectral goals: the mixture that renders best, or is nearest to a spectrum, at an exact colour.
 */
#ifndef METAMER_SPECTRAL_H
#define METAMER_SPECTRAL_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/fixture.h>
#include <metamer/solve.h>
#include <metamer/spectrum.h>

MTM_BEGIN

/** What rendering is measured by. */
typedef enum mtm_index {
    MTM_INDEX_RF = 0, /**< fidelity Rf of CIE 224 and TM-30 */
    MTM_INDEX_RA,     /**< general rendering index Ra of CIE 13.3 */
    MTM_INDEX_SSI     /**< similarity to a reference spectrum, SMPTE ST 2122 */
} mtm_index;

/** A measure's name and meaning. */
typedef struct mtm_index_info {
    mtm_index index;         /**< which */
    const char *name;        /**< as the user writes it */
    const char *description; /**< one line */
} mtm_index_info;

/** Number of measures. */
MTM_API size_t mtm_index_count(void);
/** One of them; static storage. NULL past the last. In the order of mtm_index. */
MTM_API const mtm_index_info *mtm_index_at(size_t index);

/** A mixture and how good it is. A plain value. */
typedef struct mtm_best {
    mtm_answer answer; /**< its levels, and what they give */
    double value;      /**< the index reached (most is best), or the distance (least is best) */
    double bound;      /**< no mixture is better than this: see the functions */
    size_t tried;      /**< mixtures looked at */
} mtm_best;

/** A fixture whose emitters all have spectra, made ready. Immutable: may be shared by threads. */
typedef struct mtm_spectral mtm_spectral;

/** Prepares; keeps no pointer to the fixture. MTM_UNSUPPORTED where an emitter has no spectrum. */
MTM_API MTM_CHECKED mtm_result mtm_spectral_create(const mtm_fixture *fixture, mtm_spectral **out,
                                                   mtm_error *error);
/** Frees; NULL is allowed. */
MTM_API void mtm_spectral_free(mtm_spectral *spectral);

/**
 * The mixture of the highest index of all at the request's chromaticity (2 degree observer), as
 * bright as it goes, or scaled to the stated output. request->goal is ignored.
 *
 * The index is the mean of 99 (Rf) or 8 (Ra) distances of samples, or one (SSI): from several
 * starts a sequence of convex quadratic problems leads down to a place that none of them can
 * improve; then mixtures spread over the whole feasible set are tried, and any better one is
 * followed. bound: what the best mixture could reach if the distances were as convex as they are
 * near it (their linearised sum, bounded by duality). Not a proof, for they are not linear; tried
 * says how many mixtures bear it out.
 *
 * @param reference for MTM_INDEX_SSI: relative; NULL: the default of the target's temperature
 * @return MTM_OK, MTM_INVALID, or MTM_RANGE where the chromaticity has no colour temperature, so
 *         no reference
 */
MTM_API MTM_CHECKED mtm_result mtm_spectral_rendering(const mtm_spectral *spectral,
                                                      const mtm_request *request, mtm_index index,
                                                      const mtm_spectrum *reference, mtm_best *best,
                                                      mtm_error *error);

/**
 * The mixture nearest to a spectrum of all at the request's chromaticity, as bright as it goes, or
 * scaled to the stated output: least sum of squared differences over 360..830 nm, the reference
 * scaled to the same Y. value is the root of that sum
 * relative to the root of the reference's own squares (0: equal). A convex quadratic problem:
 * bound is what duality proves no mixture to better, within 1e-6 of value.
 *
 * @param reference relative; NULL: as for the SSI
 * @return as mtm_spectral_rendering: MTM_OK, MTM_INVALID, MTM_RANGE
 */
MTM_API MTM_CHECKED mtm_result mtm_spectral_nearest(const mtm_spectral *spectral,
                                                    const mtm_request *request,
                                                    const mtm_spectrum *reference, mtm_best *best,
                                                    mtm_error *error);

/** One way to spend a fixture's freedom. A plain value. */
typedef struct mtm_choice {
    mtm_answer answer; /**< its levels, and what they give */
    double rf;         /**< fidelity index of CIE 224:2017, 0..100; NaN where it cannot be judged */
} mtm_choice;

#define MTM_CHOICES_MAX 9 /**< most choices that are listed */

/**
 * The trade-off at the request's chromaticity between output, watts and Rf: mixtures of which none
 * has at once at least as much light, as few watts and as good an Rf as another. From the most
 * light, through the best Rf of outputs between, to the best of all; at its output, the best Rf of
 * fewer watts, down to the fewest; and the most lumens a watt. request's goal and output are
 * ignored.
 *
 * @param choice places for MTM_CHOICES_MAX, most light first; set on MTM_OK
 * @return MTM_OK; MTM_INVALID; MTM_RANGE where all emitters are dark, or the chromaticity has
 *         no colour temperature, so no reference
 */
MTM_API MTM_CHECKED mtm_result mtm_spectral_choices(const mtm_spectral *spectral,
                                                    const mtm_request *request,
                                                    mtm_choice choice[MTM_CHOICES_MAX],
                                                    size_t *count, mtm_error *error);

/** Which choices are the extremes: indices, SIZE_MAX where there is none. A plain value. */
typedef struct mtm_choice_extremes {
    size_t light;     /**< the most light: the first */
    size_t efficacy;  /**< the most lumens a watt; of equals the last, of fewest watts; none without
                         watts */
    size_t rendering; /**< the highest rf, the first of equals; none where rf is NaN */
} mtm_choice_extremes;

/** The extremes of count choices, most light first. */
MTM_API mtm_choice_extremes mtm_choices_extremes(const mtm_choice *choice, size_t count);

MTM_END
#endif
