/* SPDX-License-Identifier: MIT */
/* Rig arguments: the rig that the first word names, what was measured of it, and the units that are
 * meant. */
#ifndef METAMER_CLI_ARGS_RIG_H
#define METAMER_CLI_ARGS_RIG_H

#include "cli/args/args.h"

#include <metamer/rig.h>

/** A rig as a command takes it. Zeroed holds nothing. */
struct opened {
    mtm_rig *rig;
    size_t *unit; /**< of the rig, those that are meant, in the order wanted */
    size_t unit_count;
    mtm_observer observer; /**< --observer; that of 2 degrees without */
};

/** Opens the rig of the first word: --calibration is applied, and --units chooses; all its units
 *  are meant where that is not given. Closed by opened_close, also after a failure. */
MTM_CHECKED mtm_result opened_from_args(const struct args *args, struct opened *opened,
                                        mtm_error *error);
void opened_close(struct opened *opened);

/** --calibration, and what else is to be said of it (""). */
#define OPTION_CALIBRATION(more)                                                                   \
    OPTION_TEXT("calibration", "FILE",                                                             \
                "what \"metamer trim\" found out about the single units" more)
#define OPTION_UNITS OPTION_TEXT("units", "A,B,...", "only these units, in this order")

#endif
