/* SPDX-License-Identifier: MIT */
/* Output arguments: how much light is asked for. */
#ifndef METAMER_CLI_ARGS_OUTPUT_H
#define METAMER_CLI_ARGS_OUTPUT_H

#include "cli/args/args.h"

#include <metamer/solve.h>

/** --output: "60%", "1200lm", "500lx" or "max" (the default). */
MTM_CHECKED mtm_result output_from_args(const struct args *args, mtm_output *output,
                                        mtm_error *error);

#endif
