/* SPDX-License-Identifier: MIT */
/* Fade output: what the fades of a show look like, as a table, JSON or CSV. */
#ifndef METAMER_CLI_FADE_FADE_OUT_H
#define METAMER_CLI_FADE_FADE_OUT_H

#include "cli/out/writer.h"

#include <metamer/fade_report.h>

/** What has been found, a row of findings (one a unit) for each cue looked at. */
struct fade_result {
    const mtm_show *show;
    double rate_hz;
    const size_t *cue; /* cue_count indices */
    size_t cue_count;
    const mtm_fade_finding *finding; /* cue_count rows of the rig's unit count */
    double visible;                  /* CIEDE2000 of a step that counts */
    bool by_unit;                    /* a line a unit, and cures; else a line a cue */
};

/** The finding of a unit in cue number row. */
const mtm_fade_finding *fade_finding(const struct fade_result *result, size_t row, size_t unit);
/** The unit of a row whose step is the largest; false if none moves. */
bool fade_worst(const struct fade_result *result, size_t row, size_t *unit);

extern const struct writer fade_writers[];

#endif
