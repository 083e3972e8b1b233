/* SPDX-License-Identifier: MIT */
/* Spectrum output: what is known of each spectrum as a table, as JSON or as CSV. */
#ifndef METAMER_CLI_SPECTRUM_SPECTRUM_OUT_H
#define METAMER_CLI_SPECTRUM_SPECTRUM_OUT_H

#include "cli/out/writer.h"

#include <metamer/colour.h>
#include <metamer/dominant.h>
#include <metamer/quality.h>
#include <metamer/spectrum_file.h>
#include <metamer/tolerance.h>

/** All that is known of one spectrum. Borrows its names. What has no value is NAN. */
struct spectrum_facts {
    const char *file, *name;
    mtm_quantity quantity;
    double first_nm, last_nm; /**< measured */
    double spacing_nm;        /**< widest interval between samples of 400..700 nm */
    mtm_xy xy;                /**< by the observer asked for */
    mtm_uv uv;
    mtm_white white; /**< 2 degrees, as the standards have it */
    mtm_tolerance tolerance;
    bool has_tolerance;
    mtm_quality quality;
    bool has_quality;
    char missing[512]; /**< why there are no indices; "" if there are */
    double ssi;
    char ssi_reference[64]; /**< what stands in the brackets of SSI[...] */
    mtm_peak peak;
    double fwhm_nm;
    mtm_dominant dominant;
    double ler_lm_per_w;
};

/** The facts of every spectrum of every file, in order. */
struct spectrum_report {
    const struct spectrum_facts *facts;
    size_t count;
    mtm_observer observer;
    const char *white_name; /**< beside which dominant wavelengths and purities stand */
};

extern const struct writer spectrum_writers[];

#endif
