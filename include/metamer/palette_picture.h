/* SPDX-License-Identifier: MIT */
/* Palette picture: a sheet of swatches: what units give for the colours of a palette. */
#ifndef METAMER_PALETTE_PICTURE_H
#define METAMER_PALETTE_PICTURE_H

#include <metamer/match.h>
#include <metamer/palette.h>
#include <metamer/picture.h>
#include <metamer/rig.h>

MTM_BEGIN

/** What a sheet of swatches shows. Borrowed throughout. */
typedef struct mtm_palette_view {
    const mtm_rig *rig;         /**< of which the matches are */
    const mtm_palette *palette; /**< whose colours were asked for */
    const mtm_match *match;     /**< of colour k and unit i: number k * count + i */
    size_t count;               /**< units, 1 or more, the same in every colour */
    bool by_kind;               /**< a row for all units of a fixture and mode, in each colour the
                                     farthest of them */
    mtm_xy white;               /**< beside which swatches stand; 0, 0: D65 */
} mtm_palette_view;

/**
 * Draws what units give for each colour of a palette: rows of units by columns of colours, each a
 * swatch of the light over a strip of the colour that was wanted, with its distance, Δu'v'. Units
 * of one kind that give the same in every colour share a row; where there is no room for all rows,
 * kinds stand in place of units, and then the farthest rows and colours in place of all. The worst
 * miss has a frame and a triangle.
 *
 * @param options NULL for the usual
 * @param out     set on MTM_OK; the caller frees it
 * @return MTM_OK; MTM_INVALID, also for a size out of range and a match that the rig has not;
 *         MTM_UNSUPPORTED where cairo or Pango is not there; MTM_MEMORY
 */
MTM_API MTM_CHECKED mtm_result mtm_picture_of_palette(const mtm_palette_view *view,
                                                      const mtm_picture_options *options,
                                                      mtm_picture **out, mtm_error *error);

MTM_END
#endif
