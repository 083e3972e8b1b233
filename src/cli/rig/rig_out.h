/* SPDX-License-Identifier: MIT */
/* Rig output: a survey of a rig, as a table or as JSON. */
#ifndef METAMER_CLI_RIG_RIG_OUT_H
#define METAMER_CLI_RIG_RIG_OUT_H

#include "cli/args/swatch.h"
#include "cli/out/writer.h"

#include <metamer/survey.h>

/** A survey to be written. */
struct rig_view {
    const mtm_rig *rig;
    const mtm_survey *survey;
    double within_uv;
    const bool *meant;        /**< by unit: looked at */
    struct swatches swatches; /**< before the whites */
};

/** table, json; ends with a NULL name. */
extern const struct writer rig_writers[];

#endif
