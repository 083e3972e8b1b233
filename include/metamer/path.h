/* SPDX-License-Identifier: MIT */
/* Path: the way a colour takes from one to another, and the way its light rises or falls. */
#ifndef METAMER_PATH_H
#define METAMER_PATH_H

#include <metamer/appearance.h>
#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/curve.h>
#include <metamer/white.h>

MTM_BEGIN

/** The ways between two colours. */
typedef enum mtm_path_type {
    MTM_PATH_LIGHT = 0,   /**< as two lights mix: straight in u', v' */
    MTM_PATH_WHITE,       /**< along the white locus: even in mired and in Duv */
    MTM_PATH_CAM16,       /**< straight in a', b' of CAM16-UCS */
    MTM_PATH_OKLAB,       /**< straight in a, b of Oklab */
    MTM_PATH_CAM16_ROUND, /**< round the white of CAM16-UCS: hue and colourfulness change evenly */
    MTM_PATH_OKLAB_ROUND, /**< round the white of Oklab: hue and chroma change evenly */
    MTM_PATH_LAMP,        /**< as a lamp dims: the temperature goes with the light */
    MTM_PATH_SLOTS        /**< straight in slots: what a console does on its own */
} mtm_path_type;

/** A path's name and meaning, for parsers and help. */
typedef struct mtm_path_info {
    mtm_path_type type;      /**< which */
    const char *name;        /**< as the user writes it */
    const char *description; /**< one line */
} mtm_path_info;

/** Number of paths. */
MTM_API size_t mtm_path_type_count(void);
/** One of them; static storage. NULL past the last. In the order of mtm_path_type. */
MTM_API const mtm_path_info *mtm_path_type_at(size_t index);

/** A way between two chromaticities, made ready. A plain value. */
typedef struct mtm_path {
    mtm_path_type type; /**< which way */
    mtm_xy from;        /**< chromaticity at its start */
    mtm_xy to;          /**< and at its end */
    double start[2];    /**< its start in the coordinates of the path */
    double end[2];      /**< its end in them */
    mtm_viewer viewer;  /**< of the CAM16 paths */
} mtm_path;

/**
 * Makes a path ready.
 *
 * All but MTM_PATH_SLOTS, which has no colours of its own, are allowed. Colours of the same hue, or
 * of which one is the white D65, keep that hue all along MTM_PATH_CAM16 and MTM_PATH_OKLAB; the
 * ends are looked at with equal lightness (J = 50, adapting luminance 20 cd/m2, average surround,
 * full adaptation; Oklab's hue does not depend on it). The round paths take the shorter way round.
 * Part of MTM_PATH_LAMP is of the way in the logarithm of the light, and so is the temperature:
 * where the ends are one lamp (see lamp.h) at two lights, the way between is that lamp all along.
 *
 * @return MTM_OK; MTM_INVALID for a chromaticity that is none; MTM_RANGE where an end of
 *         MTM_PATH_WHITE or MTM_PATH_LAMP has no colour temperature
 * Source: CAM16-UCS: Li et al., Color Res. Appl. 42, 2017; Oklab: B. Ottosson, 2020.
 */
MTM_API MTM_CHECKED mtm_result mtm_path_create(mtm_path_type type, mtm_xy from, mtm_xy to,
                                               mtm_path *path, mtm_error *error);

/** The chromaticity at part (0..1, clamped) of the path; exactly the ends at 0 and 1. On
 *  MTM_PATH_LIGHT, part is the share of the luminance that comes from the second colour. */
MTM_API mtm_xy mtm_path_at(const mtm_path *path, double part);

/** How light goes from one output to another in time. */
typedef enum mtm_shape_type {
    MTM_SHAPE_LIGHTNESS = 0, /**< even in CIE L*: even to the eye */
    MTM_SHAPE_LINEAR,        /**< even in light */
    MTM_SHAPE_SQUARE,        /**< even in the square root of light: the square law */
    MTM_SHAPE_S,             /**< gently away and gently home, in light and colour */
    MTM_SHAPE_OWN            /**< even in the fixture's own dimming curve */
} mtm_shape_type;

/** A shape's name and meaning, for parsers and help. */
typedef struct mtm_shape_info {
    mtm_shape_type type;     /**< which */
    const char *name;        /**< as the user writes it */
    const char *description; /**< one line */
} mtm_shape_info;

/** Number of shapes. */
MTM_API size_t mtm_shape_type_count(void);
/** One of them; static storage. NULL past the last. In the order of mtm_shape_type. */
MTM_API const mtm_shape_info *mtm_shape_type_at(size_t index);

/**
 * The light at part (0..1, clamped) of the time of a fade.
 *
 * @param from, to light at the ends, as parts (0..1) of a full output
 * @param own      the curve of MTM_SHAPE_OWN; NULL there means linear; else unused
 */
MTM_API double mtm_shape_at(mtm_shape_type type, const mtm_curve *own, double from, double to,
                            double part);

MTM_END
#endif
