/* SPDX-License-Identifier: MIT */
/* Lanes: every channel of a rig side by side, moved one frame on by a few additions each. */
#ifndef METAMER_FADE_LANES_H
#define METAMER_FADE_LANES_H

#include "base/pool.h"
#include "unit/code_table.h"

#include <metamer/base.h>

/**
 * Channels of a rig: 16-bit ones first, then 8-bit ones, then those that need care: of 24 bits, or
 * with codes that are left alone. A channel's level runs along a cubic of time, by adding d1
 * to p, d2 to d1 and d3 to d2 at each frame, until it is given another; its table makes codes of
 * it.
 */
typedef struct mtmi_lanes {
    size_t count, wide; /* wide: of them are 16-bit */
    size_t narrow_end;  /* from here on they need care */
    double *p, *d1, *d2, *d3;
    const struct mtmi_code_step **table;
    uint32_t *carry; /* 16-bit channels: what rounding has left over, to be given at the next */
    uint32_t *keep;  /* which bits of it are: 0xffff while a channel moves, else 0; of an 8-bit
                      * channel not 0 where somebody else chooses its code */
    uint32_t *code;  /* what is sent */
    uint32_t *coarse, *fine, *ultra; /* indices of slots */
    const struct mtmi_table **own;   /* of those that need care: asked exactly */
    bool *by_code;                   /* of those: levels are codes over the highest */
    const uint8_t **period; /* 8-bit channels: frames that dither may take, by code; or NULL */
    uint8_t *slots;         /* slot_count, and one for what has no slot */
    size_t slot_count;
    bool dither;    /* of 8-bit channels */
    mtmi_pool pool; /* of all arrays */
} mtmi_lanes;

/** Makes room; all is 0 and sent nowhere; none needs care until narrow_end is set lower and own is
 *  given. mtmi_lanes_free it also after a failure. */
MTM_CHECKED mtm_result mtmi_lanes_create(mtmi_lanes *lanes, size_t count, size_t wide,
                                         size_t slot_count, mtm_error *error);
void mtmi_lanes_free(mtmi_lanes *lanes);

/** Moves lanes first..last-1, all of them 16-bit, one frame on: the code sent is that of the
 *  position and of what rounding left over. */
typedef void (*mtmi_advance)(mtmi_lanes *lanes, size_t first, size_t last);

/** Portable C. */
void mtmi_advance_portable(mtmi_lanes *lanes, size_t first, size_t last);
/** The fastest that this processor runs; the codes are the same. */
mtmi_advance mtmi_advance_best(void);

/** Moves the 8-bit lanes one frame on: to the nearest code; dithered if asked for and where the
 *  lane's periods allow it. */
void mtmi_advance_narrow(mtmi_lanes *lanes, uint64_t frame);

/** Moves the lanes that need care one frame on: to the nearest code that is not left alone. */
void mtmi_advance_careful(mtmi_lanes *lanes);

/** Sends a code on a lane from now on. */
void mtmi_lane_send(mtmi_lanes *lanes, size_t lane, uint32_t code);

/** Leaves a lane at the code, with a straight table, until it is moved again. */
void mtmi_lane_rest(mtmi_lanes *lanes, size_t lane, const struct mtmi_code_step *straight,
                    uint32_t code);

/**
 * How many frames a dither between code and code + 1 may take, 0 or 1 for none. The light's
 * modulation in percent must be at most 0.025 times the frequency in hertz below 90 Hz, 0.08 times
 * above, and may be any from 1250 Hz: the low-risk limits of IEEE Std 1789-2015, as open programs
 * that rate flicker by it agree.
 * low and high are the light of the two codes.
 */
uint8_t mtmi_dither_period(double low, double high, double refresh_hz);

#endif
