/* SPDX-License-Identifier: MIT */
/* Play to: where a stream goes, and as which source, from the options of play. */
#ifndef METAMER_CLI_PLAY_PLAY_TO_H
#define METAMER_CLI_PLAY_PLAY_TO_H

#include "cli/args/args.h"

#include <metamer/stream.h>

/** --to, --ip, --sync, --interface, --port, --ttl. */
extern const struct option_spec play_where_options[];
/** --priority, --source, --cid, --preview. */
extern const struct option_spec play_source_options[];

/** What they say. Zeroed holds nothing; play_to_free it. */
struct play_to {
    mtm_sender_options options;
    mtm_sender_own *own;
};

MTM_CHECKED mtm_result play_to_read(const struct args *args, struct play_to *to, mtm_error *error);
void play_to_free(struct play_to *to);

#endif
