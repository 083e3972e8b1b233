/* SPDX-License-Identifier: MIT */
/* Pool: memory that is taken piece by piece and given back at once. */
#include "base/pool.h"

#include <stdint.h>
#include <stdlib.h>

struct mtmi_pool_block {
    struct mtmi_pool_block *before;
    max_align_t room[];
};

void *mtmi_pool_take(mtmi_pool *pool, size_t count, size_t size)
{
    size_t most = (SIZE_MAX - sizeof(struct mtmi_pool_block)) / size;
    struct mtmi_pool_block *block =
        count < most ? calloc(1, sizeof *block + (count + 1) * size) : NULL;

    if (block == NULL) {
        pool->failed = true;
        return NULL;
    }
    block->before = pool->last;
    pool->last = block;
    return block->room;
}

void mtmi_pool_free(mtmi_pool *pool)
{
    while (pool->last != NULL) {
        struct mtmi_pool_block *before = pool->last->before;
        free(pool->last);
        pool->last = before;
    }
    pool->failed = false;
}
