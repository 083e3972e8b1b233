/* SPDX-License-Identifier: MIT */
/* Standing: what keeps a unit from giving what its codes say, read from its slots. */
#include "fixture/slot.h"
#include "unit/slots.h"

#include <stdio.h>

static uint32_t code_of(const mtm_codes *codes, size_t channel)
{
    return channel == MTMI_DIMMER_CHANNEL ? codes->dimmer : codes->emitter[channel];
}

static const mtm_code_range *range_at(const mtm_mode *mode, size_t channel, uint32_t code)
{
    for (size_t i = 0; i < mode->range_count; i++) {
        const mtm_code_range *range = &mode->ranges[i];
        if (mtmi_range_channel(range) == channel && code >= range->first && code <= range->last)
            return range;
    }
    return NULL;
}

/* How one slot stands. */
static mtm_standing stand(const mtm_mode *mode, const uint8_t *slot, size_t i,
                          const mtm_codes *codes)
{
    const mtm_slot *at = &mode->slots[i];
    struct mtmi_carried carried = mtmi_slot_carries(at);
    mtm_standing standing = {MTM_STANDING_GOOD, i, slot[i]};

    if (carried.channel <= MTMI_DIMMER_CHANNEL && carried.byte == 0) {
        standing.value = code_of(codes, carried.channel);
        if (range_at(mode, carried.channel, standing.value) != NULL)
            standing.type = MTM_STANDING_LEFT_ALONE;
    } else if (at->role == MTM_SLOT_HOLD && slot[i] != at->fixed) {
        standing.type = MTM_STANDING_OTHER_MODE;
    } else if (at->role == MTM_SLOT_OPEN && slot[i] != at->fixed) {
        if (slot[i] != at->dark)
            standing.type = MTM_STANDING_BETWEEN;
        else if (!mtmi_codes_are_out(mode, codes))
            standing.type = MTM_STANDING_SHUT;
    }
    return standing;
}

mtm_standing mtm_slots_standing(const mtm_mode *mode, const uint8_t *slot)
{
    mtm_standing found = {MTM_STANDING_GOOD, 0, 0};
    mtm_codes codes;

    if (mode == NULL || slot == NULL)
        return found;
    mtm_codes_from_slots(mode, slot, &codes);
    for (size_t i = 0; i < mode->slot_count; i++) {
        mtm_standing one = stand(mode, slot, i, &codes);
        if (one.type != MTM_STANDING_GOOD &&
            (found.type == MTM_STANDING_GOOD || one.type < found.type))
            found = one;
    }
    return found;
}

void mtm_standing_text(const mtm_fixture *fixture, const mtm_mode *mode,
                       const mtm_standing *standing, char *text, size_t room)
{
    if (text == NULL || room == 0)
        return;
    text[0] = '\0';
    if (fixture == NULL || mode == NULL || standing == NULL || standing->slot >= mode->slot_count)
        return;
    const mtm_slot *slot = &mode->slots[standing->slot];
    const size_t number = standing->slot + 1, channel = mtmi_slot_carries(slot).channel;
    const unsigned long value = standing->value;
    const mtm_code_range *range = range_at(mode, channel, standing->value);

    switch (standing->type) {
    case MTM_STANDING_GOOD:
        break;
    case MTM_STANDING_OTHER_MODE:
        (void)snprintf(
            text, room,
            "slot %zu stands at %lu, and the mode holds at %u: what it gives is not known", number,
            value, slot->fixed);
        break;
    case MTM_STANDING_LEFT_ALONE:
        if (range != NULL)
            (void)snprintf(text, room,
                           "%.60s stands at code %lu, one of %lu to %lu that do something else: "
                           "what it gives is not known",
                           mtmi_channel_name(fixture, mode, channel), value,
                           (unsigned long)range->first, (unsigned long)range->last);
        break;
    case MTM_STANDING_BETWEEN:
        (void)snprintf(text, room,
                       "slot %zu stands at %lu, neither open (%u) nor dark (%u): what it gives is "
                       "not known",
                       number, value, slot->fixed, slot->dark);
        break;
    case MTM_STANDING_SHUT:
        (void)snprintf(text, room, "slot %zu stands at %lu, dark", number, value);
        break;
    }
}
