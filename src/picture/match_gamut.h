/* SPDX-License-Identifier: MIT */
/* Gamuts of a match's kinds in the chromaticity diagram, and what they have in common. */
#ifndef METAMER_PICTURE_MATCH_GAMUT_H
#define METAMER_PICTURE_MATCH_GAMUT_H

#include "picture/match_view.h"
#include "picture/plane.h"

/** Hatches what all units reach, and outlines the gamut of each kind. */
void mtmi_gamuts_draw(mtmi_canvas *canvas, mtmi_plane *plane, const mtmi_view *view);
/** Names of kinds along their sides, and of emitters at their corners, where there is room. */
void mtmi_gamuts_write(mtmi_canvas *canvas, mtmi_plane *plane, const mtmi_view *view);

#endif
