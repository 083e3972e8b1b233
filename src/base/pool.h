/* SPDX-License-Identifier: MIT */
/* Pool: memory that is taken piece by piece and given back at once. */
#ifndef METAMER_BASE_POOL_H
#define METAMER_BASE_POOL_H

#include <stdbool.h>
#include <stddef.h>

/** Zeroed is empty and ready. A failed allocation is remembered, so that one look behind the last
 *  is enough. */
typedef struct mtmi_pool {
    struct mtmi_pool_block *last;
    bool failed;
} mtmi_pool;

/** Zeroed room for count members of size bytes (at least for one); NULL, and failed is set, if
 *  there is no memory. */
void *mtmi_pool_take(mtmi_pool *pool, size_t count, size_t size);

/** Gives all of it back; the pool is empty again. */
void mtmi_pool_free(mtmi_pool *pool);

#endif
