/* SPDX-License-Identifier: MIT */
/* Grow: room for one more at the end of a list. */
#ifndef METAMER_BASE_GROW_H
#define METAMER_BASE_GROW_H

#include <stddef.h>

/**
 * The list with room for one more behind its count members of size bytes: the same, or moved to
 * twice the room. *room counts members.
 * @return NULL, list and *room as they were, if there is no memory
 */
void *mtmi_grown(void *list, size_t count, size_t *room, size_t size);

#endif
