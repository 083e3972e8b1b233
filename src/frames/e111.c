/* SPDX-License-Identifier: MIT */
/* E1.11: how fast a DMX512 line can repeat itself. */
#include <metamer/frames.h>
#include <metamer/rig.h>

#include "base/error.h"

#include <math.h>

/* ANSI E1.11, transmitter side: the shortest break and mark, no pause between slots. */
#define BREAK_US 92.0
#define MARK_AFTER_BREAK_US 12.0
#define SLOT_US 44.0 /* 11 bits of 4 us */
#define BREAK_TO_BREAK_US 1204.0

double mtm_e111_packet_us(size_t slots)
{
    size_t count = slots < MTM_ADDRESS_MAX ? slots : MTM_ADDRESS_MAX;
    double time_us = BREAK_US + MARK_AFTER_BREAK_US + SLOT_US * (double)(count + 1);

    return time_us > BREAK_TO_BREAK_US ? time_us : BREAK_TO_BREAK_US;
}

double mtm_e111_max_refresh_hz(size_t slots)
{
    return 1e6 / mtm_e111_packet_us(slots);
}

mtm_result mtm_e111_check(const mtm_frame_layout *layout, mtm_error *error)
{
    if (layout == NULL)
        return mtmi_fail(error, MTM_INVALID, "a layout of frames is needed");
    for (size_t u = 0; u < layout->universe_count; u++) {
        const mtm_frame_universe *universe = &layout->universe[u];
        double most_hz = mtm_e111_max_refresh_hz(universe->slot_count);

        if (layout->rate_hz > most_hz)
            return mtmi_fail(error, MTM_RANGE,
                             "%g frames a second are asked for, but ANSI E1.11 allows at most %.1f "
                             "for universe %d with its %d slots",
                             layout->rate_hz, floor(most_hz * 10) / 10, universe->universe,
                             universe->slot_count);
    }
    return MTM_OK;
}
