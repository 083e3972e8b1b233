/* SPDX-License-Identifier: MIT */
/* White lines: Planckian and daylight locus in a chromaticity diagram, with their scales. */
#ifndef METAMER_PICTURE_WHITE_LINES_H
#define METAMER_PICTURE_WHITE_LINES_H

#include "picture/plane.h"

/** The loci, ticks of temperature, and lines of equal temperature and of equal Duv. */
void mtmi_white_lines_draw(mtmi_canvas *canvas, mtmi_plane *plane);
/** Kelvin, Duv and D65 in words, where there is room. */
void mtmi_white_lines_write(mtmi_canvas *canvas, mtmi_plane *plane);

/** The chromaticity beside the Planckian locus, mired 40..1000, duv in CIE 1960 u, v; for both
 *  observers. */
mtm_xy mtmi_white_beside(mtm_observer observer, double mired, double duv);

#endif
