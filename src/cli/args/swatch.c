/* SPDX-License-Identifier: MIT */
/* Swatch arguments: the white beside which swatches stand, and swatches before the rows of a table,
 * on terminals that show true colour. */
#include "cli/args/swatch.h"

#include "base/error.h"

#include <metamer/swatch.h>

const struct option_spec swatch_white_options[] = {
    OPTION_TEXT("swatch-white", "X,Y",
                "the white beside which swatches stand, as the eye is adapted to it; D65 if not "
                "said",
                .with = "targets"),
    {0},
};

mtm_result swatch_white_from_args(const struct args *args, mtm_xy *white, mtm_error *error)
{
    const mtm_xy any = {0.31, 0.33};
    mtm_swatch unused;
    double v[2] = {0, 0};

    if (args_has(args, "swatch-white")) {
        mtm_result result = args_numbers(args, "swatch-white", v, 2, error);
        if (result != MTM_OK)
            return result;
        result = mtm_swatches_from_xy(&any, 1, (mtm_xy){v[0], v[1]}, &unused, error);
        if (result != MTM_OK) {
            mtmi_error_prefix(error, "--swatch-white");
            return result == MTM_INVALID ? MTM_PARSE : result;
        }
    }
    *white = (mtm_xy){v[0], v[1]};
    return MTM_OK;
}
