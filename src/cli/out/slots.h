/* SPDX-License-Identifier: MIT */
/* Slots: what a unit is sent, and by emitter what that rests on, in every way of writing. */
#ifndef METAMER_CLI_OUT_SLOTS_H
#define METAMER_CLI_OUT_SLOTS_H

#include <metamer/codes.h>
#include <metamer/rig.h>

#include <cjson/cJSON.h>
#include <stdio.h>

/** The heading over put_slots_row; width is that of the names. */
void put_slots_heading(int width, FILE *out);
/** A unit's name, universe, address and slot values; the line goes on in another behind column
 *  line_width (0: never). */
void put_slots_row(const mtm_unit *unit, const mtm_codes *codes, int width, int line_width,
                   FILE *out);
/** The slot values alone, each behind a blank. */
void put_slot_values(const mtm_unit *unit, const mtm_codes *codes, FILE *out);
/** A cell of CSV: a comma, then the values with blanks between. */
void put_csv_slots(const mtm_unit *unit, const mtm_codes *codes, FILE *out);
/** Adds "slots": [0, 255]. */
void json_add_slots(cJSON *object, const mtm_unit *unit, const mtm_codes *codes);

/** Adds "codes": an object of codes by emitter, the dimmer's before them. */
void json_add_codes(cJSON *object, const mtm_unit *unit, const mtm_codes *codes);
/** Adds an object of values by emitter. */
void json_add_by_emitter(cJSON *object, const char *key, const mtm_fixture *fixture,
                         const double *value, int decimals);

#endif
