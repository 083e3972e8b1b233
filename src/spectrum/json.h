/* SPDX-License-Identifier: MIT */
/* Spectra named or written out in JSON: "file.csv" or [[nm, value], ...]. */
#ifndef METAMER_SPECTRUM_JSON_H
#define METAMER_SPECTRUM_JSON_H

#include "base/json.h"
#include "spectrum/cache.h"

/** Where the spectra that a JSON text names are looked for. */
typedef struct mtmi_spectra {
    const char *base_dir;       /**< before the profiles; may be NULL */
    mtmi_spectrum_cache *cache; /**< those read before; may be NULL */
} mtmi_spectra;

/**
 * Reads a spectrum that a JSON value names (a file, looked for in base_dir, then among the
 * profiles) or holds (pairs, see below). Errors name the file and the path of the value.
 */
MTM_CHECKED mtm_result mtmi_json_as_spectrum(const mtmi_node *node, const char *base_dir,
                                             mtm_ends ends, double most, mtm_spectrum *spectrum,
                                             mtm_error *error);

/** The same for light, from a cache where the file was read before. */
MTM_CHECKED mtm_result mtmi_json_as_light(const mtmi_node *node, const mtmi_spectra *from,
                                          double most, mtm_spectrum *spectrum, mtm_error *error);

/** Reads a list of 2 to 100000 pairs [wavelength_nm, value], wavelengths rising, values 0..most. */
MTM_CHECKED mtm_result mtmi_json_as_pairs(const mtmi_node *list, mtm_ends ends, double most,
                                          mtm_spectrum *spectrum, mtm_error *error);

/** Writes such a list, under the key "spectrum"; false if there is no memory. */
bool mtmi_json_put_spectrum(cJSON *object, const mtm_spectrum *spectrum);

#endif
