/* SPDX-License-Identifier: MIT */
/* Cue export: a show as a console can read it, a sheet of cue text. */
#include <metamer/cue_export.h>

#include "cue_text/numbers.h"

#include "fade/fader.h"

#include "base/error.h"
#include "base/pool.h"
#include "fixture/slot.h"

#include <metamer/codes.h>
#include <metamer/fade.h>
#include <metamer/linked.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* One channel: which slot of which unit. */
typedef struct unit_slot {
    size_t unit;
    size_t slot; /* of the unit's mode */
    uint16_t number;
} unit_slot;

/* Which part of a cue a unit is in. */
enum { OWN = 0, RISING = 1, FALLING = 2, PARTS = 3 };

typedef struct exporter {
    const mtm_show *show;
    const mtm_rig *rig;
    const mtm_cue_export_options *options;
    mtm_fader *fader;
    mtm_cue_sheet *sheet;
    size_t units;
    unit_slot *channel; /* numbers rise */
    size_t channels;
    uint32_t *owner; /* by number: the unit that has it, from 1; 0: none */
    size_t next;     /* the number of the next channel */
    mtm_look *look;
    bool *moved;
    double *light; /* of each unit, before the cue */
    int *part;     /* of each unit */
    uint8_t (*slot)[MTM_ADDRESS_MAX];
    mtm_cue_level *level[PARTS];
    size_t cue;   /* being linked */
    bool stopped; /* by whoever was told of the progress */
    mtmi_pool pool;
} exporter;

/* The first slot of a channel's byte that has no channel yet; slot_count where there is none. */
static size_t find_slot(const mtm_mode *mode, const bool *done, size_t channel, int byte)
{
    size_t i = 0;

    for (; i < mode->slot_count; i++) {
        struct mtmi_carried carried = mtmi_slot_carries(&mode->slots[i]);
        if (!done[i] && carried.channel == channel && carried.byte == byte)
            break;
    }
    return i;
}

static mtm_result add_channel(exporter *work, size_t unit, size_t slot, bool *done,
                              mtm_error *error)
{
    const mtm_unit *info = mtm_rig_unit(work->rig, unit);
    long dimmer = (info->universe - 1L) * MTM_ADDRESS_MAX + info->address + (long)slot;

    if (dimmer > MTM_CUE_DIMMER_MAX)
        return mtmi_fail(error, MTM_RANGE,
                         "unit %s: cue text counts slots and channels to %d, which is universe "
                         "128, slot 511",
                         info->name, MTM_CUE_DIMMER_MAX);
    done[slot] = true;
    work->channel[work->channels++] = (unit_slot){unit, slot, (uint16_t)work->next};
    mtm_cue_patch patch = {(uint16_t)work->next++, (uint16_t)dimmer, 255};
    return mtm_cue_sheet_patch(work->sheet, patch, error);
}

/* A parameter's coarse slot and, on the channels after it, the fine and the ultra one. Cue text has
 * pairs and nothing wider: the ultra byte is a channel of its own, which a fade moves by itself. */
static mtm_result add_parameter(exporter *work, size_t unit, size_t channel, bool *done,
                                mtm_error *error)
{
    const mtm_mode *mode = mtm_rig_unit(work->rig, unit)->mode;
    mtm_result result = MTM_OK;

    for (int byte = 0; result == MTM_OK && byte < MTMI_BYTES_MAX; byte++) {
        size_t slot = find_slot(mode, done, channel, byte);
        if (slot == mode->slot_count)
            break;
        if (byte == 1)
            result = mtm_cue_sheet_pair(work->sheet, (uint16_t)(work->next - 1), error);
        if (result == MTM_OK)
            result = add_channel(work, unit, slot, done, error);
    }
    return result;
}

static mtm_result add_unit(exporter *work, size_t unit, mtm_error *error)
{
    const mtm_unit *info = mtm_rig_unit(work->rig, unit);
    bool done[MTM_ADDRESS_MAX] = {false};

    mtm_result result = add_parameter(work, unit, MTMI_DIMMER_CHANNEL, done, error);
    for (size_t e = 0; result == MTM_OK && e < mtmi_channel_count(info->fixture, info->mode); e++)
        result = add_parameter(work, unit, e, done, error);
    for (size_t s = 0; result == MTM_OK && s < info->mode->slot_count; s++) {
        if (!done[s])
            result = add_channel(work, unit, s, done, error);
    }
    return result;
}

