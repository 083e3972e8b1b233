/* SPDX-License-Identifier: MIT */
/* The channel list of a show as cue text: which channel is what of which unit, and its slot. */
#include "cli/cues/cues_out.h"
#include "cli/out/json.h"
#include "cli/out/slot_view.h"
#include "cli/out/text.h"

/* One channel. */
struct channel {
    unsigned number;
    const mtm_unit *unit;
    size_t slot; /* of its mode */
};

/* The channel of a slot; false where the unit's slots are not sent, or not written. */
static bool channel_of(const struct cues_read *read, size_t unit, size_t slot,
                       struct channel *channel)
{
    const mtm_unit *info = mtm_rig_unit(read->rig, unit);

    if (info->universe == 0 || info->address == 0 || info->follows >= 0 ||
        slot >= info->mode->slot_count)
        return false;
    long dimmer = (info->universe - 1L) * MTM_ADDRESS_MAX + info->address + (long)slot;
    *channel =
        (struct channel){mtm_cue_sheet_patch_of(read->sheet, (uint16_t)dimmer).channel, info, slot};
    return channel->number > 0;
}

/* The slot of a unit that has the channel with this number. */
static bool find_channel(const struct cues_read *read, size_t unit, unsigned number,
                         struct channel *channel)
{
    for (size_t s = 0; channel_of(read, unit, s, channel); s++) {
        if (channel->number == number)
            return true;
    }
    return false;
}

/* Calls put for each channel, unit after unit, the channels of each in their order. */
static void walk(const struct cues_read *read,
                 void (*put)(const struct channel *channel, const char *name, void *to), void *to)
{
    for (size_t u = 0; u < mtm_rig_unit_count(read->rig); u++) {
        struct channel channel;
        unsigned first = 0;
        for (size_t s = 0; channel_of(read, u, s, &channel); s++)
            first = s == 0 || channel.number < first ? channel.number : first;
        for (unsigned n = first; find_channel(read, u, n, &channel); n++) {
            char name[SLOT_NAME_ROOM];
            const mtm_mode *mode = channel.unit->mode;
            slot_name(channel.unit->fixture, mode, &mode->slots[channel.slot], ' ', name,
                      sizeof name);
            put(&channel, name, to);
        }
    }
}

static void put_row(const struct channel *channel, const char *name, void *to)
{
    char place[32];

    (void)snprintf(place, sizeof place, "%d/%d", channel->unit->universe,
                   channel->unit->address + (int)channel->slot);
    (void)fprintf(to, "%7u  %-10s  ", channel->number, place);
    text_put(channel->unit->name, 32, to);
    (void)fprintf(to, "  %s\n", name);
}

void cues_channels_table(const struct cues_read *read, FILE *out)
{
    (void)fprintf(out, "Channel  Slot        %-32s  Carries\n", "Unit");
    walk(read, put_row, out);
}

static void put_csv(const struct channel *channel, const char *name, void *to)
{
    (void)fprintf(to, "%u,%d,%d,", channel->number, channel->unit->universe,
                  channel->unit->address + (int)channel->slot);
    text_put_csv(channel->unit->name, to);
    (void)fputc(',', to);
    text_put_csv(name, to);
    (void)fputc('\n', to);
}

void cues_channels_csv(const struct cues_read *read, FILE *out)
{
    (void)fprintf(out, "channel,universe,slot,unit,carries\n");
    walk(read, put_csv, out);
}

static void add_object(const struct channel *channel, const char *name, void *to)
{
    cJSON *object = json_append_object(to);

    json_add_number(object, "channel", channel->number, 0);
    json_add_number(object, "universe", channel->unit->universe, 0);
    json_add_number(object, "slot", channel->unit->address + (double)channel->slot, 0);
    json_add_text(object, "unit", channel->unit->name);
    json_add_text(object, "carries", name);
}

cJSON *cues_channels_json(const struct cues_read *read)
{
    cJSON *root = cJSON_CreateObject();

    walk(read, add_object, json_add_array(root, "channels"));
    return root;
}
