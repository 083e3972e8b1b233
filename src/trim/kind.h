/* SPDX-License-Identifier: MIT */
/* The trimmed units of a kind beside each other: how far apart, and by what factors. */
#ifndef METAMER_TRIM_KIND_H
#define METAMER_TRIM_KIND_H

#include <metamer/trim.h>

/** Sets apart_uv and apart of the summary from the trimmed levels. */
MTM_CHECKED mtm_result mtmi_trim_agreement(const mtm_trim_unit *units, size_t count,
                                           const mtm_calibration *calibration, const mtm_rig *rig,
                                           mtm_trim_summary *summary, mtm_error *error);

/** Turns the codes in factor into shares of the largest among the units of the same fixture. */
MTM_CHECKED mtm_result mtmi_trim_factors(mtm_trim_unit *units, size_t count, const mtm_rig *rig,
                                         mtm_error *error);

#endif
