/* SPDX-License-Identifier: MIT */
/* The request of a trim: checked, and with the white that all its units can reach. */
#ifndef METAMER_TRIM_REQUEST_H
#define METAMER_TRIM_REQUEST_H

#include <metamer/trim.h>

/** MTM_OK, or MTM_INVALID for what no request can be. */
MTM_CHECKED mtm_result mtmi_trim_check_request(const mtm_trim_request *request, mtm_error *error);

/** The request as it will be met: where together is asked for, its target is the chromaticity
 *  nearest to it, in u', v', that every one of the units reaches. MTM_OK; MTM_RANGE where they have
 *  none in common; MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_trim_state_request(const mtm_calibration *calibration,
                                               const mtm_rig *rig, const mtm_trim_request *request,
                                               const mtm_trim_unit *units, size_t count,
                                               const mtm_trim_aim *then, mtm_trim_request *stated,
                                               mtm_error *error);

#endif
