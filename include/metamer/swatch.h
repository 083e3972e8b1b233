/* SPDX-License-Identifier: MIT */
/* Swatch: a light as a screen shows it beside a white. */
#ifndef METAMER_SWATCH_H
#define METAMER_SWATCH_H

#include <metamer/base.h>
#include <metamer/colour.h>

#include <stdint.h>

MTM_BEGIN

/** A colour of an sRGB screen, and whether it is the one that was meant. A plain value. */
typedef struct mtm_swatch {
    uint8_t r;  /**< red, encoded, 0..255 */
    uint8_t g;  /**< green */
    uint8_t b;  /**< blue */
    bool shown; /**< false: sRGB cannot show the colour, and this one has its hue, less saturated */
} mtm_swatch;

/**
 * How chromaticities look on an sRGB screen beside a reference white, which the screen shows as its
 * own white: adapted (linear Bradford), as bright as sRGB shows them, by LittleCMS. What sRGB
 * cannot show is brought in at constant hue of Oklab until it can.
 *
 * @param xy     count chromaticities
 * @param white  the reference white; 0, 0: D65, the white of sRGB (IEC 61966-2-1)
 * @param swatch room for count; set on MTM_OK
 * @return MTM_OK; MTM_INVALID, also for what is no chromaticity, and for a white that is none;
 *         MTM_MEMORY
 * Error: at most one of 255 in each part for what sRGB shows.
 */
MTM_API MTM_CHECKED mtm_result mtm_swatches_from_xy(const mtm_xy *xy, size_t count, mtm_xy white,
                                                    mtm_swatch *swatch, mtm_error *error);

MTM_END
#endif
