/* SPDX-License-Identifier: MIT */
/* Rendering picture: spectra over their references, and how they render. */
#ifndef METAMER_RENDERING_PICTURE_H
#define METAMER_RENDERING_PICTURE_H

#include <metamer/fixture.h>
#include <metamer/judge.h>
#include <metamer/match.h>
#include <metamer/picture.h>
#include <metamer/quality.h>
#include <metamer/rig.h>
#include <metamer/target.h>

MTM_BEGIN

/** One light of a picture. Borrowed throughout; NULL for what is not known. */
typedef struct mtm_light_view {
    const char *name;             /**< never NULL */
    const char *note;             /**< said quietly behind the name */
    const mtm_spectrum *spectrum; /**< relative or not: lights are drawn at equal lumens; NULL: the
                                       light is only named */
    const mtm_fixture *fixture;   /**< whose emitters make it, to be drawn one upon the other */
    const double *level;          /**< of them, 0..1; NULL without a fixture */
    const mtm_quality *quality;   /**< its indices, of mtm_quality_from_spectrum */
    const char *missing;          /**< why there are none */
    bool ideal_lines; /**< its spectrum is drawn from peak and width, and the indices with it */
} mtm_light_view;

/**
 * Draws how lights render: of each its spectrum by emitter over the reference illuminant of Rf at
 * equal lumens, local chroma and hue shift in the 16 hue bins of CIE 224 and TM-30, Rf by bin, and
 * R1 to R14. All on one scale, but for spectra whose peaks differ more than fivefold, which the
 * picture says. Where there is no room for all lights, those of the lowest Rf are drawn, and the
 * others counted.
 *
 * @param light   count lights, 1 or more
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range and for spectra, levels or white that
 *         are no finite numbers; MTM_UNSUPPORTED where cairo or Pango is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_rendering(const mtm_light_view *light, size_t count,
                                                        const mtm_picture_options *options,
                                                        mtm_picture **out, mtm_error *error);

/** What a picture of how a match renders shows. Borrowed throughout. */
typedef struct mtm_match_light_view {
    const mtm_rig *rig;             /**< of which the matches are */
    const mtm_target *target;       /**< what was asked */
    const mtm_match *match;         /**< count answers */
    const mtm_judgement *judgement; /**< of each: mtm_judge */
    size_t count;                   /**< 1 or more */
} mtm_match_light_view;

/** Draws the same of a match: of each kind of unit the one that renders least truly, with the range
 *  of Rf of its kind. Results as of mtm_picture_of_rendering; MTM_INVALID also for a match of a
 *  unit that the rig has not. */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_match_rendering(const mtm_match_light_view *view,
                                                              const mtm_picture_options *options,
                                                              mtm_picture **out, mtm_error *error);

MTM_END
#endif
