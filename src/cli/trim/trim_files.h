/* SPDX-License-Identifier: MIT */
/* The files of "metamer trim": readings with the notes on them and the meter they were read with,
 * and what is written, never over what would be lost. */
#ifndef METAMER_CLI_TRIM_TRIM_FILES_H
#define METAMER_CLI_TRIM_TRIM_FILES_H

#include "cli/args/args.h"

#include <metamer/calibration.h>

/** Loads a readings file; --column says what stands in which column of a table. */
MTM_CHECKED mtm_result trim_load(const struct args *args, const char *path, const mtm_rig *rig,
                                 mtm_readings **readings, mtm_error *error);

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

/** The calibration to start from: --calibration, or with --again the file that --write names; NULL
 *  where there is none. */
const char *trim_prior_path(const struct args *args);

/** Whether --write may go where it points, before anything is read or asked for: not over a file of
 *  another kind, and over a calibration only where the new one goes on from it or --replace says
 *  so. */
MTM_CHECKED mtm_result trim_write_check(const struct args *args, const mtm_rig *rig,
                                        mtm_error *error);

/** Writes the calibration where --write says, if it does; what stood there is kept. */
MTM_CHECKED mtm_result trim_write(const struct args *args, const mtm_calibration *calibration,
                                  FILE *err, mtm_error *error);
/** The same for a match of two meters. */
MTM_CHECKED mtm_result trim_write_match(const struct args *args, const mtm_meter_match *match,
                                        FILE *err, mtm_error *error);

#endif
