/* SPDX-License-Identifier: MIT */
/* What arrives of a unit's light, in files. */
#ifndef METAMER_RIG_STAGE_H
#define METAMER_RIG_STAGE_H

#include "base/json.h"

#include <metamer/rig.h>

#define MTMI_GAIN_MIN 1e-6
#define MTMI_GAIN_MAX 1e6
#define MTMI_CD_MIN 1e-3 /* candela for 1000 lm */
#define MTMI_CD_MAX 1e8
#define MTMI_DISTANCE_MIN_M 0.01
#define MTMI_DISTANCE_MAX_M 10000.0

/** Reads the keys of a unit. */
MTM_CHECKED mtm_result mtmi_rig_read_stage(const mtmi_node *node, mtm_unit *unit, mtm_error *error);
/** Refuses what reading would refuse. */
MTM_CHECKED mtm_result mtmi_rig_check_stage(const mtm_unit *unit, mtm_error *error);
/** Adds the keys of what is stated; false: memory. */
bool mtmi_rig_write_stage(cJSON *object, const mtm_unit *unit);

#endif
