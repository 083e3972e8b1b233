/* SPDX-License-Identifier: MIT */
/* Goal arguments: on what the freedom of many emitters is spent. */
#ifndef METAMER_CLI_ARGS_GOAL_H
#define METAMER_CLI_ARGS_GOAL_H

#include "cli/args/args.h"

#include <metamer/codes.h>
#include <metamer/solve.h>
#include <metamer/spectral.h>

/** --goal, and --index, which is for the goal rendering only. */
void goal_from_args(const struct args *args, mtm_goal *goal, mtm_index *index);

/** Goals, dimmings, and the measures of rendering, for OPTION_CHOICE_AT. */
const void *goal_row_at(size_t index);
const void *dimming_row_at(size_t index);
const void *index_row_at(size_t index);

#endif
