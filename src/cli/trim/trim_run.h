/* SPDX-License-Identifier: MIT */
/* Trims of the sets of units that are to agree with each other. */
#ifndef METAMER_CLI_TRIM_TRIM_RUN_H
#define METAMER_CLI_TRIM_TRIM_RUN_H

#include <metamer/trim.h>

/** Units that are to agree with each other, and their trim. */
struct trim_set {
    const char *name; /* of their fixture or group; NULL: all, or those of no group; borrowed */
    mtm_trim *trim;
};

/** All sets of which a unit is calibrated. Zeroed is empty. */
struct trim_sets {
    struct trim_set *set;
    size_t count;
};

/** Trims each set by itself (see mtm_trim_run, whose results these are). */
MTM_CHECKED mtm_result trim_sets_run(const mtm_calibration *calibration, const mtm_rig *rig,
                                     const mtm_readings *last, const mtm_meter *meter,
                                     const mtm_trim_request *request, mtm_alike alike,
                                     struct trim_sets *sets, mtm_error *error);
void trim_sets_free(struct trim_sets *sets);

#endif
