/* SPDX-License-Identifier: MIT */
/* Cues output: what has been read from cue text. */
#ifndef METAMER_CLI_CUES_CUES_OUT_H
#define METAMER_CLI_CUES_CUES_OUT_H

#include "cli/out/writer.h"

#include <metamer/cue_text.h>

/** What was read, and from which file. */
struct cues_read {
    const mtm_cue_sheet *sheet;
    const char *path;
};

/** table, json, csv; ends with a NULL name. */
extern const struct writer cues_writers[];

#endif
