/* SPDX-License-Identifier: MIT */
/* Choice of codes: those of a unit's 8-bit channels, together, by the colour that they make. */
#ifndef METAMER_FADE_CHOOSE_H
#define METAMER_FADE_CHOOSE_H

#include "fade/fade.h"
#include "unit/code_cost.h"

/** What a unit is to give at a frame, and what it sent before. */
typedef struct mtmi_wish {
    double level[MTM_EMITTERS_MAX]; /* light of each emitter, behind the dimmer */
    double dimmer;                  /* about where the dimmer is to be; not 0 where there is none */
    bool guided; /* of the dimmer, which has 8 bits, the codes about that are tried; else it has
                  * the nearest, and the emitters are chosen as if it were there exactly */
    const uint32_t *before;        /* codes by channel; NULL: none */
    double last[MTM_EMITTERS_MAX]; /* what level was when they were sent */
    double last_dimmer;            /* and dimmer */
    /* which way the light of each emitter and, last, the dimmer goes: below, at or above 0. With
     * codes before, none goes back against that, but for emitters where the dimmer steps. */
    double direction[MTMI_CHANNELS_MAX];
} mtmi_wish;

/**
 * Chooses codes. Of 16-bit channels they are the nearest, so only of use where the dimmer is
 * guided: then they, too, make up for what it cannot do.
 * @param code one a channel
 */
void mtmi_choose_codes(const mtmi_kind *kind, const mtmi_wish *wish, uint32_t *code);

/** The codes about a level, both the same if it is a code's own, within same. Returns its position,
 *  16 bits behind the point. */
uint32_t mtmi_codes_about(const mtmi_kind *kind, size_t channel, double level, double same,
                          uint32_t *low, uint32_t *high);
/** Keeps low..high on the side of before that the direction leads to: down, none or up. */
void mtmi_limit_direction(double direction, uint32_t before, uint32_t *low, uint32_t *high);

#endif
