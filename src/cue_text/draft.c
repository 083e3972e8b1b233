/* SPDX-License-Identifier: MIT */
/* Cue text: the cue, group or submaster that the reader is in. */
#include "cue_text/draft.h"

#include "base/grow.h"

#include <stdlib.h>
#include <string.h>

static bool add_part(mtmi_draft *draft, uint16_t number)
{
    mtmi_draft_part *part = mtmi_grown(draft->part, draft->count, &draft->capacity, sizeof *part);

    if (part == NULL)
        return false;
    draft->part = part;
    draft->current = draft->count++;
    draft->part[draft->current] = (mtmi_draft_part){.part.number = number};
    draft->part_place[number] = (mtmi_draft_position){draft->serial, (uint32_t)draft->current, 0};
    return true;
}

bool mtmi_draft_open(mtmi_draft *draft, mtm_cue_type type, uint32_t number_tenths, uint16_t page,
                     size_t line)
{
    draft->line = line;
    draft->cue = (mtm_cue_entry){.type = type, .number_tenths = number_tenths, .page = page};
    draft->distinct = 0;
    draft->serial++;
    draft->count = 0;
    draft->open = add_part(draft, 0); /* without a part there is nothing to close */
    return draft->open;
}

bool mtmi_draft_part_open(mtmi_draft *draft, uint16_t number, bool *known)
{
    *known = draft->part_place[number].serial == draft->serial;
    if (!*known)
        return add_part(draft, number);
    draft->current = draft->part_place[number].part;
    return true;
}

bool mtmi_draft_has(const mtmi_draft *draft, uint16_t channel)
{
    return draft->position[channel].serial == draft->serial;
}

void mtmi_draft_remove(mtmi_draft *draft, uint16_t channel)
{
    mtmi_draft_position *position = &draft->position[channel];

    draft->part[position->part].level[position->index].channel = 0;
    position->serial = 0;
    draft->distinct--;
}

bool mtmi_draft_level(mtmi_draft *draft, mtm_cue_level level, bool *known)
{
    mtmi_draft_part *part = &draft->part[draft->current];
    mtmi_draft_position *position = &draft->position[level.channel];

    *known = mtmi_draft_has(draft, level.channel);
    if (*known && position->part == draft->current) {
        part->level[position->index].level = level.level;
        return true;
    }
    mtm_cue_level *levels = mtmi_grown(part->level, part->count, &part->capacity, sizeof *levels);
    if (levels == NULL)
        return false;
    part->level = levels;
    if (*known)
        mtmi_draft_remove(draft, level.channel); /* a channel belongs to one part: the last */
    *position =
        (mtmi_draft_position){draft->serial, (uint32_t)draft->current, (uint32_t)part->count};
    part->level[part->count++] = level;
    draft->distinct++;
    return true;
}

bool mtmi_draft_text(mtmi_draft *draft, const char *text, size_t length, bool *known)
{
    mtmi_draft_part *part = &draft->part[draft->current];
    char *copy = malloc(length + 1);

    if (copy == NULL)
        return false;
    memcpy(copy, text, length);
    copy[length] = '\0';
    *known = part->text != NULL;
    free(part->text);
    part->text = copy;
    return true;
}

static int by_channel(const void *left, const void *right)
{
    unsigned a = ((const mtm_cue_level *)left)->channel;
    unsigned b = ((const mtm_cue_level *)right)->channel;

    return (a > b) - (a < b);
}

static int by_number(const void *left, const void *right)
{
    unsigned a = ((const mtmi_draft_part *)left)->part.number;
    unsigned b = ((const mtmi_draft_part *)right)->part.number;

    return (a > b) - (a < b);
}

/* In order of channels; those taken out sort first and are passed over. */
static void sort_levels(mtmi_draft_part *part)
{
    size_t out = 0;

    if (part->count > 0)
        qsort(part->level, part->count, sizeof *part->level, by_channel);
    while (out < part->count && part->level[out].channel == 0)
        out++;
    part->part.level = part->count > out ? part->level + out : NULL;
    part->part.level_count = part->count - out;
    part->part.text = part->text;
}

static void fill_times(mtm_cue_part *part, const mtm_cue_part *instead)
{
    if (!part->has_up) {
        part->up_s = instead->up_s;
        part->up_wait_s = instead->up_wait_s;
    }
    if (!part->has_down) {
        part->down_s = instead->down_s;
        part->down_wait_s = instead->down_wait_s;
    }
}

const mtm_cue_entry *mtmi_draft_finish(mtmi_draft *draft, double default_up_s,
                                       double default_down_s)
{
    mtm_cue_part defaults = {.up_s = default_up_s, .down_s = default_down_s};
    mtm_cue_part *parts = NULL;

    qsort(draft->part, draft->count, sizeof *draft->part, by_number);
    parts = malloc(draft->count * sizeof *parts);
    if (parts == NULL)
        return NULL;
    for (size_t i = 0; i < draft->count; i++) {
        sort_levels(&draft->part[i]);
        parts[i] = draft->part[i].part;
        fill_times(&parts[i], i == 0 ? &defaults : &parts[0]);
    }
    free((void *)(uintptr_t)draft->cue.part);
    draft->cue.part = parts;
    draft->cue.part_count = draft->count;
    return &draft->cue;
}

void mtmi_draft_close(mtmi_draft *draft)
{
    for (size_t i = 0; i < draft->count; i++) {
        free(draft->part[i].text);
        free(draft->part[i].level);
    }
    free((void *)(uintptr_t)draft->cue.part);
    free(draft->part);
    draft->part = NULL;
    draft->cue.part = NULL;
    draft->count = 0;
    draft->capacity = 0;
    draft->open = false;
}
