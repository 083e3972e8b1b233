/* SPDX-License-Identifier: MIT */
/* JSON output: numbers with stated decimals on a cJSON tree, and the printing of it. */
#ifndef METAMER_CLI_JSON_OUT_H
#define METAMER_CLI_JSON_OUT_H

#include <metamer/base.h>

#include <cjson/cJSON.h>
#include <stdio.h>

/** Adds value with this many decimals; null where it is not finite. */
void json_add_number(cJSON *object, const char *key, double value, int decimals);
/** Adds [a, b]. */
void json_add_pair(cJSON *object, const char *key, double a, double b, int decimals);
/** Adds text, or null for NULL. */
void json_add_text(cJSON *object, const char *key, const char *text);
/** Appends a number to an array. */
void json_append_number(cJSON *array, double value, int decimals);

/** Prints a tree and deletes it; MTM_MEMORY if it could not be made whole. */
MTM_CHECKED mtm_result json_print(cJSON *root, FILE *out, mtm_error *error);

#endif
