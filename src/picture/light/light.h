/* SPDX-License-Identifier: MIT */
/* Light: one light of a picture of rendering: its name, its spectrum and how it renders. */
#ifndef METAMER_PICTURE_LIGHT_LIGHT_H
#define METAMER_PICTURE_LIGHT_LIGHT_H

#include "canvas/canvas.h"

#include <metamer/rendering_picture.h>

/** The scales that all lights of a picture share. */
typedef struct mtmi_light_scales {
    double power;   /**< top of the axis of spectra, mW/nm at 1000 lm; 0: each has its own */
    double chroma;  /**< reach of hue circles */
    double least_r; /**< bottom of the axis of R1 to R14 */
} mtmi_light_scales;

/** One that was chosen to be drawn. */
typedef struct mtmi_light_pick {
    const mtm_light_view *light;
} mtmi_light_pick;

/** Of the lights that are drawn. */
mtmi_light_scales mtmi_light_scales_of(const mtmi_light_pick *pick, size_t count);

/** Draws one in a box: side by side, or the spectrum above the rest. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_light_draw(mtmi_canvas *canvas, mtmi_box box, bool side_by_side,
                                       const mtm_light_view *light, const mtmi_light_scales *scales,
                                       mtm_error *error);

/** Lumens of a spectrum in W/nm (mtm_emitter); above 0 for what can be drawn. */
double mtmi_light_lumens(const mtm_spectrum *spectrum);

#endif
