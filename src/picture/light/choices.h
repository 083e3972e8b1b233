/* SPDX-License-Identifier: MIT */
/* Choices: parts of the picture of the ways to make a colour. */
#ifndef METAMER_PICTURE_LIGHT_CHOICES_H
#define METAMER_PICTURE_LIGHT_CHOICES_H

#include "canvas/canvas.h"

#include <metamer/choices_picture.h>

/** Lumens a watt of a way; NAN where its watts are not known. */
double mtmi_way_lm_per_w(const mtm_way_view *way);
/** True if a way gives more lumens a watt than the first. */
bool mtmi_way_is_frugal(const mtm_choices_view *view, size_t index);
/** Mark of a way: the frugal ones are square. */
void mtmi_way_mark(mtmi_canvas *canvas, const mtm_choices_view *view, size_t index, mtmi_point at);

/** Draws the list of figures from the top of a box; returns its height. */
double mtmi_ways_list(mtmi_canvas *canvas, mtmi_box box, const mtm_choices_view *view);
/** Draws a bar of lumens by emitter for each way. */
void mtmi_ways_bars(mtmi_canvas *canvas, mtmi_box box, const mtm_choices_view *view);

#endif
