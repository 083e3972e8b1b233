/* SPDX-License-Identifier: MIT */
/* Slots inside: when a unit is out. */
#ifndef METAMER_UNIT_SLOTS_H
#define METAMER_UNIT_SLOTS_H

#include <metamer/codes.h>

/** True if the dimmer is at code 0, or every emitter is. */
bool mtmi_codes_are_out(const mtm_mode *mode, const mtm_codes *codes);

#endif
