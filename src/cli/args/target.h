/* SPDX-License-Identifier: MIT */
/* Target arguments: the options that state a colour, shared by every command that takes one. */
#ifndef METAMER_CLI_ARGS_TARGET_H
#define METAMER_CLI_ARGS_TARGET_H

#include "cli/args/args.h"

#include <metamer/codes.h>
#include <metamer/rig.h>
#include <metamer/target.h>

/** --xy, --uv, --xyz, --cct, --duv, --daylight, --lamp, --rgb, --space, --spectrum, --filter. */
extern const struct option_spec target_options[];
/** --over, --filters: what --filter stands before, and where it is from. */
extern const struct option_spec over_options[];

/** --like, for commands that have a rig. */
extern const struct option_spec like_options[];

/** --observer. */
extern const struct option_spec observer_options[];

/** The observer asked for; 2 degrees by default. */
mtm_observer observer_from_args(const struct args *args);

/** The one colour that args state. rig (may be NULL) is where --like finds its unit. */
MTM_CHECKED mtm_result target_from_args(const struct args *args, const mtm_rig *rig,
                                        mtm_target *target, mtm_error *error);

/** Y of the colour that args state, a white having 100; 0 where they state a chromaticity only. For
 *  arguments that target_from_args has read. */
double target_luminance(const struct args *args);

/** The white beside which dominant wavelength and purity stand. */
struct reference_white {
    mtm_xy xy;
    char name[40]; /* for a sentence: "equal energy", "x 0.3127, y 0.3290" */
};

/** --white. */
extern const struct option_spec white_options[];
/** The white of --white; equal energy if not said. */
MTM_CHECKED mtm_result white_from_args(const struct args *args, mtm_observer observer,
                                       struct reference_white *white, mtm_error *error);

#endif
