/* SPDX-License-Identifier: MIT */
/* Later rounds of a trim: near to what was read, and at the output that was found. */
#ifndef METAMER_TRIM_ROUND_H
#define METAMER_TRIM_ROUND_H

#include "trim/near.h"

#include <metamer/trim.h>

/** What the round before trimmed these units to: the aim that all of them share that have one; NULL
 *  if this is no later round, or they had several. Borrowed from the calibration. */
const mtm_trim_aim *mtmi_round_then(const mtm_calibration *calibration,
                                    const mtm_trim_request *request, const mtm_trim_unit *units,
                                    size_t count);

/** True for a later round that is asked for the same white by the same goal as the one before. */
bool mtmi_round_goes_on(const mtm_trim_aim *then, const mtm_trim_request *request);

/** The common output of that round where it goes on and the output asked for is the same (or is
 *  that output), lumens; else 0. */
double mtmi_round_output(const mtm_trim_aim *then, const mtm_trim_request *request);

/** By how much an output may differ, relative, before it counts: a step of 2 % (common practice, no
 *  source), or the meter's uncertainty times the readings it rests on where that is less. */
double mtmi_round_slack(const mtm_meter *meter, int readings);

/** Makes the recipe that of the levels read (NULL: of those trimmed to before), where there are any
 *  that give light. */
void mtmi_round_anchor(const mtm_calibration *calibration, size_t unit, const double *read,
                       mtmi_recipe *recipe);

/** The codes of a reading, as they were sent. */
mtm_codes mtmi_round_codes(const mtm_reading *reading, const mtm_unit *unit);

/** What a trim is remembered by. */
mtm_trim_aim mtmi_round_aim(const mtm_trim_request *request, double output_lm);

/** The last reading of a unit with several emitters lit; NULL where there is none. */
const mtm_reading *mtmi_round_reading(const mtm_readings *readings, size_t unit);

/** The dimmer of the codes that were read last, or of those trimmed to before; 0: it is free. */
unsigned mtmi_round_dimmer(const mtm_calibration *calibration, const mtm_readings *last,
                           size_t unit, const mtm_rig *rig);

#endif
