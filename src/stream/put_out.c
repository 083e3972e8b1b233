/* SPDX-License-Identifier: MIT */
/* Put out: only what carries light goes to 0; a slot of another use may turn or open something. */
#include "stream/put_out.h"

#include <metamer/codes.h>

static void put_out_unit(const mtm_unit *unit, const mtm_frame_universe *universe, uint8_t *slots)
{
    size_t first = (size_t)unit->address - 1;

    if (unit->universe == universe->universe && unit->address > 0 &&
        first + unit->mode->slot_count <= universe->slot_count)
        mtm_black_to_slots(unit->mode, &slots[first]);
}

void mtmi_put_out(const mtm_rig *rig, const bool *meant, const mtm_frame_layout *layout,
                  uint8_t *const *slots)
{
    for (size_t i = 0; i < mtm_rig_unit_count(rig); i++)
        for (size_t u = 0; u < layout->universe_count && (meant == NULL || meant[i]); u++)
            put_out_unit(mtm_rig_unit(rig, i), &layout->universe[u], slots[u]);
}
