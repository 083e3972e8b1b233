/* SPDX-License-Identifier: MIT */
/* Lanes: room for the channels of a rig, and moving them one frame on in plain C.
 *
 * A channel's level runs along a cubic of time, which forward differences make by three additions a
 * frame; a look-up table gives its code with 16 bits behind the point. 16-bit channels carry what
 * rounding leaves over to the next frame; 8-bit ones may spread it over a few frames.
 *
 * Each quantity has an array of its own, 16-bit channels first, so that a processor moves several
 * at once. This runs for every channel at every frame and allocates and branches as little as it
 * can; the fade benchmark measures it.
 *
 * The AVX2 kernel (lanes_avx2.c) must give the same bits: change both, and keep the order of the
 * additions. Levels drift by rounding along a piece, and each piece begins from exact values:
 * before a piece is made longer, look at plan.c. */
#include "fade/lanes.h"

#include "base/error.h"

#include <math.h>
#include <string.h>

/* A dither that takes more frames than this gains little and looks like noise. */
#define PERIOD_MAX 8

mtm_result mtmi_lanes_create(mtmi_lanes *lanes, size_t count, size_t wide, size_t slot_count,
                             mtm_error *error)
{
    mtmi_pool *pool = &lanes->pool;

    *lanes =
        (mtmi_lanes){.count = count, .wide = wide, .narrow_end = count, .slot_count = slot_count};
    lanes->p = mtmi_pool_take(pool, count, sizeof *lanes->p);
    lanes->d1 = mtmi_pool_take(pool, count, sizeof *lanes->d1);
    lanes->d2 = mtmi_pool_take(pool, count, sizeof *lanes->d2);
    lanes->d3 = mtmi_pool_take(pool, count, sizeof *lanes->d3);
    lanes->table = mtmi_pool_take(pool, count, sizeof(struct mtmi_code_step *));
    lanes->keep = mtmi_pool_take(pool, count, sizeof *lanes->keep);
    lanes->carry = mtmi_pool_take(pool, count, sizeof *lanes->carry);
    lanes->code = mtmi_pool_take(pool, count, sizeof *lanes->code);
    lanes->coarse = mtmi_pool_take(pool, count, sizeof *lanes->coarse);
    lanes->fine = mtmi_pool_take(pool, count, sizeof *lanes->fine);
    lanes->ultra = mtmi_pool_take(pool, count, sizeof *lanes->ultra);
    lanes->own = mtmi_pool_take(pool, count, sizeof(struct mtmi_table *));
    lanes->by_code = mtmi_pool_take(pool, count, sizeof *lanes->by_code);
    lanes->period = mtmi_pool_take(pool, count, sizeof(uint8_t *));
    lanes->slots = mtmi_pool_take(pool, slot_count + 1, 1);
    if (pool->failed)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count; i++) {
        lanes->carry[i] = MTMI_HALF_CODE;
        lanes->coarse[i] = (uint32_t)slot_count;
        lanes->fine[i] = (uint32_t)slot_count;
        lanes->ultra[i] = (uint32_t)slot_count;
    }
    return MTM_OK;
}

void mtmi_lanes_free(mtmi_lanes *lanes)
{
    mtmi_pool_free(&lanes->pool);
    *lanes = (mtmi_lanes){0};
}

void mtmi_advance_portable(mtmi_lanes *lanes, size_t first, size_t last)
{
    for (size_t i = first; i < last; i++) {
        lanes->p[i] += lanes->d1[i];
        lanes->d1[i] += lanes->d2[i];
        lanes->d2[i] += lanes->d3[i];
        uint32_t sum = mtmi_code_table_at(lanes->table[i], lanes->p[i]) + lanes->carry[i];
        uint32_t keep = lanes->keep[i];
        uint32_t code = sum >> 16;

        lanes->carry[i] = (sum & keep) | (MTMI_HALF_CODE & ~keep);
        lanes->code[i] = code;
        lanes->slots[lanes->coarse[i]] = (uint8_t)(code >> 8);
        lanes->slots[lanes->fine[i]] = (uint8_t)code;
    }
}