static mtm_result add_units(exporter *work, mtm_error *error)
{
    const bool *meant = work->options->meant;
    mtm_result result = mtmi_cue_number_units(work->rig, work->owner, error);

    for (work->next = 1; result == MTM_OK && work->next <= MTM_CUE_CHANNEL_MAX;) {
        uint32_t owner = work->owner[work->next];
        if (owner != 0 && (meant == NULL || meant[owner - 1]))
            result = add_unit(work, owner - 1, error); /* which counts on */
        else
            work->next++;
    }
    if (result == MTM_OK && work->channels == 0)
        return mtmi_fail(error, MTM_RANGE, "none of the units that are meant has an address");
    return result;
}

static mtm_result allocate(exporter *work, mtm_error *error)
{
    mtmi_pool *pool = &work->pool;

    work->units = mtm_rig_unit_count(work->rig);
    work->channel = mtmi_pool_take(pool, MTM_CUE_CHANNEL_MAX, sizeof *work->channel);
    work->owner = mtmi_pool_take(pool, MTM_CUE_CHANNEL_MAX + 1, sizeof *work->owner);
    work->look = mtmi_pool_take(pool, work->units, sizeof *work->look);
    work->moved = mtmi_pool_take(pool, work->units, sizeof *work->moved);
    work->light = mtmi_pool_take(pool, work->units, sizeof *work->light);
    work->part = mtmi_pool_take(pool, work->units, sizeof *work->part);
    work->slot = mtmi_pool_take(pool, work->units, sizeof *work->slot);
    for (int p = 0; p < PARTS; p++)
        work->level[p] = mtmi_pool_take(pool, MTM_CUE_CHANNEL_MAX, sizeof *work->level[p]);
    return pool->failed ? mtmi_fail_memory(error) : MTM_OK;
}

/* Where each unit stands after the cue, and in which part it gets there. */
static void take_units(exporter *work, const mtm_cue *cue, size_t index)
{
    bool split = !work->options->no_parts && cue->up_s != cue->down_s;

    mtm_show_apply(work->show, index, work->look, work->moved);
    for (size_t i = 0; i < work->units; i++) {
        const mtm_unit *unit = mtm_rig_unit(work->rig, i);
        mtm_fader_state state;
        if (!mtmi_cue_is_sent(unit))
            continue;
        mtm_fader_unit(work->fader, i, &state);
        mtm_codes_to_slots(unit->mode, &state.codes, work->slot[i]);
        bool falls = state.wanted.y < work->light[i];
        bool own = !split || !work->moved[i] || work->look[i].path == MTM_PATH_SLOTS;
        work->part[i] = own ? OWN : falls ? FALLING : RISING;
        work->light[i] = state.wanted.y;
    }
}

static mtm_cue_part part_of(const mtm_cue *cue, int which, size_t number)
{
    double up_s = which == FALLING ? cue->down_s : cue->up_s;
    double down_s = which == RISING ? cue->up_s : cue->down_s;

    return (mtm_cue_part){.number = (uint16_t)number,
                          .has_up = true,
                          .has_down = true,
                          .up_s = up_s,
                          .up_wait_s = cue->delay_s,
                          .down_s = down_s,
                          .down_wait_s = cue->delay_s};
}

static mtm_result add_cue(exporter *work, size_t index, mtm_error *error)
{
    const mtm_cue *cue = mtm_show_cue(work->show, index);
    mtm_cue_part part[PARTS];
    size_t count[PARTS] = {0};
    mtm_cue_entry entry = {.number_tenths = (uint32_t)lround(cue->number * 10),
                           .has_follow = cue->follow_s >= 0,
                           .follow_s = cue->follow_s >= 0 ? cue->follow_s : 0,
                           .part = part};

    take_units(work, cue, index);
    for (size_t c = 0; c < work->channels; c++) {
        const unit_slot *at = &work->channel[c];
        int p = work->part[at->unit];
        work->level[p][count[p]++] = (mtm_cue_level){at->number, work->slot[at->unit][at->slot]};
    }
    for (int p = 0; p < PARTS; p++) {
        if (p != OWN && count[p] == 0)
            continue;
        mtm_cue_part *made = &part[entry.part_count];
        *made = part_of(cue, p, entry.part_count++);
        made->level = work->level[p];
        made->level_count = count[p];
    }
    part[0].text = cue->text[0] != '\0' ? cue->text : NULL;
    return mtm_cue_sheet_add(work->sheet, &entry, error);
}

