/* SPDX-License-Identifier: MIT */
/* Filter arguments: the library, the filter and the light that options name. */
#ifndef METAMER_CLI_ARGS_FILTER_H
#define METAMER_CLI_ARGS_FILTER_H

#include "cli/args/args.h"

#include <metamer/filter.h>

/** The library of --filters, or the delivered one. The caller frees it. */
MTM_CHECKED mtm_result filters_from_args(const struct args *args, mtm_filters **filters,
                                         mtm_error *error);
/** The light of --over, or fallback. */
MTM_CHECKED mtm_result light_from_args(const struct args *args, const char *fallback,
                                       mtm_light *light, mtm_error *error);

#endif
