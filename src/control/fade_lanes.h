/* SPDX-License-Identifier: MIT */
/* Lanes: every channel of a rig side by side, moved one frame on by a few additions each. */
#ifndef METAMER_CONTROL_FADE_LANES_H
#define METAMER_CONTROL_FADE_LANES_H

#include <metamer/base.h>

/** One code, in the fixed point of position: 32 bits before and 32 behind the point. */
#define MTMI_ONE_CODE ((int64_t)1 << 32)
/** What is added before rounding to the nearest code: half of one, in 16 bits behind the point. */
#define MTMI_HALF_CODE ((uint32_t)0x8000)

/** Channels of a rig, 16-bit ones first. Position p moves by d and d by dd at each frame, so that a
 *  channel runs along a parabola until it is given another. */
typedef struct mtmi_lanes {
    size_t count, wide; /* wide: of them are 16-bit */
    int64_t *p, *d, *dd;
    uint32_t *carry; /* 16-bit channels: what rounding has left over, to be given at the next */
    uint16_t *code;  /* what is sent */
    uint32_t *coarse, *fine; /* places in slots */
    const uint8_t **period;  /* 8-bit channels: frames that dither may take, by code; or NULL */
    uint8_t *slots;          /* slot_count, and one for what has no place */
    size_t slot_count;
} mtmi_lanes;

/** Makes room; all is 0 and sent nowhere. mtmi_lanes_free it also after a failure. */
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
void mtmi_advance_narrow(mtmi_lanes *lanes, bool dither, uint64_t frame);

/** Puts a lane at a whole code and leaves it there. */
void mtmi_lane_rest(mtmi_lanes *lanes, size_t lane, uint16_t code);

/**
 * How many frames a dither between code and code + 1 may take, 0 or 1 for none. The light's
 * modulation in percent must be at most 0.025 times the frequency in hertz below 90 Hz, 0.08 times
 * above, and may be any above 1250 Hz: the low-risk limits of IEEE Std 1789-2015 (from memory).
 * low and high are the light of the two codes.
 */
uint8_t mtmi_dither_period(double low, double high, double refresh_hz);

#endif
