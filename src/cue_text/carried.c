/* SPDX-License-Identifier: MIT */
/* The channel list of cue text: what each channel carries, as remarks, which every reader skips. */
#include "cue_text/cue_text.h"

#include "fixture/slot.h"

#include <metamer/codes.h>

#include <stdio.h>
#include <stdlib.h>

/* Room for a line before it is cut: a name, and what a slot is called. */
#define LINE_ROOM 1000

/* One channel: which slot of which unit. */
struct carried {
    unsigned channel;
    const mtm_unit *unit;
    size_t slot; /* of its mode */
};

static int by_channel(const void *a, const void *b)
{
    const struct carried *first = a;
    const struct carried *second = b;

    return (first->channel > second->channel) - (first->channel < second->channel);
}

/* The channel that the patch has for a slot of a unit; 0 for none. */
static unsigned channel_of(const mtm_cue_sheet *sheet, const mtm_unit *unit, size_t slot)
{
    long dimmer = (unit->universe - 1L) * MTM_ADDRESS_MAX + unit->address + (long)slot;

    return dimmer <= MTM_CUE_DIMMER_MAX ? sheet->patch_of[dimmer].channel : 0;
}

static void add_line(const struct carried *at, mtmi_text *text, size_t *changed)
{
    const mtm_mode *mode = at->unit->mode;
    const mtm_slot *slot = &mode->slots[at->slot];
    struct mtmi_carried carried = mtmi_slot_carries(slot);
    const char *mark = carried.channel != MTMI_NO_CHANNEL ? mtmi_byte_mark(carried.byte) : "";
    char place[24];
    char line[LINE_ROOM];
    char kept[MTM_CUE_LINE_MAX + 1];

    (void)snprintf(place, sizeof place, "%d/%d", at->unit->universe,
                   at->unit->address + (int)at->slot);
    (void)snprintf(line, sizeof line, "%s%s%s of %s",
                   carried.channel == MTMI_NO_CHANNEL
                       ? mtmi_slot_key(slot->role)
                       : mtmi_channel_name(at->unit->fixture, mode, carried.channel),
                   mark[0] != '\0' ? " " : "", mark + (mark[0] != '\0'), at->unit->name);
    int head = snprintf(kept, sizeof kept, "! %7u  %-9s  ", at->channel, place);
    mtmi_text_add(text, "%s", kept);
    *changed += mtmi_cue_to_ascii(line, MTM_CUE_LINE_MAX - (size_t)head, kept) ? 1 : 0;
    mtmi_text_add(text, "%s" MTMI_CUE_LINE_END, kept);
}

bool mtmi_cue_add_carried(const mtm_cue_sheet *sheet, const mtm_rig *rig, mtmi_text *text,
                          size_t *changed)
{
    size_t count = 0;
    struct carried *list = malloc(MTM_CUE_DIMMER_MAX * sizeof *list);

    if (list == NULL)
        return false;
    for (size_t u = 0; u < mtm_rig_unit_count(rig); u++) {
        const mtm_unit *unit = mtm_rig_unit(rig, u);
        if (unit->universe == 0 || unit->address == 0 || unit->follows >= 0)
            continue;
        for (size_t s = 0; s < unit->mode->slot_count && count < MTM_CUE_DIMMER_MAX; s++) {
            unsigned channel = channel_of(sheet, unit, s);
            if (channel > 0)
                list[count++] = (struct carried){channel, unit, s};
        }
    }
    qsort(list, count, sizeof *list, by_channel);
    if (count > 0)
        mtmi_text_add(text, "! Channel  Slot       Carries" MTMI_CUE_LINE_END);
    for (size_t i = 0; i < count; i++)
        add_line(&list[i], text, changed);
    free(list);
    return true;
}
