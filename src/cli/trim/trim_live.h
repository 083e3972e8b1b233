/* SPDX-License-Identifier: MIT */
/* Live readings: one unit at a time at the terminal, every reading saved as it is typed. */
#ifndef METAMER_CLI_TRIM_TRIM_LIVE_H
#define METAMER_CLI_TRIM_TRIM_LIVE_H

#include "cli/command.h"
#include "cli/trim/trim_run.h"

#include <metamer/calibration.h>
#include <metamer/trim.h>

/** What is read in which order, and where it goes. Borrows everything. */
struct live {
    const mtm_rig *rig;
    mtm_readings *readings;       /* grows */
    const char *path;             /* the readings file, written after each reading */
    const mtm_calibration *prior; /* what is known beforehand, or NULL */
    struct trim_sets sets;        /* codes to be read; none: each emitter alone, then all */
};

/** Asks until all is read or the user leaves; *all tells which. */
MTM_CHECKED mtm_result trim_live(const struct live *live, FILE *in, FILE *out, bool *all,
                                 mtm_error *error);

#endif
