/* SPDX-License-Identifier: MIT */
/* Slots: what a unit is sent, and by emitter what that rests on, in every way of writing. */
#ifndef METAMER_CLI_OUT_SLOTS_H
#define METAMER_CLI_OUT_SLOTS_H

#include <metamer/codes.h>
#include <metamer/rig.h>

#include <cjson/cJSON.h>
#include <stdio.h>

/** A cell of CSV: a comma, then the values with blanks between; dimmer_apart: the dimmer's are "-",
 *  for they are the console's. */
void put_csv_slots(const mtm_unit *unit, const mtm_codes *codes, bool dimmer_apart, FILE *out);
/** Adds "slots": [0, 255]. */
void json_add_slots(cJSON *object, const mtm_unit *unit, const mtm_codes *codes);

/** Adds "codes": an object of codes by emitter, the dimmer's before them; null, where it is the
 *  console's. */
void json_add_codes(cJSON *object, const mtm_unit *unit, const mtm_codes *codes, bool dimmer_apart);
/** Adds an object of values by emitter. */
void json_add_by_emitter(cJSON *object, const char *key, const mtm_fixture *fixture,
                         const double *value, int decimals);

#endif
