/* SPDX-License-Identifier: MIT */
/* Swatch arguments: the white beside which swatches stand, and swatches before the rows of a table,
 * on terminals that show true colour. */
#ifndef METAMER_CLI_ARGS_SWATCH_H
#define METAMER_CLI_ARGS_SWATCH_H

#include "cli/args/args.h"

#include <metamer/colour.h>

/** --swatch-white. */
extern const struct option_spec swatch_white_options[];

/** The white of --swatch-white; 0, 0 where it is not said. */
MTM_CHECKED mtm_result swatch_white_from_args(const struct args *args, mtm_xy *white,
                                              mtm_error *error);

#endif
