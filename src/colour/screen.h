/* SPDX-License-Identifier: MIT */
/* Screen: XYZ to the bytes of an sRGB screen, by LittleCMS. */
#ifndef METAMER_COLOUR_SCREEN_H
#define METAMER_COLOUR_SCREEN_H

#include <metamer/colour.h>

#include <stdint.h>

/** Bytes of colours seen beside the white of sRGB, whose Y is 1. xyz is used up. False without
 *  memory. */
bool mtmi_screen_from_xyz(mtm_xyz *xyz, size_t count, uint8_t (*rgb)[3]);

#endif
