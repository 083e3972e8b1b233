/* SPDX-License-Identifier: MIT */
/* Names: the nearest of those allowed, for a sentence that helps. */
#ifndef METAMER_BASE_NAME_H
#define METAMER_BASE_NAME_H

#include <stddef.h>

/** Gives name number i of a list, or NULL past its end. */
typedef const char *(*mtmi_name_at)(const void *list, size_t index);

/** The listed name nearest to name by edit distance, case aside; NULL for an empty list or where
 *  nothing is near (more than half of the letters differ). */
const char *mtmi_name_nearest(const char *name, const void *list, mtmi_name_at at);

/** For mtmi_name_nearest: a NULL-terminated array of strings. */
const char *mtmi_name_in_array(const void *list, size_t index);

#endif
