/* SPDX-License-Identifier: MIT */
/* Codes to slots and back: coarse and fine bytes wherever the mode has them. */
#include <metamer/codes.h>

#include <string.h>

static uint8_t byte_of(uint16_t code, int bits, bool fine)
{
    return (uint8_t)(bits == 16 && !fine ? code >> 8 : code & 255);
}

static void put_byte(uint16_t *code, int bits, bool fine, uint8_t byte)
{
    *code = (uint16_t)(*code | (bits == 16 && !fine ? byte << 8 : byte));
}

void mtm_codes_to_slots(const mtm_mode *mode, const mtm_codes *codes, uint8_t *slot)
{
    if (mode == NULL || codes == NULL || slot == NULL)
        return;
    for (size_t i = 0; i < mode->slot_count; i++) {
        const mtm_slot *s = &mode->slots[i];
        switch (s->role) {
        case MTM_SLOT_FIXED:
            slot[i] = s->fixed;
            break;
        case MTM_SLOT_DIMMER:
        case MTM_SLOT_DIMMER_FINE:
            slot[i] = byte_of(codes->dimmer, mode->dimmer_bits, s->role == MTM_SLOT_DIMMER_FINE);
            break;
        case MTM_SLOT_EMITTER:
        case MTM_SLOT_EMITTER_FINE:
            if (s->emitter >= MTM_EMITTERS_MAX)
                break;
            slot[i] = byte_of(codes->emitter[s->emitter], mode->emitter_bits[s->emitter],
                              s->role == MTM_SLOT_EMITTER_FINE);
            break;
        }
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
        const mtm_slot *s = &mode->slots[i];
        switch (s->role) {
        case MTM_SLOT_FIXED:
            break;
        case MTM_SLOT_DIMMER:
        case MTM_SLOT_DIMMER_FINE:
            put_byte(&codes->dimmer, mode->dimmer_bits, s->role == MTM_SLOT_DIMMER_FINE, slot[i]);
            break;
        case MTM_SLOT_EMITTER:
        case MTM_SLOT_EMITTER_FINE:
            if (s->emitter >= MTM_EMITTERS_MAX)
                break;
            put_byte(&codes->emitter[s->emitter], mode->emitter_bits[s->emitter],
                     s->role == MTM_SLOT_EMITTER_FINE, slot[i]);
            break;
        }
    }
}
