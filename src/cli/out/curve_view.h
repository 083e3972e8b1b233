/* SPDX-License-Identifier: MIT */
/* Curve view: the dimming curves of a fixture, each once, with what they are of. */
#ifndef METAMER_CLI_OUT_CURVE_VIEW_H
#define METAMER_CLI_OUT_CURVE_VIEW_H

#include <metamer/fixture.h>

#include <cjson/cJSON.h>
#include <stdio.h>

/** A paragraph: which curves there are, and what each is of. */
void put_curves(const mtm_fixture *fixture, FILE *out);
/** A table of light by code, a column for each curve. */
void put_curve_table(const mtm_fixture *fixture, FILE *out);
/** Adds "curve": its name, and the "exponent" or "points" that it has. */
void json_add_curve(cJSON *object, const char *key, const mtm_curve *curve);

#endif
