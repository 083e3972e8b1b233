/* SPDX-License-Identifier: MIT */
/* Names: found in a list; and those allowed, for a sentence that helps. */
#ifndef METAMER_BASE_NAME_H
#define METAMER_BASE_NAME_H

#include <stddef.h>

/** Gives name number i of a list, or NULL past its end. */
typedef const char *(*mtmi_name_at)(const void *list, size_t index);

/** Which of a list a name is; SIZE_MAX where it is none. */
size_t mtmi_name_find(const char *name, const void *list, mtmi_name_at at);

/** "linear, square, s": all of a list, cut where text ends. Returns text. */
const char *mtmi_name_all(const void *list, mtmi_name_at at, char *text, size_t room);

/** The listed name nearest to name by edit distance, case aside; NULL for an empty list or where
 *  nothing is near (more than half of the letters differ). */
const char *mtmi_name_nearest(const char *name, const void *list, mtmi_name_at at);

/** For mtmi_name_nearest: a NULL-terminated array of strings. */
const char *mtmi_name_in_array(const void *list, size_t index);

#endif
