/* SPDX-License-Identifier: MIT */
/* Cue text: the sheet of cues, groups, submasters and patch. */
#include "cue_text/cue_text.h"

#include <metamer/rig.h>

#include "base/error.h"
#include "base/grow.h"

#include <stdlib.h>
#include <string.h>

mtm_result mtm_cue_sheet_create(mtm_cue_sheet **out, mtm_error *error)
{
    if (out == NULL)
        return mtmi_fail(error, MTM_INVALID, "a place for the sheet is needed");
    mtm_cue_sheet *sheet = calloc(1, sizeof *sheet);

    if (sheet == NULL)
        return mtmi_fail_memory(error);
    *out = sheet;
    return MTM_OK;
}

static void cue_free(mtm_cue_entry *cue)
{
    for (size_t i = 0; cue != NULL && cue->part != NULL && i < cue->part_count; i++) {
        free((void *)(uintptr_t)cue->part[i].text);
        free((void *)(uintptr_t)cue->part[i].level);
    }
    if (cue != NULL)
        free((void *)(uintptr_t)cue->part);
    free(cue);
}

void mtm_cue_sheet_free(mtm_cue_sheet *sheet)
{
    if (sheet == NULL)
        return;
    for (size_t i = 0; i < sheet->count; i++)
        cue_free(sheet->cue[i]);
    free(sheet->cue);
    free(sheet->remark);
    free(sheet);
}

size_t mtmi_cue_find(const mtm_cue_sheet *sheet, mtm_cue_type type, uint32_t number_tenths,
                     bool *found)
{
    size_t low = 0;
    size_t high = sheet->count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const mtm_cue_entry *each = sheet->cue[middle];
        if (each->type < type || (each->type == type && each->number_tenths < number_tenths))
            low = middle + 1;
        else
            high = middle;
    }
    if (found != NULL)
        *found = low < sheet->count && sheet->cue[low]->type == type &&
                 sheet->cue[low]->number_tenths == number_tenths;
    return low;
}

static bool time_allowed(double seconds)
{
    return seconds >= 0 && seconds <= MTM_CUE_TIME_MAX_S;
}

static mtm_result check_levels(const mtm_cue_part *part, mtm_error *error)
{
    if (part->level_count > 0 && part->level == NULL)
        return mtmi_fail(error, MTM_INVALID, "%zu levels that are not there", part->level_count);
    for (size_t i = 0; i < part->level_count; i++) {
        if (part->level[i].channel == 0)
            return mtmi_fail(error, MTM_INVALID, "channel 0; allowed are 1 to %d",
                             MTM_CUE_CHANNEL_MAX);
        if (i > 0 && part->level[i].channel <= part->level[i - 1].channel)
            return mtmi_fail(error, MTM_INVALID, "channel %u after channel %u; they must rise",
                             (unsigned)part->level[i].channel,
                             (unsigned)part->level[i - 1].channel);
    }
    return MTM_OK;
}

static mtm_result check_part(const mtm_cue_entry *cue, size_t index, mtm_error *error)
{
    const mtm_cue_part *part = &cue->part[index];

    if (index == 0 ? part->number != 0 : part->number <= cue->part[index - 1].number)
        return mtmi_fail(error, MTM_INVALID,
                         "part %u as number %zu of a cue; the first is 0 and they rise",
                         (unsigned)part->number, index + 1);
    if (!time_allowed(part->up_s) || !time_allowed(part->up_wait_s) ||
        !time_allowed(part->down_s) || !time_allowed(part->down_wait_s))
        return mtmi_fail(error, MTM_INVALID, "a time of a cue is not from 0 to %.1f s",
                         MTM_CUE_TIME_MAX_S);
    return check_levels(part, error);
}

