/* SPDX-License-Identifier: MIT */
/* Pick: which moving units stand for all, where only some can be looked at. */
#ifndef METAMER_FADE_PICK_H
#define METAMER_FADE_PICK_H

#include "fade/fader.h"

/** A unit that moves, for all that do the very same. */
typedef struct mtmi_pick {
    size_t unit;  /**< of the rig: the first of them */
    size_t alike; /**< how many they are */
    double worth; /**< how much it matters; set between the two functions */
} mtmi_pick;

/** Units that move (of those meant; NULL: all), one for all that do the same, in the rig's order.
 *  pick has room for all units, by_leader too, which is scratch. Returns their number. */
size_t mtmi_pick_gather(const mtm_fader *fader, const bool *meant, mtmi_pick *pick,
                        size_t *by_leader);

/** Brings at most so many to the front: those worth most, but first one of each fixture and mode.
 *  Returns their number. */
size_t mtmi_pick_choose(const mtm_rig *rig, mtmi_pick *pick, size_t count, size_t most);

#endif
