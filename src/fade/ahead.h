/* SPDX-License-Identifier: MIT */
/* Codes ahead: those of a unit without a dimmer, for some frames at once. */
#ifndef METAMER_FADE_AHEAD_H
#define METAMER_FADE_AHEAD_H

#include "fade/fade.h"

/** Frames that are looked at together, at most. */
#define MTMI_AHEAD 24

/** What a unit without a dimmer is to give at some frames, and what it sent before. */
typedef struct mtmi_stretch_wish {
    const uint32_t *before; /* codes by emitter, sent a frame ago */
    const uint32_t *end;    /* codes that the last of the frames has; NULL: what is best */
    size_t count;           /* frames, 1..MTMI_AHEAD */
    /* light of each emitter at each of them; first what it was to be a frame ago */
    double level[MTMI_AHEAD + 1][MTM_EMITTERS_MAX];
} mtmi_stretch_wish;

/**
 * Chooses the codes of all frames. No code goes against the direction of its emitter.
 * @param code by frame and emitter; those of 16 bits are not written
 */
void mtmi_choose_ahead(const mtmi_kind *kind, const mtmi_stretch_wish *wish,
                       uint32_t (*code)[MTM_EMITTERS_MAX]);

#endif
