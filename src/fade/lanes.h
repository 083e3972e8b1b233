/* SPDX-License-Identifier: MIT */
/* Lanes: every channel of a rig side by side, moved one frame on by a few additions each. */
#ifndef METAMER_FADE_LANES_H
#define METAMER_FADE_LANES_H

#include <metamer/base.h>

/** What is added before rounding to the nearest code: half of one, in 16 bits behind the point. */
#define MTMI_HALF_CODE ((uint32_t)0x8000)

/** Steps of a ladder in each doubling of level, and doublings from its end to half level. */
#define MTMI_RUNG_BITS 6
#define MTMI_OCTAVES 39

/** A place on a ladder: a code with 16 bits behind the point, and how far it is to the next. */
typedef struct mtmi_rung {
    uint32_t code, rise;
} mtmi_rung;

/**
 * A ladder is MTMI_RUNGS rungs: codes by level. The first half is for levels up to 1/2, from dark
 * upwards; the second for those above, from full downwards. In each, rungs are even in the bits of
 * a double that holds the level, or what it lacks to full: as fine at both ends as between, since
 * curves may be steep at either. Straight between; for curves that begin and end with up to the
 * third power that is off by less than 1/49000 of the light and of what it lacks; for 8 bits, where
 * light goes straight from code to code, by less than 1/250. Levels nearer to an end than 2^-40 are
 * that end.
 */
#define MTMI_HALF_LADDER ((MTMI_OCTAVES << MTMI_RUNG_BITS) + 1)
#define MTMI_RUNGS (2 * MTMI_HALF_LADDER)

/**
 * Channels of a rig, 16-bit ones first. A channel's level runs along a cubic of time, by adding d1
 * to p, d2 to d1 and d3 to d2 at each frame, until it is given another; its ladder makes codes of
 * it.
 */
typedef struct mtmi_lanes {
    size_t count, wide; /* wide: of them are 16-bit */
    double *p, *d1, *d2, *d3;
    const mtmi_rung **ladder;
    uint32_t *carry; /* 16-bit channels: what rounding has left over, to be given at the next */
    uint32_t *keep;  /* which bits of it are: 0xffff while a channel moves, else 0; of an 8-bit
                      * channel not 0 where somebody else chooses its code */
    uint16_t *code;  /* what is sent */
    uint32_t *coarse, *fine; /* places in slots */
    const uint8_t **period;  /* 8-bit channels: frames that dither may take, by code; or NULL */
    uint8_t *slots;          /* slot_count, and one for what has no place */
    size_t slot_count;
    bool dither; /* of 8-bit channels */
} mtmi_lanes;

/** Makes room; all is 0 and sent nowhere. mtmi_lanes_free it also after a failure. */
MTM_CHECKED mtm_result mtmi_lanes_create(mtmi_lanes *lanes, size_t count, size_t wide,
                                         size_t slot_count, mtm_error *error);
void mtmi_lanes_free(mtmi_lanes *lanes);

/** The code of a level on a ladder, 16 bits behind the point. */
uint32_t mtmi_ladder_code(const mtmi_rung *ladder, double level);

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

/** Leaves a lane at the code, on a straight ladder, until it is moved again. */
void mtmi_lane_rest(mtmi_lanes *lanes, size_t lane, const mtmi_rung *straight, uint16_t code);

/**
 * How many frames a dither between code and code + 1 may take, 0 or 1 for none. The light's
 * modulation in percent must be at most 0.025 times the frequency in hertz below 90 Hz, 0.08 times
 * above, and may be any above 1250 Hz: the low-risk limits of IEEE Std 1789-2015 (from memory).
 * low and high are the light of the two codes.
 */
uint8_t mtmi_dither_period(double low, double high, double refresh_hz);

#endif