static size_t link_levels(const exporter *work, const mtm_linked *linked, size_t i)
{
    for (size_t u = 0; u < work->units; u++) {
        const mtm_unit *unit = mtm_rig_unit(work->rig, u);
        mtm_codes codes = mtm_linked_codes(linked, i, u);

        if (unit->universe != 0 && unit->address != 0)
            mtm_codes_to_slots(unit->mode, &codes, work->slot[u]);
    }
    for (size_t c = 0; c < work->channels; c++) {
        const unit_slot *at = &work->channel[c];
        work->level[OWN][c] = (mtm_cue_level){at->number, work->slot[at->unit][at->slot]};
    }
    return work->channels;
}

/* What jumps within a frame takes no time. */
static double link_time_s(const exporter *work, const mtm_linked *linked, size_t i)
{
    double time_s = mtm_linked_time_s(linked, i);

    return time_s * mtm_fader_layout(work->fader).rate_hz < 1.5 ? 0 : time_s;
}

/* Seconds from the start of a chain to that of its last cue. */
static double last_begins_s(const exporter *work, size_t index, const mtm_linked *linked)
{
    size_t count = mtm_linked_count(linked);
    double begins_s = count > 1 ? mtm_show_cue(work->show, index)->delay_s : 0;

    for (size_t i = 0; i + 1 < count; i++)
        begins_s += link_time_s(work, linked, i);
    return begins_s;
}

/* Whether the sheet has room for a chain: numbers before the next cue, and time before it. */
static mtm_result check_chain(const exporter *work, size_t index, const mtm_linked *linked,
                              mtm_error *error)
{
    const mtm_cue *cue = mtm_show_cue(work->show, index);
    size_t count = mtm_linked_count(linked);
    long first = lround(cue->number * 10);
    long next = MTM_CUE_NUMBER_MAX + 1;

    if (index + 1 < mtm_show_cue_count(work->show))
        next = lround(mtm_show_cue(work->show, index + 1)->number * 10);
    if (first + (long)count > next)
        return mtmi_fail(error, MTM_RANGE,
                         "cue %g needs %zu linked cues, but only %ld numbers are free before cue "
                         "%g; number the cues farther apart, or allow a larger tolerance",
                         cue->number, count, next - first, (double)next / 10);
    if (cue->follow_s >= 0 && cue->follow_s < last_begins_s(work, index, linked))
        return mtmi_fail(error, MTM_RANGE,
                         "cue %g is followed after %g s, amid its fade; a chain of linked cues "
                         "cannot be left before its last one",
                         cue->number, cue->follow_s);
    return MTM_OK;
}

/* One cue of a chain. began_s: when it starts, since the chain did. */
static mtm_result add_link(exporter *work, size_t index, const mtm_linked *linked, size_t i,
                           double began_s, mtm_error *error)
{
    const mtm_cue *cue = mtm_show_cue(work->show, index);
    size_t count = mtm_linked_count(linked);
    double time_s = link_time_s(work, linked, i);
    double wait_s = i == 0 ? cue->delay_s : 0;
    bool last = i + 1 == count;
    char text[80];
    mtm_cue_part part = {.has_up = true,
                         .has_down = true,
                         .up_s = time_s,
                         .down_s = time_s,
                         .up_wait_s = wait_s,
                         .down_wait_s = wait_s,
                         .level = work->level[OWN]};
    mtm_cue_entry entry = {.number_tenths = (uint32_t)(lround(cue->number * 10) + (long)i),
                           .has_follow = !last || cue->follow_s >= 0,
                           .follow_s = last ? cue->follow_s - began_s : wait_s + time_s,
                           .part = &part,
                           .part_count = 1};

    if (!entry.has_follow)
        entry.follow_s = 0;
    (void)snprintf(text, sizeof text, "%.50s%s(%zu of %zu)", cue->text,
                   cue->text[0] != '\0' ? " " : "", i + 1, count);
    part.text = count > 1 ? text : cue->text[0] != '\0' ? cue->text : NULL;
    part.level_count = link_levels(work, linked, i);
    return mtm_cue_sheet_add(work->sheet, &entry, error);
}

