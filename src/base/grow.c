/* SPDX-License-Identifier: MIT */
/* Grow: room for one more at the end of a list. */
#include "base/grow.h"

#include "base/number.h"

#include <stdlib.h>

void *mtmi_grown(void *list, size_t count, size_t *room, size_t size)
{
    size_t wanted = *room > 0 ? *room : 8;
    size_t octets = 0;

    if (count < *room)
        return list;
    if (!mtmi_size_product(wanted, 2, &wanted) || !mtmi_size_product(wanted, size, &octets))
        return NULL;
    void *larger = realloc(list, octets);
    if (larger != NULL)
        *room = wanted;
    return larger;
}
