/* SPDX-License-Identifier: MIT */
/* Play network: what is sent to the lights now, to begin from it. */
#ifndef METAMER_CLI_PLAY_PLAY_NETWORK_H
#define METAMER_CLI_PLAY_PLAY_NETWORK_H

#include "cli/play/play_source.h"

/** Listens to the universes of a show until each has been heard, for 3 s at most, and puts its
 *  units where what counts there has them; on err those that are silent, whose units begin dark.
 *  Then starts the first cue again, unless it is by hand. MTM_OK; MTM_IO where nothing is heard at
 *  all, or the network refuses. */
MTM_CHECKED mtm_result play_from_network(const struct args *args, struct play_source *play,
                                         FILE *err, mtm_error *error);

#endif
