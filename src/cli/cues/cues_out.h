/* SPDX-License-Identifier: MIT */
/* Cues output: what has been read from cue text. */
#ifndef METAMER_CLI_CUES_CUES_OUT_H
#define METAMER_CLI_CUES_CUES_OUT_H

#include "cli/out/writer.h"

#include <metamer/cue_text.h>
#include <metamer/rig.h>

/** What was read, and from which file. */
struct cues_read {
    const mtm_cue_sheet *sheet;
    const char *path;   /* of a text that was read */
    const mtm_rig *rig; /* of a show: which channel is what of it; NULL: what the text holds */
};

/** The channel list in each way of writing: channel, slot, unit and what of it. */
void cues_channels_table(const struct cues_read *read, FILE *out);
cJSON *cues_channels_json(const struct cues_read *read);
void cues_channels_csv(const struct cues_read *read, FILE *out);

/** table, json, csv; ends with a NULL name. */
extern const struct writer cues_writers[];

#endif
