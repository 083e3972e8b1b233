/* SPDX-License-Identifier: MIT */
/* Slot view: the channels of a mode under their names, and the ways to show what they are sent. */
#include "cli/out/slot_view.h"

#include "fixture/slot.h"

void slot_name(const mtm_fixture *fixture, const mtm_mode *mode, const mtm_slot *slot, char between,
               char *text, size_t room)
{
    struct mtmi_carried carried = mtmi_slot_carries(slot);

    if (carried.channel == MTMI_NO_CHANNEL)
        (void)snprintf(text, room, "%s", mtmi_slot_key(slot->role));
    else
        (void)snprintf(text, room, "%s%.*s%s", mtmi_channel_name(fixture, mode, carried.channel),
                       carried.byte > 0, &between,
                       carried.byte > 0 ? mtmi_byte_mark(carried.byte) + 1 : "");
}

bool slot_has_channel(const mtm_slot *slot)
{
    return mtmi_slot_carries(slot).channel != MTMI_NO_CHANNEL;
}

bool slot_is_dimmer(const mtm_slot *slot)
{
    return mtmi_slot_carries(slot).channel == MTMI_DIMMER_CHANNEL;
}

bool slot_is_shown(const struct slot_view *view, const mtm_slot *slot)
{
    return !view->by_channel || (slot_has_channel(slot) && mtmi_slot_carries(slot).byte == 0);
}

size_t slot_column_count(const struct slot_view *view, const mtm_mode *mode)
{
    size_t count = 0;

    for (size_t k = 0; k < mode->slot_count; k++)
        count += slot_is_shown(view, &mode->slots[k]);
    return count;
}

void slot_cell(const struct slot_view *view, const mtm_mode *mode, const mtm_codes *codes,
               size_t index, char text[SLOT_CELL_ROOM])
{
    size_t channel = mtmi_slot_carries(&mode->slots[index]).channel;
    uint8_t value[MTM_SLOTS_MAX];

    mtm_codes_to_slots(mode, codes, value);
    if (channel == MTMI_NO_CHANNEL) {
        view->put(value[index], 0, 1, text);
        return;
    }
    uint32_t most = mtmi_bits_most(mtmi_channel_bits(mode, channel));
    uint32_t code = channel == MTMI_DIMMER_CHANNEL ? codes->dimmer : codes->emitter[channel];
    view->put(value[index], code & most, most, text);
}

static void put_slot(uint8_t slot, uint32_t code, uint32_t most, char *text)
{
    (void)code;
    (void)most;
    (void)snprintf(text, SLOT_CELL_ROOM, "%d", slot);
}

static void put_hex(uint8_t slot, uint32_t code, uint32_t most, char *text)
{
    (void)code;
    (void)most;
    (void)snprintf(text, SLOT_CELL_ROOM, "%02X", slot);
}

static void put_code(uint8_t slot, uint32_t code, uint32_t most, char *text)
{
    (void)slot;
    (void)most;
    (void)snprintf(text, SLOT_CELL_ROOM, "%lu", (unsigned long)code);
}

/* With as many decimals as it takes for no other code to be meant. */
static void put_percent(uint8_t slot, uint32_t code, uint32_t most, char *text)
{
    int decimals = most > 0xffff ? 6 : most > 0xff ? 3 : 1;

    (void)slot;
    (void)snprintf(text, SLOT_CELL_ROOM, "%.*f", decimals, 100.0 * code / most);
}

const struct slot_view slot_views[] = {
    {"slots", "slot values", "slot", false, put_slot},
    {"codes", "codes", "code", true, put_code},
    {"percent", "per cent of the highest code", "percent", true, put_percent},
    {"hex", "slot values in hexadecimal", "hex", false, put_hex},
    {0},
};
