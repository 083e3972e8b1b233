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

static mtm_result find_filter(const struct args *args, mtm_filter *filter, mtm_error *error)
{
    mtm_filters *filters = NULL;
    mtm_result result = filters_from_args(args, &filters, error);

    if (result != MTM_OK)
        return result;
    result = mtm_filters_find(filters, args_text(args, "filter", ""), filter, error);
    mtm_filters_free(filters);
    if (result != MTM_OK)
        mtmi_error_prefix(error, "--filter");
    return result;
}

mtm_result filter_target_from_args(const struct args *args, mtm_observer observer,
                                   mtm_target *target, mtm_error *error)
{
    mtm_light light;
    mtm_filter filter = {.name = ""};

    if (!args_has(args, "over"))
        return mtmi_fail(error, MTM_PARSE,
                         "--filter needs a light to stand before: --over 3200, say");
    mtm_result result = find_filter(args, &filter, error);
    if (result == MTM_OK)
        result = light_from_args(args, "", &light, error);
    if (result != MTM_OK)
        return result;
    return mtm_target_from_filter(&filter, &light, observer, target, error);
}
