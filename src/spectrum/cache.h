/* SPDX-License-Identifier: MIT */
/* Spectrum shelf: files that several fixtures of a rig name are read once. */
#ifndef METAMER_SPECTRUM_CACHE_H
#define METAMER_SPECTRUM_CACHE_H

#include <metamer/spectrum.h>

/** Spectra of light by path. Zeroed is empty and ready; mtmi_shelf_clear it at the end. */
typedef struct mtmi_shelf {
    struct mtmi_shelved *first;
    size_t count;
} mtmi_shelf;

/** mtm_spectrum_load of light, from the shelf where it stands there. */
MTM_CHECKED mtm_result mtmi_shelf_load(mtmi_shelf *shelf, const char *path, mtm_spectrum *spectrum,
                                       mtm_error *error);
void mtmi_shelf_clear(mtmi_shelf *shelf);

#endif
