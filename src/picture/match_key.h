/* SPDX-License-Identifier: MIT */
/* Key of a match: number, name, distance from the target, and why it comes no closer. */
#ifndef METAMER_PICTURE_MATCH_KEY_H
#define METAMER_PICTURE_MATCH_KEY_H

#include "picture/match_view.h"

/** Height of a key that has a line for each group. */
double mtmi_key_height(mtmi_canvas *canvas, const mtmi_view *view);
/** Draws the key: groups, or kinds where view->by_kind. */
void mtmi_key_draw(mtmi_canvas *canvas, mtmi_box box, const mtmi_view *view);

#endif
