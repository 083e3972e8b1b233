/* SPDX-License-Identifier: MIT */
/* Rig arguments: the rig that the first word names, what was measured of it, and the units that are
 * meant. */
#ifndef METAMER_CLI_ARGS_RIG_H
#define METAMER_CLI_ARGS_RIG_H

#include "cli/args/args.h"

#include <metamer/rig.h>
#include <metamer/show.h>

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

/** The units of a rig that --units chooses, by the groups of a show too (NULL: none); all without
 *  it. free(*unit), also after a failure. */
MTM_CHECKED mtm_result units_from_args(const struct args *args, const mtm_rig *rig,
                                       const mtm_show *show, size_t **unit, size_t *count,
                                       mtm_error *error);
/** The same as a mark for each unit of the rig. free(*meant), also after a failure. */
MTM_CHECKED mtm_result marks_from_args(const struct args *args, const mtm_rig *rig,
                                       const mtm_show *show, bool **meant, mtm_error *error);

/** Leaves only the units that --units chooses in a rig, where it is given. */
MTM_CHECKED mtm_result rig_restrict_from_args(const struct args *args, mtm_rig *rig,
                                              mtm_error *error);

/** --calibration, and what else is to be said of it (""). */
#define OPTION_CALIBRATION(more)                                                                   \
    OPTION_TEXT("calibration", "FILE",                                                             \
                "what \"metamer trim\" found out about the single units" more)
#define OPTION_UNITS_OF(order, ...)                                                                \
    OPTION_TEXT("units", "NAME,...",                                                               \
                "only these units" order ": names of units and of groups, patterns (wash-*, "      \
                "wash-1..4), kind:FIXTURE, or ! and one of these to leave it out; all is every "   \
                "unit",                                                                            \
                __VA_ARGS__)
#define OPTION_UNITS OPTION_UNITS_OF(", in this order", .repeats = false)
/** The same where they stand in the order of the rig. */
#define OPTION_SOME_UNITS OPTION_UNITS_OF("", .repeats = false)

#endif
