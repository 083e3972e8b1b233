/* SPDX-License-Identifier: MIT */
/* Check: arguments that many functions of this room refuse with the same sentence. */
#ifndef METAMER_COLOUR_CHECK_H
#define METAMER_COLOUR_CHECK_H

#include <metamer/colour.h>
#include <metamer/spectrum.h>

/** MTM_INVALID for what is no chromaticity; what ("the white") begins the sentence. */
MTM_CHECKED mtm_result mtmi_check_xy(const char *what, mtm_xy xy, mtm_error *error);

/** MTM_INVALID for an observer that does not exist. */
MTM_CHECKED mtm_result mtmi_check_observer(mtm_observer observer, mtm_error *error);

/** MTM_INVALID for NULL and for a value that is not finite. */
MTM_CHECKED mtm_result mtmi_check_spectrum(const mtm_spectrum *spectrum, mtm_error *error);

#endif
