/* SPDX-License-Identifier: MIT */
/* Slot view: the channels of a mode under their names, and the ways to show what they are sent. */
#ifndef METAMER_CLI_OUT_SLOT_VIEW_H
#define METAMER_CLI_OUT_SLOT_VIEW_H

#include "cli/args/args.h"

#include <metamer/codes.h>
#include <metamer/rig.h>

/** Room for the name of a slot. */
#define SLOT_NAME_ROOM 420
/** Room for a value of a slot or channel. */
#define SLOT_CELL_ROOM 24

/** "red", "red fine", "dimmer": what a slot carries, between being what stands before "fine";
 *  the key of the file ("fixed") for a slot that belongs to no channel. */
void slot_name(const mtm_fixture *fixture, const mtm_mode *mode, const mtm_slot *slot, char between,
               char *text, size_t room);
/** True if a slot belongs to a channel: the dimmer, or an emitter. */
bool slot_has_channel(const mtm_slot *slot);

/** One way to show what a unit is sent. A table of them ends with a NULL name. */
struct slot_view {
    const char *name;
    const char *title; /**< "slot values": what the figures are */
    const char *key;   /**< before a channel's name in CSV: "slot" */
    bool by_channel;   /**< one figure a channel, coarse and fine as one; otherwise one a slot */
    /** A slot's value, and the code of its channel with its highest. */
    void (*put)(uint8_t slot, uint32_t code, uint32_t most, char *text);
};

/** slots, codes, percent, hex. */
extern const struct slot_view slot_views[];
/** --as, and beside which options it makes no sense. */
#define OPTION_AS(against_)                                                                        \
    OPTION_CHOICE("as", "WAY", struct slot_view, slot_views,                                       \
                  "how values are shown under the names of the channels: slots, one a slot "       \
                  "(the default); codes, coarse and fine as one; percent of the highest code; "    \
                  "or hex, the slots in hexadecimal",                                              \
                  .against = (against_))

/** True if a slot carries the dimmer. */
bool slot_is_dimmer(const mtm_slot *slot);
/** True if the view has a column for a slot of a mode. */
bool slot_is_shown(const struct slot_view *view, const mtm_slot *slot);
/** Columns that a view has for a mode. */
size_t slot_column_count(const struct slot_view *view, const mtm_mode *mode);
/** The figure for slot number index. */
void slot_cell(const struct slot_view *view, const mtm_mode *mode, const mtm_codes *codes,
               size_t index, char text[SLOT_CELL_ROOM]);

#endif
