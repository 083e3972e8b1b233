/* SPDX-License-Identifier: MIT */
/* Codes to slots and back: coarse, fine and ultra bytes wherever the mode has them. */
#include "unit/slots.h"

#include "fixture/slot.h"

#include <string.h>

static uint32_t *code_of(mtm_codes *codes, size_t channel)
{
    return channel == MTMI_DIMMER_CHANNEL ? &codes->dimmer : &codes->emitter[channel];
}

/* How far a byte stands from the right of its code. */
static int shift_of(const mtm_mode *mode, struct mtmi_carried carried)
{
    int shift = mtmi_channel_bits(mode, carried.channel) - 8 * (carried.byte + 1);

    return shift > 0 ? shift : 0;
}

bool mtmi_codes_are_out(const mtm_mode *mode, const mtm_codes *codes)
{
    bool lit = false;

    for (size_t k = 0; k < MTM_EMITTERS_MAX; k++)
        lit = lit || (mode->emitter_bits[k] > 0 && codes->emitter[k] > 0);
    return !lit || (mode->dimmer_bits > 0 && codes->dimmer == 0);
}

void mtm_codes_to_slots(const mtm_mode *mode, const mtm_codes *codes, uint8_t *slot)
{
    if (mode == NULL || codes == NULL || slot == NULL)
        return;
    mtm_codes sent = *codes;

    for (size_t i = 0; i < mode->slot_count; i++) {
        const mtm_slot *s = &mode->slots[i];
        struct mtmi_carried carried = mtmi_slot_carries(s);
        if (carried.channel == MTMI_NO_CHANNEL)
            slot[i] =
                s->role == MTM_SLOT_OPEN && mtmi_codes_are_out(mode, codes) ? s->dark : s->fixed;
        else if (carried.channel <= MTMI_DIMMER_CHANNEL)
            slot[i] = (uint8_t)(*code_of(&sent, carried.channel) >> shift_of(mode, carried));
    }
}

void mtm_black_to_slots(const mtm_mode *mode, uint8_t *slot)
{
    mtm_codes_to_slots(mode, &(mtm_codes){0}, slot);
}

void mtm_codes_from_slots(const mtm_mode *mode, const uint8_t *slot, mtm_codes *codes)
{
    if (mode == NULL || slot == NULL || codes == NULL)
        return;
    memset(codes, 0, sizeof *codes);
    for (size_t i = 0; i < mode->slot_count; i++) {
        struct mtmi_carried carried = mtmi_slot_carries(&mode->slots[i]);
        if (carried.channel <= MTMI_DIMMER_CHANNEL)
            *code_of(codes, carried.channel) |= (uint32_t)slot[i] << shift_of(mode, carried);
    }
}
