/* SPDX-License-Identifier: MIT */
/* Cues output: what has been read from cue text. */
#ifndef METAMER_CLI_CUES_CUES_OUT_H
#define METAMER_CLI_CUES_CUES_OUT_H

#include <metamer/cue_text.h>

#include <stdio.h>

/** A format. */
struct cues_writer {
    const char *name;
    mtm_result (*write)(const mtm_cue_sheet *sheet, const char *path, FILE *out, mtm_error *error);
};
/** table, json, csv; ends with a NULL name. */
extern const struct cues_writer cues_writers[];

#endif
