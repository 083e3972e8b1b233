/* SPDX-License-Identifier: MIT */
/* Replacing: what stood where a command writes is kept, and no other format is replaced. */
#ifndef METAMER_CLI_OUT_REPLACE_H
#define METAMER_CLI_OUT_REPLACE_H

#include "cli/command.h"

/** True if a file with something in it stands there. */
bool replace_holds(const char *path);

/** Refuses to replace a file that is not of this format ("calibration/1"; NULL: text, so that no
 * JSON is replaced). A path where nothing stands, a device and a pipe pass. option: for the
 * sentence.
 */
MTM_CHECKED mtm_result replace_check(const char *option, const char *path, const char *format,
                                     mtm_error *error);

/** Keeps a numbered copy of what stands there, and tells its name on err. */
MTM_CHECKED mtm_result replace_keep(const char *path, FILE *err, mtm_error *error);

#endif