/* Of period frames, as many show the upper code as come nearest to part (in 1/65536), spread
 * evenly. */
static uint32_t upper_shown(uint32_t part, uint32_t period, uint64_t frame)
{
    uint32_t share = (part * period + 0x8000) >> 16;

    return ((uint32_t)(frame % period) * share) % period < share;
}

void mtmi_advance_narrow(mtmi_lanes *lanes, uint64_t frame)
{
    for (size_t i = lanes->wide; i < lanes->narrow_end; i++) {
        lanes->p[i] += lanes->d1[i];
        lanes->d1[i] += lanes->d2[i];
        lanes->d2[i] += lanes->d3[i];
        if (lanes->keep[i] != 0)
            continue;
        uint32_t at = mtmi_code_table_at(lanes->table[i], lanes->p[i]);
        uint32_t below = at >> 16;
        uint32_t code = (at + MTMI_HALF_CODE) >> 16;
        uint32_t period = lanes->dither && lanes->period[i] != NULL ? lanes->period[i][below] : 0;

        if (period > 1) /* lanes begin at different frames, so that they do not blink together */
            code = below + upper_shown(at & 0xffff, period, frame + i);
        lanes->code[i] = (uint32_t)code;
        lanes->slots[lanes->coarse[i]] = (uint8_t)code;
    }
}

void mtmi_advance_careful(mtmi_lanes *lanes)
{
    for (size_t i = lanes->narrow_end; i < lanes->count; i++) {
        const struct mtmi_table *own = lanes->own[i];

        lanes->p[i] += lanes->d1[i];
        lanes->d1[i] += lanes->d2[i];
        lanes->d2[i] += lanes->d3[i];
        if (lanes->keep[i] != 0)
            continue;
        double at = fmin(fmax(lanes->p[i], 0), 1);
        double position = lanes->by_code[i] ? at * own->most : mtmi_table_code_at(own, at);
        mtmi_lane_send(lanes, i, (uint32_t)(position + 0.5));
    }
}

void mtmi_lane_send(mtmi_lanes *lanes, size_t lane, uint32_t code)
{
    if (lane < lanes->wide) {
        lanes->slots[lanes->coarse[lane]] = (uint8_t)(code >> 8);
        lanes->slots[lanes->fine[lane]] = (uint8_t)code;
    } else if (lane < lanes->narrow_end) {
        lanes->slots[lanes->coarse[lane]] = (uint8_t)code;
    } else {
        code = mtmi_table_allowed(lanes->own[lane], code);
        for (uint32_t rest = code, most = lanes->own[lane]->most; most > 0; most >>= 8) {
            uint32_t *at = most > 65535 ? lanes->ultra : most > 255 ? lanes->fine : lanes->coarse;
            lanes->slots[at[lane]] = (uint8_t)rest;
            rest >>= 8;
        }
    }
    lanes->code[lane] = code;
}

void mtmi_lane_rest(mtmi_lanes *lanes, size_t lane, const struct mtmi_code_step *straight,
                    uint32_t code)
{
    const bool careful = lane >= lanes->narrow_end;
    const double most = careful              ? lanes->own[lane]->most
                        : lane < lanes->wide ? (double)MTM_CODE_MAX_16
                                             : (double)MTM_CODE_MAX_8;

    lanes->p[lane] = code / most;
    lanes->d1[lane] = 0;
    lanes->d2[lane] = 0;
    lanes->d3[lane] = 0;
    lanes->table[lane] = straight;
    lanes->by_code[lane] = true;
    lanes->carry[lane] = MTMI_HALF_CODE;
    lanes->keep[lane] = 0;
    mtmi_lane_send(lanes, lane, code);
}

uint8_t mtmi_dither_period(double low, double high, double refresh_hz)
{
    double percent = high > low ? 100 * (high - low) / (high + low) : 0;
    double slowest_hz = percent / 0.025;

    if (slowest_hz > 90)
        slowest_hz = fmin(1250, fmax(90, percent / 0.08));
    double period = slowest_hz > 0 ? floor(refresh_hz / slowest_hz) : PERIOD_MAX;
    return (uint8_t)(period < PERIOD_MAX ? period : PERIOD_MAX);
}
