/* SPDX-License-Identifier: MIT */
/* Outputs as people write them. */
#include "solve/output.h"

#include "base/number.h"

#include <string.h>

#define LM_MAX 1e9
#define LX_MAX 1e9

bool mtmi_output_read(const char *text, mtm_output *output)
{
    double value = 0;
    size_t used = mtmi_number_read(text, &value);
    const char *unit = text + used;

    if (strcmp(text, "max") == 0)
        *output = (mtm_output){MTM_OUTPUT_MAX, 0};
    else if (used > 0 && strcmp(unit, "%") == 0 && value >= 0 && value <= 100)
        *output = (mtm_output){MTM_OUTPUT_SHARE, value / 100};
    else if (used > 0 && strcmp(unit, "lm") == 0 && value >= 0 && value <= LM_MAX)
        *output = (mtm_output){MTM_OUTPUT_LM, value};
    else if (used > 0 && strcmp(unit, "lx") == 0 && value >= 0 && value <= LX_MAX)
        *output = (mtm_output){MTM_OUTPUT_LUX, value};
    else
        return false;
    return true;
}
