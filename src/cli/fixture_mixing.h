/* SPDX-License-Identifier: MIT */
/* Fixture mixing: what a mode makes in which the unit mixes by itself, as text and as JSON. */
#ifndef METAMER_CLI_FIXTURE_MIXING_H
#define METAMER_CLI_FIXTURE_MIXING_H

#include <metamer/fixture.h>

#include <cjson/cJSON.h>
#include <stdio.h>

/** Some lines, which go on under the mode's. */
void put_mixing(const mtm_mixing *mixing, FILE *out);
/** Adds an object: "type" (white, rgb, hsi, xy, dims), "flux_lm", "watts" (null: not known) and
 * what the type has; null for NULL, a mode whose slots carry emitters. */
void json_add_mixing(cJSON *object, const char *key, const mtm_mixing *mixing);

#endif
