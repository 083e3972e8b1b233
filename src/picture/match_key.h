/* SPDX-License-Identifier: MIT */
/* Key of a match: number, name, distance from the target, and why it comes no closer. */
#ifndef METAMER_PICTURE_MATCH_KEY_H
#define METAMER_PICTURE_MATCH_KEY_H

#include "picture/match_view.h"

/** True if a line for each group fits in a box. */
bool mtmi_key_fits(mtmi_canvas *canvas, mtmi_box box, const mtmi_view *view);
/** Draws the key: groups, or kinds where view->by_kind. */
void mtmi_key_draw(mtmi_canvas *canvas, mtmi_box box, const mtmi_view *view);

#endif
