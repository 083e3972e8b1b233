/* SPDX-License-Identifier: MIT */
/* JSON out: as a person would lay it out, short lists and objects on one line. */
#ifndef METAMER_BASE_JSON_PRINT_H
#define METAMER_BASE_JSON_PRINT_H

#include "base/text.h"

#include <metamer/base.h>

#include <cjson/cJSON.h>

/** Adds the text of a tree and a final newline; text->failed if memory runs out. Lists and objects
 *  that fit into 100 columns stand on one line. Reading the text gives an equal tree. */
void mtmi_json_print(const cJSON *root, mtmi_text *text);
/** Writes that text to a file, whole or not at all. */
MTM_CHECKED mtm_result mtmi_json_save(const cJSON *root, const char *path, mtm_error *error);

#endif
