/* SPDX-License-Identifier: MIT */
/* Spectra named or written out in JSON: "file.csv" or [[nm, value], ...]. */
#ifndef METAMER_COLOUR_SPECTRUM_JSON_H
#define METAMER_COLOUR_SPECTRUM_JSON_H

#include "base/json.h"

#include <metamer/spectrum.h>

/**
 * Reads a spectrum that a JSON value names (a file, looked for in base_dir, then among the
 * profiles) or holds (a list of 2 to 100000 pairs, wavelengths rising, values 0..most). Errors name
 * the file and the path of the value.
 */
MTM_CHECKED mtm_result mtmi_json_as_spectrum(const mtmi_node *node, const char *base_dir,
                                             mtm_ends ends, double most, mtm_spectrum *spectrum,
                                             mtm_error *error);

#endif
