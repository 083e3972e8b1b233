/* SPDX-License-Identifier: MIT */
/* Target: a wanted colour, however it was stated. */
#ifndef METAMER_TARGET_H
#define METAMER_TARGET_H

#include <metamer/base.h>
#include <metamer/codes.h>
#include <metamer/colour.h>
#include <metamer/filter.h>
#include <metamer/lamp.h>
#include <metamer/rgb.h>
#include <metamer/rig.h>
#include <metamer/spectrum.h>
#include <metamer/white.h>

MTM_BEGIN

/** A wanted colour. A plain value; the description tells a person what was asked. */
typedef struct mtm_target {
    mtm_observer observer; /**< for which xy was computed */
    mtm_xy xy;             /**< what the solver aims at */
    double cct_k;          /**< the temperature asked for by name; 0 where none was */
    bool has_spectrum;     /**< true if the target is a spectrum */
    mtm_spectrum spectrum; /**< relative; valid if has_spectrum */
    char description[96];  /**< "3200 K, Duv +0.0010", "x 0.3127, y 0.3290", ... */
} mtm_target;

/** A chromaticity of the given observer. MTM_INVALID if it is none. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_xy(mtm_xy xy, mtm_observer observer,
                                                  mtm_target *target, mtm_error *error);

/** A chromaticity in CIE 1976 u', v'. MTM_INVALID if it is none. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_uv(mtm_uv uv, mtm_observer observer,
                                                  mtm_target *target, mtm_error *error);

/** The chromaticity of tristimulus values; MTM_RANGE for black, which has none. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_xyz(mtm_xyz xyz, mtm_observer observer,
                                                   mtm_target *target, mtm_error *error);

/** A white beside the Planckian locus: temperature 1000..25000 K, |duv| <= 0.05, else MTM_INVALID.
 *  With the 10 degree observer, duv is laid off from that observer's locus. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_white(mtm_white white, mtm_observer observer,
                                                     mtm_target *target, mtm_error *error);

/** CIE daylight, 4000..25000 K, else MTM_INVALID; carries its spectrum. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_daylight(double cct_k, mtm_observer observer,
                                                        mtm_target *target, mtm_error *error);

/** A tungsten lamp that gives a share of its light (see lamp.h), and cct_k at all of it: the white
 *  of the dimmed lamp. Carries the spectrum of a black body of that temperature, which a real lamp
 *  comes near but has not. MTM_INVALID for a temperature outside 1000..25000 K or a share outside
 *  0..1; MTM_RANGE where the dimmed lamp falls below 1000 K. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_lamp(mtm_lamp lamp, mtm_observer observer,
                                                    mtm_target *target, mtm_error *error);

/** The colour of a spectrum of light, which is copied; MTM_RANGE for darkness. name goes into the
 *  description. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_spectrum(const mtm_spectrum *spectrum,
                                                        const char *name, mtm_observer observer,
                                                        mtm_target *target, mtm_error *error);

/** The chromaticity of an encoded RGB value in a named space (see mtm_rgb_space_at). MTM_NOT_FOUND
 *  names the nearest space; MTM_RANGE for black; MTM_UNSUPPORTED for the 10 degree observer, for
 *  which no RGB space is defined. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_rgb(mtm_rgb rgb, const char *space,
                                                   mtm_observer observer, mtm_target *target,
                                                   mtm_error *error);

/** The colour behind a filter as a target, with its spectrum: "half CTO over 3200 K". MTM_RANGE for
 *  darkness. */
MTM_API MTM_CHECKED mtm_result mtm_target_from_filter(const mtm_filter *filter,
                                                      const mtm_light *light, mtm_observer observer,
                                                      mtm_target *target, mtm_error *error);

/**
 * The colour that a unit shows at its codes ("like that unit"), with its spectrum where that of
 * every emitter is known. A goal that looks for the nearest spectrum then goes by it.
 *
 * @return MTM_OK; MTM_INVALID; MTM_RANGE where the unit is dark at these codes; MTM_UNSUPPORTED for
 *         the 10 degree observer and an emitter that is known by x, y only; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_target_from_unit(const mtm_unit *unit, const mtm_codes *codes,
                                                    mtm_observer observer, mtm_target *target,
                                                    mtm_error *error);

MTM_END
#endif
