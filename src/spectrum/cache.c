/* SPDX-License-Identifier: MIT */
/* Spectrum cache: files that several fixtures of a rig name are read once. */
#include "spectrum/cache.h"

#include <stdlib.h>
#include <string.h>

#define CACHED_MAX 64 /* a list is walked; beyond this, reading again is as good */

struct mtmi_cached_spectrum {
    struct mtmi_cached_spectrum *next;
    mtm_spectrum spectrum;
    char path[];
};

/* A cache that cannot be filled costs time, not the answer. */
static void put(mtmi_spectrum_cache *cache, const char *path, const mtm_spectrum *spectrum)
{
    size_t length = strlen(path) + 1;
    struct mtmi_cached_spectrum *cached =
        cache->count < CACHED_MAX ? malloc(sizeof *cached + length) : NULL;

    if (cached == NULL)
        return;
    cached->next = cache->first;
    cached->spectrum = *spectrum;
    memcpy(cached->path, path, length);
    cache->first = cached;
    cache->count++;
}

mtm_result mtmi_spectrum_cache_load(mtmi_spectrum_cache *cache, const char *path,
                                    mtm_spectrum *spectrum, mtm_error *error)
{
    for (const struct mtmi_cached_spectrum *at = cache->first; at != NULL; at = at->next) {
        if (strcmp(at->path, path) == 0) {
            *spectrum = at->spectrum;
            return MTM_OK;
        }
    }
    mtm_result result = mtm_spectrum_load(path, MTM_ENDS_ZERO, spectrum, error);
    if (result == MTM_OK)
        put(cache, path, spectrum);
    return result;
}

void mtmi_spectrum_cache_clear(mtmi_spectrum_cache *cache)
{
    while (cache->first != NULL) {
        struct mtmi_cached_spectrum *next = cache->first->next;
        free(cache->first);
        cache->first = next;
    }
    cache->count = 0;
}
