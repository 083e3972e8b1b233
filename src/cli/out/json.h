/* SPDX-License-Identifier: MIT */
/* JSON output: numbers with stated decimals on a cJSON tree, and the printing of it. */
#ifndef METAMER_CLI_OUT_JSON_H
#define METAMER_CLI_OUT_JSON_H

#include <metamer/base.h>
#include <metamer/colour.h>
#include <metamer/target.h>

#include <cjson/cJSON.h>
#include <stdio.h>

/* What cannot be added for want of memory is remembered by the tree, and json_print fails: a
 * caller need not look at each. NULL for a container is allowed, and adds nothing. */

/** Adds an empty array or object; borrowed from object, NULL without memory. */
cJSON *json_add_array(cJSON *object, const char *key);
cJSON *json_add_object(cJSON *object, const char *key);
/** Appends an item, which is the array's then. NULL stands for one that could not be made. */
void json_append(cJSON *array, cJSON *item);
/** Appends an empty object; borrowed from array, NULL without memory. */
cJSON *json_append_object(cJSON *array);
void json_append_text(cJSON *array, const char *text);
void json_add_bool(cJSON *object, const char *key, bool value);
/** Adds value with this many decimals; null where it is not finite. */
void json_add_number(cJSON *object, const char *key, double value, int decimals);
/** Adds "x" and "y", or nulls. */
void json_add_xy(cJSON *object, mtm_xy xy, int decimals);
/** Adds "u_prime" and "v_prime" of CIE 1976, or nulls. */
void json_add_uv(cJSON *object, mtm_uv uv, int decimals);
/** Adds what was wanted: an object "target" of its description, "x", "y", "u_prime" and "v_prime";
 *  borrowed from object. */
cJSON *json_add_target(cJSON *object, const mtm_target *target);
/** Adds [a, b]. */
void json_add_pair(cJSON *object, const char *key, double a, double b, int decimals);
/** Adds text, or null for NULL. */
void json_add_text(cJSON *object, const char *key, const char *text);
/** Appends a number to an array. */
void json_append_number(cJSON *array, double value, int decimals);

/** Prints a tree and deletes it; MTM_MEMORY if it could not be made whole. */
MTM_CHECKED mtm_result json_print(cJSON *root, FILE *out, mtm_error *error);
/** The same on one line. */
MTM_CHECKED mtm_result json_print_line(cJSON *root, FILE *out, mtm_error *error);

#endif
