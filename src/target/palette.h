/* SPDX-License-Identifier: MIT */
/* Palette, as the rest of the library reads it: colours by name, in files of their own or in
 * others.
 */
#ifndef METAMER_TARGET_PALETTE_H
#define METAMER_TARGET_PALETTE_H

#include "base/json.h"
#include "target/stated.h"

#include <metamer/palette.h>

/** Takes one colour; node's key is its name. */
typedef mtm_result (*mtmi_colour_take)(void *context, const mtmi_node *node,
                                       const mtm_target *target, mtm_error *error);

/** Reads an object of colours by name, one after the other. */
MTM_CHECKED mtm_result mtmi_colours_from_json(const mtmi_node *list,
                                              struct mtmi_target_place *place,
                                              mtmi_colour_take take, void *context,
                                              mtm_error *error);

/** mtm_palette_load with filters that are already read, or read here, for others too. */
MTM_CHECKED mtm_result mtmi_palette_load(const char *path, struct mtmi_target_place *place,
                                         mtm_palette **out, mtm_error *error);

#endif