static mtm_result check_cue(const mtm_cue_entry *cue, mtm_error *error)
{
    if ((unsigned)cue->type > MTM_CUE_SUB)
        return mtmi_fail(error, MTM_INVALID, "no such kind of cue: %d", (int)cue->type);
    if (cue->number_tenths < 1 || cue->number_tenths > MTM_CUE_NUMBER_MAX)
        return mtmi_fail(error, MTM_INVALID, "cue %.1f; allowed are 0.1 to 9999.9",
                         cue->number_tenths / 10.0);
    if (cue->link_tenths > MTM_CUE_NUMBER_MAX)
        return mtmi_fail(error, MTM_INVALID, "a link to cue %.1f; allowed are 0.1 to 9999.9",
                         cue->link_tenths / 10.0);
    if (cue->has_follow && !time_allowed(cue->follow_s))
        return mtmi_fail(error, MTM_INVALID, "a follow-on time that is not from 0 to %.1f s",
                         MTM_CUE_TIME_MAX_S);
    if (cue->part_count < 1 || cue->part_count > 65536)
        return mtmi_fail(error, MTM_INVALID, "%zu parts; allowed are 1 to 65536", cue->part_count);
    if (cue->part == NULL)
        return mtmi_fail(error, MTM_INVALID, "a cue without its parts");
    if (cue->type != MTM_CUE_CUE && (cue->has_follow || cue->link_tenths != 0))
        return mtmi_fail(error, MTM_INVALID, "a group or submaster with a follow-on or a link");
    if (cue->type == MTM_CUE_SUB && cue->part_count > 1)
        return mtmi_fail(error, MTM_INVALID, "a submaster of %zu parts", cue->part_count);
    mtm_result result = MTM_OK;
    for (size_t i = 0; result == MTM_OK && i < cue->part_count; i++)
        result = check_part(cue, i, error);
    return result;
}

static char *copy_text(const char *text)
{
    size_t room = strlen(text) + 1;
    char *copy = malloc(room);

    if (copy != NULL)
        memcpy(copy, text, room);
    return copy;
}

/* What could not be copied is NULL, and told. */
static bool copy_part(const mtm_cue_part *from, mtm_cue_part *to)
{
    mtm_cue_level *level = NULL;
    char *text = NULL;

    *to = *from;
    to->level = NULL;
    to->text = NULL;
    if (from->text != NULL) {
        text = copy_text(from->text);
        to->text = text;
        if (text == NULL)
            return false;
    }
    if (from->level_count == 0)
        return true;
    level = malloc(from->level_count * sizeof *level);
    to->level = level;
    if (level == NULL)
        return false;
    memcpy(level, from->level, from->level_count * sizeof *level);
    return true;
}

/* A cue with all it points to; NULL if out of memory. */
static mtm_cue_entry *copy_cue(const mtm_cue_entry *from)
{
    mtm_cue_entry *cue = malloc(sizeof *cue);
    mtm_cue_part *part = calloc(from->part_count, sizeof *part);
    bool good = cue != NULL && part != NULL;

    if (!good) {
        free(cue);
        free(part);
        return NULL;
    }
    *cue = *from;
    cue->part = part;
    for (size_t i = 0; good && i < from->part_count; i++)
        good = copy_part(&from->part[i], &part[i]);
    if (!good) {
        cue_free(cue);
        return NULL;
    }
    return cue;
}

static bool reserve(mtm_cue_sheet *sheet)
{
    /* NOLINTNEXTLINE(bugprone-sizeof-expression): an array of pointers is meant */
    mtm_cue_entry **cue = mtmi_grown(sheet->cue, sheet->count, &sheet->capacity, sizeof *cue);

    if (cue == NULL)
        return false;
    sheet->cue = cue;
    return true;
}

