/* SPDX-License-Identifier: MIT */
/* Output arguments: how much light is asked for. */
#include "cli/args/output.h"

#include "base/error.h"
#include "base/number.h"

#include <string.h>

mtm_result output_from_args(const struct args *args, mtm_output *output, mtm_error *error)
{
    const char *text = args_text(args, "output", "max");
    double value = 0;
    size_t used = mtmi_number_read(text, &value);
    const char *unit = text + used;

    if (strcmp(text, "max") == 0) {
        *output = (mtm_output){MTM_OUTPUT_MAX, 0};
    } else if (used > 0 && strcmp(unit, "%") == 0 && value >= 0 && value <= 100) {
        *output = (mtm_output){MTM_OUTPUT_FRACTION, value / 100};
    } else if (used > 0 && strcmp(unit, "lm") == 0 && value >= 0 && value <= 1e9) {
        *output = (mtm_output){MTM_OUTPUT_LM, value};
    } else {
        return mtmi_fail(error, MTM_PARSE,
                         "--output: found \"%.60s\", allowed are 0%% to 100%%, lumens as in "
                         "1200lm, or max",
                         text);
    }
    return MTM_OK;
}
