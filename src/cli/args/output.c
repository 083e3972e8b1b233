/* SPDX-License-Identifier: MIT */
/* Output arguments: how much light is asked for. */
#include "cli/args/output.h"

#include "solve/output.h"

#include "base/error.h"

mtm_result output_from_args(const struct args *args, mtm_output *output, mtm_error *error)
{
    const char *text = args_text(args, "output", "max");

    if (mtmi_output_read(text, output))
        return MTM_OK;
    return mtmi_fail(error, MTM_PARSE, "--output: found \"%.60s\", allowed are %s", text,
                     MTMI_OUTPUT_FORMS);
}