mtm_result mtm_cue_sheet_add(mtm_cue_sheet *sheet, const mtm_cue_entry *cue, mtm_error *error)
{
    if (sheet == NULL || cue == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sheet and a cue are needed");
    bool found = false;
    mtm_result result = check_cue(cue, error);

    if (result != MTM_OK)
        return result;
    (void)mtmi_cue_find(sheet, cue->type, cue->number_tenths, &found);
    if (!found && sheet->count == MTM_CUE_COUNT_MAX)
        return mtmi_fail(error, MTM_LIMIT,
                         "more than %d cues, groups and submasters; split the text",
                         MTM_CUE_COUNT_MAX);
    mtm_cue_entry *copy = copy_cue(cue);
    if (copy == NULL || !reserve(sheet)) {
        cue_free(copy);
        return mtmi_fail_memory(error);
    }
    size_t at = mtmi_cue_find(sheet, cue->type, cue->number_tenths, &found);
    if (found) {
        cue_free(sheet->cue[at]);
    } else {
        /* NOLINTNEXTLINE(bugprone-sizeof-expression): an array of pointers is meant */
        memmove(sheet->cue + at + 1, sheet->cue + at, (sheet->count - at) * sizeof *sheet->cue);
        sheet->count++;
    }
    sheet->cue[at] = copy;
    return MTM_OK;
}

void mtmi_cue_clear(mtm_cue_sheet *sheet, mtm_cue_type type)
{
    size_t kept = 0;

    for (size_t i = 0; i < sheet->count; i++) {
        if (sheet->cue[i]->type == type)
            cue_free(sheet->cue[i]);
        else
            sheet->cue[kept++] = sheet->cue[i];
    }
    sheet->count = kept;
}

mtm_result mtm_cue_sheet_patch(mtm_cue_sheet *sheet, mtm_cue_patch patch, mtm_error *error)
{
    if (sheet == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sheet is needed");
    if (patch.channel == 0)
        return mtmi_fail(error, MTM_INVALID, "a patch of channel 0; allowed are 1 to %d",
                         MTM_CUE_CHANNEL_MAX);
    if (patch.dimmer == 0)
        return mtmi_fail(error, MTM_INVALID, "a patch of dimmer 0; allowed are 1 to %d",
                         MTM_CUE_DIMMER_MAX);
    sheet->patch_count += sheet->patch_of[patch.dimmer].channel == 0 ? 1 : 0;
    sheet->patch_of[patch.dimmer] = patch;
    if (patch.dimmer > sheet->dimmer_most)
        sheet->dimmer_most = patch.dimmer;
    return MTM_OK;
}

void mtmi_cue_clear_patch(mtm_cue_sheet *sheet)
{
    memset(sheet->patch_of, 0, sizeof sheet->patch_of);
    sheet->patch_count = 0;
    sheet->dimmer_most = 0;
}

mtm_result mtm_cue_sheet_pair(mtm_cue_sheet *sheet, uint16_t coarse, mtm_error *error)
{
    if (sheet == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sheet is needed");
    if (coarse == 0 || coarse == MTM_CUE_CHANNEL_MAX)
        return mtmi_fail(error, MTM_INVALID,
                         "a pair that begins with channel %u; allowed are 1 to %d",
                         (unsigned)coarse, MTM_CUE_CHANNEL_MAX - 1);
    if (sheet->is_coarse[coarse - 1] || sheet->is_coarse[coarse + 1])
        return mtmi_fail(error, MTM_INVALID, "the pair at channel %u overlaps another",
                         (unsigned)coarse);
    sheet->is_coarse[coarse] = true;
    if (coarse > sheet->coarse_most)
        sheet->coarse_most = coarse;
    return MTM_OK;
}

mtm_result mtm_cue_sheet_set_maker(mtm_cue_sheet *sheet, const char *manufacturer,
                                   const char *console, mtm_error *error)
{
    if (sheet == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sheet is needed");
    const char *given[] = {manufacturer, console};
    char *into[] = {sheet->manufacturer, sheet->console};

    for (int i = 0; i < 2; i++) {
        if (given[i] != NULL && !mtmi_cue_identifier(given[i]))
            return mtmi_fail(error, MTM_INVALID, "\"%.40s\" is not 1 to 10 letters and digits",
                             given[i]);
    }
    for (int i = 0; i < 2; i++)
        memcpy(into[i], given[i] != NULL ? given[i] : "",
               given[i] != NULL ? strlen(given[i]) + 1 : 1);
    return MTM_OK;
}

mtm_result mtm_cue_sheet_set_defaults(mtm_cue_sheet *sheet, double up_s, double down_s,
                                      mtm_error *error)
{
    if (sheet == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sheet is needed");
    if (!time_allowed(up_s) || !time_allowed(down_s))
        return mtmi_fail(error, MTM_INVALID, "a default time that is not from 0 to %.1f s",
                         MTM_CUE_TIME_MAX_S);
    sheet->has_default_up = true;
    sheet->has_default_down = true;
    sheet->default_up_s = up_s;
    sheet->default_down_s = down_s;
    return MTM_OK;
}

size_t mtm_cue_sheet_count(const mtm_cue_sheet *sheet)
{
    return sheet != NULL ? sheet->count : 0;
}

const mtm_cue_entry *mtm_cue_sheet_at(const mtm_cue_sheet *sheet, size_t index)
{
    return sheet != NULL && index < sheet->count ? sheet->cue[index] : NULL;
}

size_t mtm_cue_sheet_patch_count(const mtm_cue_sheet *sheet)
{
    return sheet != NULL ? sheet->patch_count : 0;
}

mtm_cue_patch mtm_cue_sheet_patch_of(const mtm_cue_sheet *sheet, uint16_t dimmer)
{
    return sheet != NULL ? sheet->patch_of[dimmer] : (mtm_cue_patch){0};
}

const char *mtm_cue_sheet_manufacturer(const mtm_cue_sheet *sheet)
{
    return sheet != NULL ? sheet->manufacturer : NULL;
}

const char *mtm_cue_sheet_console(const mtm_cue_sheet *sheet)
{
    return sheet != NULL ? sheet->console : NULL;
}

unsigned mtmi_cue_channels(const mtm_cue_sheet *sheet, bool *used)
{
    unsigned most = 0;

    memset(used, 0, (MTM_CUE_CHANNEL_MAX + 1) * sizeof *used);
    for (size_t i = 1; i <= sheet->dimmer_most; i++) {
        unsigned channel = sheet->patch_of[i].channel;
        used[channel] = true;
        most = channel > most ? channel : most;
    }
    for (size_t i = 0; i < sheet->count && sheet->cue[i]->type == MTM_CUE_CUE; i++) {
        for (size_t p = 0; p < sheet->cue[i]->part_count; p++) {
            const mtm_cue_part *part = &sheet->cue[i]->part[p];
            for (size_t l = 0; l < part->level_count; l++) {
                used[part->level[l].channel] = true;
                most = part->level[l].channel > most ? part->level[l].channel : most;
            }
        }
    }
    used[0] = false;
    return most;
}

void mtmi_cue_apply(const mtm_cue_entry *cue, uint8_t *level)
{
    for (size_t p = 0; p < cue->part_count; p++) {
        for (size_t l = 0; l < cue->part[p].level_count; l++)
            level[cue->part[p].level[l].channel] = cue->part[p].level[l].level;
    }
}

mtm_result mtm_cue_sheet_levels(const mtm_cue_sheet *sheet, size_t index, mtm_cue_missing missing,
                                uint8_t *level, mtm_error *error)
{
    if (sheet == NULL || level == NULL)
        return mtmi_fail(error, MTM_INVALID, "a sheet and a place for the levels are needed");
    if (index >= sheet->count || sheet->cue[index]->type != MTM_CUE_CUE)
        return mtmi_fail(error, MTM_INVALID, "there is no cue at index %zu", index);
    if ((unsigned)missing > MTM_CUE_ZERO)
        return mtmi_fail(error, MTM_INVALID, "channels left out have no such rule: %d",
                         (int)missing);
    memset(level, 0, MTM_CUE_CHANNEL_MAX + 1);
    for (size_t i = missing == MTM_CUE_ZERO ? index : 0; i <= index; i++)
        mtmi_cue_apply(sheet->cue[i], level);
    return MTM_OK;
}

void mtm_cue_sheet_slots(const mtm_cue_sheet *sheet, const uint8_t *level, unsigned universe,
                         uint8_t slot[512])
{
    if (sheet == NULL || level == NULL || slot == NULL || universe < 1 || universe > 128)
        return;
    for (size_t i = 0; i < MTM_ADDRESS_MAX; i++) {
        size_t dimmer = (size_t)(universe - 1) * MTM_ADDRESS_MAX + i + 1;
        const mtm_cue_patch *patch = &sheet->patch_of[dimmer <= MTM_CUE_DIMMER_MAX ? dimmer : 0];
        if (patch->channel != 0)
            slot[i] = (uint8_t)((level[patch->channel] * patch->level + 127) / 255);
    }
}

void mtm_cue_level_pair(uint16_t channel, uint16_t value, mtm_cue_level level[2])
{
    if (level == NULL || channel < 1 || channel >= MTM_CUE_CHANNEL_MAX)
        return;
    level[0] = (mtm_cue_level){channel, (uint8_t)(value >> 8)};
    level[1] = (mtm_cue_level){(uint16_t)(channel + 1), (uint8_t)(value & 255)};
}

uint16_t mtm_cue_pair_value(const uint8_t *level, uint16_t channel)
{
    if (level == NULL || channel < 1 || channel >= MTM_CUE_CHANNEL_MAX)
        return 0;
    return (uint16_t)(level[channel] << 8 | level[channel + 1]);
}
