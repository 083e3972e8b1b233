/* SPDX-License-Identifier: MIT */
/* Spectrum cache: files that several fixtures of a rig name are read once. */
#ifndef METAMER_SPECTRUM_CACHE_H
#define METAMER_SPECTRUM_CACHE_H

#include <metamer/spectrum.h>

/** Spectra of light by path. Zeroed is empty and ready; mtmi_spectrum_cache_clear it at the end. */
typedef struct mtmi_spectrum_cache {
    struct mtmi_cached_spectrum *first;
    size_t count;
} mtmi_spectrum_cache;

/** mtm_spectrum_load of light, from the cache where it stands there. */
MTM_CHECKED mtm_result mtmi_spectrum_cache_load(mtmi_spectrum_cache *cache, const char *path,
                                                mtm_spectrum *spectrum, mtm_error *error);
void mtmi_spectrum_cache_clear(mtmi_spectrum_cache *cache);

#endif
