/* SPDX-License-Identifier: MIT */
/* Put out: slots that say no light. */
#ifndef METAMER_STREAM_PUT_OUT_H
#define METAMER_STREAM_PUT_OUT_H

#include <metamer/frames.h>
#include <metamer/rig.h>

/** Puts out every unit of a rig that is meant (NULL: all): its dimmer and its emitters go to code
 * 0, its fixed slots to what they are stated to be. Slots of no unit stay as they are: nobody knows
 * what they do. */
void mtmi_put_out(const mtm_rig *rig, const bool *meant, const mtm_frame_layout *layout,
                  uint8_t *const *slots);

#endif
