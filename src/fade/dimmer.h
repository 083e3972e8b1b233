/* SPDX-License-Identifier: MIT */
#ifndef METAMER_FADE_DIMMER_H
#define METAMER_FADE_DIMMER_H

#include "fade/fade.h"

/** The end that has light; of two the later. */
const mtmi_end *mtmi_transition_lit_end(const mtmi_transition *transition);
/** Whether both ends have light, and so a colour. */
bool mtmi_transition_has_colours(const mtmi_transition *transition);

/** Decides what the dimmer does: sets dimmer and held_y. */
void mtmi_dimmer_begin(mtmi_transition *transition);
/** Sets point->dimmer for the point's levels at part of the time, 0..1, and its bounds' bits of the
 *  dimmer. */
void mtmi_dimmer_follow(const mtmi_transition *transition, double part,
                        mtmi_transition_point *point);

#endif
