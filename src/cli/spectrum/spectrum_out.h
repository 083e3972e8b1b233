/* SPDX-License-Identifier: MIT */
/* Spectrum output: what is known of each spectrum as a table, as JSON or as CSV. */
#ifndef METAMER_CLI_SPECTRUM_SPECTRUM_OUT_H
#define METAMER_CLI_SPECTRUM_SPECTRUM_OUT_H

#include "cli/out/writer.h"

#include <metamer/spectrum_facts.h>

/** The facts of every spectrum of every file, in order. */
struct spectrum_report {
    const mtm_spectrum_facts *facts;
    const char *const *file; /**< of each of the facts */
    size_t count;
    mtm_observer observer;
    const char *white_name; /**< beside which dominant wavelengths and purities stand */
};

extern const struct writer spectrum_writers[];

#endif
