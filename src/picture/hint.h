/* SPDX-License-Identifier: MIT */
/* Hint: the fill of a chromaticity diagram: where colours lie, pale enough to draw on. */
#ifndef METAMER_PICTURE_HINT_H
#define METAMER_PICTURE_HINT_H

#include "picture/plane.h"

/** Fills the part of the spectrum locus that the plane shows. Drawn by LittleCMS; what sRGB cannot
 *  show is brought in towards white, at constant dominant wavelength.  */
void mtmi_hint_draw(mtmi_canvas *canvas, const mtmi_plane *plane, const mtmi_point *locus,
                    size_t count);

#endif
