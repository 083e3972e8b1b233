/* SPDX-License-Identifier: MIT */
/* Filter arguments: the library, the filter and the light that options name. */
#include "cli/args/filter.h"

#include "base/error.h"

mtm_result filters_from_args(const struct args *args, mtm_filters **filters, mtm_error *error)
{
    return mtm_filters_load(args_text(args, "filters", NULL), filters, error);
}

mtm_result light_from_args(const struct args *args, const char *fallback, mtm_light *light,
                           mtm_error *error)
{
    mtm_result result = mtm_light_from_text(args_text(args, "over", fallback), light, error);

    if (result != MTM_OK)
        mtmi_error_prefix(error, "--over");
    return result;
}
