/* SPDX-License-Identifier: MIT */
/* Check: arguments that many functions of this room refuse with the same sentence. */
#include "colour/check.h"

#include "base/error.h"

#include <math.h>

mtm_result mtmi_check_xy(const char *what, mtm_xy xy, mtm_error *error)
{
    if (mtm_xy_valid(xy))
        return MTM_OK;
    return mtmi_fail(error, MTM_INVALID,
                     "%s, x %g, y %g, is no chromaticity; x >= 0, y > 0 and x + y <= 1 are needed",
                     what, xy.x, xy.y);
}

mtm_result mtmi_check_observer(mtm_observer observer, mtm_error *error)
{
    if (observer == MTM_OBSERVER_2 || observer == MTM_OBSERVER_10)
        return MTM_OK;
    return mtmi_fail(error, MTM_INVALID,
                     "observer %d was given; 0 (2 degrees) and 1 (10 degrees) are known",
                     (int)observer);
}

mtm_result mtmi_check_spectrum(const mtm_spectrum *spectrum, mtm_error *error)
{
    if (spectrum == NULL)
        return mtmi_fail(error, MTM_INVALID, "no spectrum was given");
    for (int i = 0; i < MTM_SPECTRUM_COUNT; i++)
        if (!isfinite(spectrum->value[i]))
            return mtmi_fail(error, MTM_INVALID, "the spectrum is not a finite number at %d nm",
                             MTM_SPECTRUM_FIRST_NM + i);
    return MTM_OK;
}
