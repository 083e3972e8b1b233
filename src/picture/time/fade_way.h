/* SPDX-License-Identifier: MIT */
/* Fade way: ways of units through a chromaticity diagram. */
#ifndef METAMER_PICTURE_TIME_FADE_WAY_H
#define METAMER_PICTURE_TIME_FADE_WAY_H

#include "picture/plane.h"

/** Colours along a way; NaN where none is seen. */
typedef struct mtmi_way {
    const char *name;   /**< at its end; NULL: none */
    unsigned index;     /**< of ink, dash and mark */
    const mtm_xy *sent; /**< count of them */
    const mtm_xy *wanted;
    size_t count;
} mtmi_way;

/** Draws ways from hollow to filled over what was wanted, in the part of the diagram that holds
 *  them; and, where there is room and that part is small, where it lies in the whole. MTM_OK,
 *  MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_ways_draw(mtmi_canvas *canvas, mtmi_box box, mtm_diagram diagram,
                                      mtm_observer observer, const mtmi_way *way, size_t ways,
                                      mtm_error *error);

#endif
