/* SPDX-License-Identifier: MIT */
/* RGB: the named spaces in which screens, cameras and lighting people give a colour. */
#ifndef METAMER_RGB_H
#define METAMER_RGB_H

#include <metamer/base.h>
#include <metamer/colour.h>

MTM_BEGIN

/** Red, green, blue; 0..1 inside the space, and beyond it outside. */
typedef struct mtm_rgb {
    double r; /**< red */
    double g; /**< green */
    double b; /**< blue */
} mtm_rgb;

/** A space. */
typedef struct mtm_rgb_space {
    const char *name;                   /**< as the user writes it */
    const char *description;            /**< one line with the standard */
    mtm_xy red;                         /**< chromaticity of the red primary */
    mtm_xy green;                       /**< of the green one */
    mtm_xy blue;                        /**< of the blue one */
    mtm_xy white;                       /**< of the white, 1, 1, 1 */
    double (*to_light)(double value);   /**< encoded value to linear light; odd, 0 -> 0, 1 -> 1 */
    double (*from_light)(double light); /**< the inverse */
} mtm_rgb_space;

/** Number of spaces: srgb, rec2020, p3-d65, e1.54. */
MTM_API size_t mtm_rgb_space_count(void);
/** One of them; static storage. NULL past the last. sRGB is the first. */
MTM_API const mtm_rgb_space *mtm_rgb_space_at(size_t index);

/** A space by name, case aside; MTM_NOT_FOUND names the nearest. Static storage. */
MTM_API MTM_CHECKED mtm_result mtm_rgb_space_find(const char *name, const mtm_rgb_space **space,
                                                  mtm_error *error);

/** The matrix that takes linear RGB to XYZ with Y = 1 for the white. */
MTM_API mtm_matrix mtm_rgb_matrix(const mtm_rgb_space *space);

/** XYZ of an encoded value; Y of the white = 1. */
MTM_API mtm_xyz mtm_rgb_to_xyz(const mtm_rgb_space *space, mtm_rgb rgb);
/** The encoded value of XYZ; outside 0..1 where the space cannot show it. */
MTM_API mtm_rgb mtm_rgb_from_xyz(const mtm_rgb_space *space, mtm_xyz xyz);

/** The encoded value of a chromaticity whose largest part is 1: the brightest that the space shows;
 *  parts below 0 where it is outside the space. 0, 0, 0 for what has no light (y = 0). */
MTM_API mtm_rgb mtm_rgb_brightest(const mtm_rgb_space *space, mtm_xy xy);
/** True if the space shows the value: all parts lie in 0..1, but for rounding (1e-6). */
MTM_API bool mtm_rgb_inside(mtm_rgb rgb);

MTM_END
#endif
