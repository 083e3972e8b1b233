/* SPDX-License-Identifier: MIT */
/* Play load: overloads of a show's cues, named before a frame of it goes out. */
#ifndef METAMER_CLI_PLAY_PLAY_DEMAND_H
#define METAMER_CLI_PLAY_PLAY_DEMAND_H

#include "cli/play/play_source.h"

/** Names on err what ports, supplies and circuits would carry beyond their ratings in the cues that
 *  are to be played. Nothing is said of frames from a file, and with --within-load. */
MTM_CHECKED mtm_result play_name_overloads(const struct args *args, const struct play_source *play,
                                           const char *command, FILE *err, mtm_error *error);

#endif
