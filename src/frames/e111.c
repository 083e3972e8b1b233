/* SPDX-License-Identifier: MIT */
/* E1.11: how fast a DMX512 line can repeat itself. */
#include <metamer/frames.h>
#include <metamer/rig.h>

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
