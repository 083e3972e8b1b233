/* SPDX-License-Identifier: MIT */
/* Which channels of cue text are whose: numbers that the rig states, and those counted on. */
#ifndef METAMER_CUE_TEXT_NUMBERS_H
#define METAMER_CUE_TEXT_NUMBERS_H

#include <metamer/rig.h>

/** True for a unit that has slots of its own; to others nothing is sent. */
static inline bool mtmi_cue_is_sent(const mtm_unit *unit)
{
    return unit->universe != 0 && unit->address != 0 && unit->follows < 0;
}

/** Gives every unit that is sent to as many channels as it has slots. owner: zeroed,
 *  MTM_CUE_CHANNEL_MAX + 1 places; gets the unit of each channel, counted from 1. MTM_OK; MTM_RANGE
 *  where two units state the same channel, or one goes beyond the last. */
MTM_CHECKED mtm_result mtmi_cue_number_units(const mtm_rig *rig, uint32_t *owner, mtm_error *error);

#endif