/* A chain is a part of the whole work: cue after cue. */
static bool tell_part(void *context, double part)
{
    exporter *work = context;
    const mtm_cue_export_options *options = work->options;

    work->stopped =
        options->progress != NULL &&
        !options->progress(options->progress_context,
                           ((double)work->cue + part) / (double)mtm_show_cue_count(work->show));
    return !work->stopped;
}

static mtm_result find_chain(exporter *work, size_t index, mtm_linked **linked, mtm_error *error)
{
    char cue_name[40];

    work->cue = index;
    mtm_result result = mtm_linked_create(work->fader, index, work->options->linked_tolerance,
                                          tell_part, work, linked, error);
    if (result != MTM_OK) {
        (void)snprintf(cue_name, sizeof cue_name, "cue %g",
                       mtm_show_cue(work->show, index)->number);
        mtmi_error_prefix(error, cue_name);
        return result;
    }
    return check_chain(work, index, *linked, error);
}

static mtm_result add_links(exporter *work, size_t index, const mtm_linked *linked,
                            mtm_error *error)
{
    double began_s = 0;
    mtm_result result = MTM_OK;

    for (size_t i = 0; result == MTM_OK && i < mtm_linked_count(linked); i++) {
        result = add_link(work, index, linked, i, began_s, error);
        began_s += link_time_s(work, linked, i);
        if (i == 0)
            began_s += mtm_show_cue(work->show, index)->delay_s;
    }
    return result;
}

static mtm_result add_plain(exporter *work, size_t index, mtm_error *error)
{
    mtm_result result = mtm_fader_set(work->fader, index, error);

    return result == MTM_OK ? add_cue(work, index, error) : result;
}

/* A cue as a chain whose straight fades keep to its transition; plain, with a remark, where there
 * is no such chain or no room for it: its look is right all the same. */
static mtm_result add_chain(exporter *work, size_t index, mtm_error *error)
{
    const mtm_cue_export_options *options = work->options;
    mtm_linked *linked = NULL;
    mtm_error reason = {""};
    mtm_result result = find_chain(work, index, &linked, &reason);

    if (result == MTM_OK) {
        result = add_links(work, index, linked, error);
        if (result == MTM_OK && options->linked != NULL)
            result = options->linked(options->linked_context, index, linked, work->fader, error);
    } else if ((result == MTM_RANGE || result == MTM_LIMIT) && !work->stopped) {
        result = add_plain(work, index, error);
        if (result == MTM_OK && options->remark != NULL)
            options->remark(options->remark_context, reason.text);
    } else if (error != NULL) {
        *error = reason;
    }
    mtm_linked_free(linked);
    return result;
}

static mtm_result fill(exporter *work, mtm_error *error)
{
    mtm_fader_options options = {.any_rate = true}; /* only what stands counts here */

    mtm_result result = allocate(work, error);
    if (result == MTM_OK)
        result = mtm_cue_sheet_create(&work->sheet, error);
    if (result == MTM_OK)
        result = mtm_cue_sheet_set_maker(work->sheet, "METAMER", NULL, error);
    if (result == MTM_OK)
        result = mtm_fader_create(work->show, &options, &work->fader, error);
    if (result == MTM_OK)
        result = mtmi_fader_has_slots(work->fader, error);
    if (result == MTM_OK)
        result = add_units(work, error);
    for (size_t i = 0; result == MTM_OK && i < mtm_show_cue_count(work->show); i++) {
        result = work->options->linked_tolerance > 0 ? add_chain(work, i, error)
                                                     : add_plain(work, i, error);
    }
    return result;
}

mtm_result mtm_cue_sheet_from_show(const mtm_show *show, const mtm_cue_export_options *options,
                                   mtm_cue_sheet **out, mtm_error *error)
{
    if (show == NULL || options == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a show, options and a place for the sheet are needed");
    if (!(options->linked_tolerance >= 0 && isfinite(options->linked_tolerance)))
        return mtmi_fail(error, MTM_INVALID, "a tolerance of %g; allowed is 0 (none) or above",
                         options->linked_tolerance);
    exporter work = {.show = show, .rig = mtm_show_rig(show), .options = options};
    mtm_result result = fill(&work, error);

    if (result == MTM_OK) {
        *out = work.sheet;
        work.sheet = NULL;
    }
    mtm_fader_free(work.fader);
    mtm_cue_sheet_free(work.sheet);
    mtmi_pool_free(&work.pool);
    return result;
}
