/* SPDX-License-Identifier: MIT */
/* Slots: what a unit is sent, and by emitter what that rests on, in every way of writing. */
#include "cli/out/slots.h"

#include "cli/out/json.h"
#include "cli/out/slot_view.h"

#include "fixture/slot.h"

#include <math.h>

void put_csv_slots(const mtm_unit *unit, const mtm_codes *codes, bool dimmer_apart, FILE *out)
{
    uint8_t slot[MTM_ADDRESS_MAX];

    mtm_codes_to_slots(unit->mode, codes, slot);
    for (size_t k = 0; k < unit->mode->slot_count; k++)
        if (dimmer_apart && slot_is_dimmer(&unit->mode->slots[k]))
            (void)fprintf(out, "%c-", k == 0 ? ',' : ' ');
        else
            (void)fprintf(out, "%c%d", k == 0 ? ',' : ' ', slot[k]);
}

void json_add_slots(cJSON *object, const mtm_unit *unit, const mtm_codes *codes)
{
    cJSON *slots = json_add_array(object, "slots");
    uint8_t slot[MTM_ADDRESS_MAX];

    mtm_codes_to_slots(unit->mode, codes, slot);
    for (size_t k = 0; k < unit->mode->slot_count; k++)
        json_append_number(slots, slot[k], 0);
}

void json_add_codes(cJSON *object, const mtm_unit *unit, const mtm_codes *codes, bool dimmer_apart)
{
    cJSON *made = json_add_object(object, "codes");

    if (unit->mode->dimmer_bits > 0)
        json_add_number(made, "dimmer", dimmer_apart ? (double)NAN : codes->dimmer, 0);
    for (size_t k = 0; k < mtmi_channel_count(unit->fixture, unit->mode); k++)
        json_add_number(made, mtmi_channel_name(unit->fixture, unit->mode, k), codes->emitter[k],
                        0);
}

void json_add_by_emitter(cJSON *object, const char *key, const mtm_fixture *fixture,
                         const double *value, int decimals)
{
    cJSON *made = json_add_object(object, key);

    if (mtm_fixture_mixes(fixture)) /* what its emitters do is not known */
        return;
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++)
        json_add_number(made, mtm_fixture_emitter(fixture, k)->name, value[k], decimals);
}
