/* SPDX-License-Identifier: MIT */
/* What "metamer trim" reads: the notes on it, and the meter it was read with. */
#ifndef METAMER_CLI_TRIM_TRIM_INPUT_H
#define METAMER_CLI_TRIM_TRIM_INPUT_H

#include "cli/args/args.h"

#include <metamer/calibration.h>

/** What a reader left out or wondered about, on the error stream: the answer stays clean. */
void trim_show_reading_notes(const mtm_readings *readings, const char *path, FILE *err);
/** The same of a fit. */
void trim_show_fit_notes(const mtm_calibration *calibration, const char *path, FILE *err);

/** True if a row or a reading was left out, or two that are taken contradict each other. */
bool trim_in_doubt(const mtm_readings *readings, const mtm_calibration *calibration);

/** What options state of the meter's uncertainty. */
void trim_state_meter(const struct args *args, mtm_readings *readings);
/** Options about the meter speak last; a match turns what it read into the reference's. */
MTM_CHECKED mtm_result trim_set_meter(const struct args *args, mtm_readings *readings,
                                      mtm_error *error);

/** Marks the readings that --keep vouches for. */
MTM_CHECKED mtm_result trim_keep(const struct args *args, mtm_readings *readings, mtm_error *error);

/** The readings of a live session so far; none where there is no file. A file with rows that make
 * no sense is refused: it would lose them when it is written again. */
MTM_CHECKED mtm_result trim_open_live(const char *path, const mtm_rig *rig, mtm_readings **readings,
                                      mtm_error *error);

#endif
