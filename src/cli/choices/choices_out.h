/* SPDX-License-Identifier: MIT */
/* Choices output: the ways to make one colour, as a table, JSON or CSV. */
#ifndef METAMER_CLI_CHOICES_CHOICES_OUT_H
#define METAMER_CLI_CHOICES_CHOICES_OUT_H

#include "cli/out/slot_rows.h"
#include "cli/out/writer.h"

#include "cli/args/swatch.h"
#include <metamer/judge.h>

#include <metamer/match.h>
#include <metamer/spectral.h>

/** One choice: what its codes give, and why it is listed. */
struct listed_choice {
    mtm_match match;
    double ra, rf;    /* of the codes; NaN if they give no light */
    bool ideal_lines; /* these rest on spectra drawn from peak and width */
    const char *name;
};

struct choices_report {
    const mtm_unit *unit;
    const mtm_target *target;
    struct listed_choice listed[MTM_CHOICES_MAX];
    size_t count;
    mtm_fallback fallback;           /* why rendering is not among the ways */
    const mtm_dimming_info *asked;   /* by which codes are chosen */
    const mtm_dimming_info *dimming; /* the same; NULL where the unit leaves no choice */
    const struct slot_source *slots;
    const struct slot_kinds *kinds;
    struct swatches swatches; /* before the rows of the table */
};

/** All ways to write; ends with a NULL name. */
extern const struct writer choices_writers[];

#endif
