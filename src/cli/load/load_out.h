/* SPDX-License-Identifier: MIT */
/* Load output: loads of a rig in several cases, as a table, as JSON or as CSV. */
#ifndef METAMER_CLI_LOAD_LOAD_OUT_H
#define METAMER_CLI_LOAD_LOAD_OUT_H

#include "cli/out/writer.h"

#include <metamer/demand.h>

/** One case: all full, a white, a cue. */
struct load_case {
    char name[80];
    double total_w; /**< of all units */
    mtm_demand *demand;
};

/** Loads to be written. */
struct load_view {
    const mtm_rig *rig;
    mtm_demand_options options; /**< as asked for; zeros are defaults */
    const struct load_case *cases;
    size_t count;
    size_t worst;       /**< of them, those at the front that are worst cases; the rest are cues */
    bool some;          /**< of the rig's units only */
    size_t unplugged;   /**< units on no supply */
    double unplugged_w; /**< what they take, all full */
};

/** table, json, csv; ends with a NULL name. */
extern const struct writer load_writers[];

#endif
