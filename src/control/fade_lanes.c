/* SPDX-License-Identifier: MIT */
/* Lanes: room for the channels of a rig, and moving them one frame on in plain C. */
#include "control/fade_lanes.h"

#include "base/error.h"

#include <math.h>
#include <stdlib.h>

/* A dither that takes more frames than this gains little and looks like noise. */
#define PERIOD_MOST 8

mtm_result mtmi_lanes_create(mtmi_lanes *lanes, size_t count, size_t wide, size_t slot_count,
                             mtm_error *error)
{
    size_t room = count + 1;

    *lanes = (mtmi_lanes){.count = count, .wide = wide, .slot_count = slot_count};
    lanes->p = calloc(room, sizeof *lanes->p);
    lanes->d = calloc(room, sizeof *lanes->d);
    lanes->dd = calloc(room, sizeof *lanes->dd);
    lanes->carry = calloc(room, sizeof *lanes->carry);
    lanes->code = calloc(room, sizeof *lanes->code);
    lanes->coarse = calloc(room, sizeof *lanes->coarse);
    lanes->fine = calloc(room, sizeof *lanes->fine);
    lanes->period = (const uint8_t **)calloc(room, sizeof *lanes->period);
    lanes->slots = calloc(slot_count + 1, 1);
    if (lanes->p == NULL || lanes->d == NULL || lanes->dd == NULL || lanes->carry == NULL ||
        lanes->code == NULL || lanes->coarse == NULL || lanes->fine == NULL ||
        lanes->period == NULL || lanes->slots == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count; i++) {
        lanes->carry[i] = MTMI_HALF_CODE;
        lanes->coarse[i] = (uint32_t)slot_count;
        lanes->fine[i] = (uint32_t)slot_count;
    }
    return MTM_OK;
}

void mtmi_lanes_free(mtmi_lanes *lanes)
{
    free(lanes->p);
    free(lanes->d);
    free(lanes->dd);
    free(lanes->carry);
    free(lanes->code);
    free(lanes->coarse);
    free(lanes->fine);
    free((void *)lanes->period);
    free(lanes->slots);
    *lanes = (mtmi_lanes){0};
}

void mtmi_advance_portable(mtmi_lanes *lanes, size_t first, size_t last)
{
    int64_t *restrict p = lanes->p;
    int64_t *restrict d = lanes->d;
    const int64_t *restrict dd = lanes->dd;
    uint32_t *restrict carry = lanes->carry;
    uint16_t *restrict code = lanes->code;

    for (size_t i = first; i < last; i++) {
        p[i] += d[i];
        d[i] += dd[i];
        uint32_t sum = (uint32_t)((uint64_t)p[i] >> 16) + carry[i];
        carry[i] = sum & 0xffff;
        code[i] = (uint16_t)(sum >> 16);
    }
    for (size_t i = first; i < last; i++) {
        lanes->slots[lanes->coarse[i]] = (uint8_t)(code[i] >> 8);
        lanes->slots[lanes->fine[i]] = (uint8_t)code[i];
    }
}

/* Of period frames, as many show the upper code as come nearest to part (in 1/65536), spread
 * evenly. */
static uint32_t upper_shown(uint32_t part, uint32_t period, uint64_t frame)
{
    uint32_t share = (part * period + 0x8000) >> 16;

    return ((uint32_t)(frame % period) * share) % period < share;
}

void mtmi_advance_narrow(mtmi_lanes *lanes, bool dither, uint64_t frame)
{
    for (size_t i = lanes->wide; i < lanes->count; i++) {
        lanes->p[i] += lanes->d[i];
        lanes->d[i] += lanes->dd[i];
        uint32_t at = (uint32_t)((uint64_t)lanes->p[i] >> 16);
        uint32_t below = at >> 16;
        uint32_t code = (at + MTMI_HALF_CODE) >> 16;
        uint32_t period = dither && lanes->period[i] != NULL ? lanes->period[i][below] : 0;

        if (period > 1) /* lanes begin at different frames, so that they do not blink together */
            code = below + upper_shown(at & 0xffff, period, frame + i);
        lanes->code[i] = (uint16_t)code;
        lanes->slots[lanes->coarse[i]] = (uint8_t)code;
    }
}

void mtmi_lane_rest(mtmi_lanes *lanes, size_t lane, uint16_t code)
{
    lanes->p[lane] = code * MTMI_ONE_CODE;
    lanes->d[lane] = 0;
    lanes->dd[lane] = 0;
    lanes->carry[lane] = MTMI_HALF_CODE;
    lanes->code[lane] = code;
    if (lane < lanes->wide) {
        lanes->slots[lanes->coarse[lane]] = (uint8_t)(code >> 8);
        lanes->slots[lanes->fine[lane]] = (uint8_t)code;
    } else {
        lanes->slots[lanes->coarse[lane]] = (uint8_t)code;
    }
}

uint8_t mtmi_dither_period(double low, double high, double refresh_hz)
{
    double percent = high > low ? 100 * (high - low) / (high + low) : 0;
    double slowest_hz = percent / 0.025;

    if (slowest_hz > 90)
        slowest_hz = fmin(1250, fmax(90, percent / 0.08));
    double period = slowest_hz > 0 ? floor(refresh_hz / slowest_hz) : PERIOD_MOST;
    return (uint8_t)(period < PERIOD_MOST ? period : PERIOD_MOST);
}
