/* SPDX-License-Identifier: MIT */
/* JSON out: as a person would lay it out, short lists and objects on one line. */
#ifndef METAMER_BASE_JSON_PRINT_H
#define METAMER_BASE_JSON_PRINT_H

#include "base/text.h"

#include <metamer/base.h>

#include <cjson/cJSON.h>

/** Puts an item at the end of a list; false, and it is deleted, if there is no memory for it or
 *  there was none to make it (NULL). */
bool mtmi_json_append(cJSON *list, cJSON *item);
/** The same under a key of an object. */
bool mtmi_json_put(cJSON *object, const char *key, cJSON *item);
/** Adds a list of pairs under a key. */
bool mtmi_json_put_pairs(cJSON *object, const char *key, const double *first, const double *second,
                         size_t count);

/** Adds the text of a tree and a final newline; text->failed if memory runs out. Lists and objects
 *  that fit into 100 columns stand on one line. Reading the text gives an equal tree. */
void mtmi_json_print(const cJSON *root, mtmi_text *text);
/** The text of a tree, which it deletes, for the caller to free(); MTM_MEMORY where made is false:
 *  the tree did not become whole. */
MTM_CHECKED mtm_result mtmi_json_text(cJSON *root, bool made, char **text, size_t *length,
                                      mtm_error *error);
/** Writes such a text to a file, whole or not at all, and frees it. */
MTM_CHECKED mtm_result mtmi_json_save(const char *path, char *text, size_t length,
                                      mtm_error *error);

#endif
