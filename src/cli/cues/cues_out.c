/* SPDX-License-Identifier: MIT */
/* Cues output: a line a cue and a line a remark, one object, or a row a level. */
#include "cli/cues/cues_out.h"

#include "cli/out/json.h"

#include <metamer/rig.h>

#include <math.h>

static const char *const type_names[] = {"cue", "group", "sub"};

/* "2.5", or "2" for whole numbers. */
static void number_text(uint32_t tenths, char *text, size_t room)
{
    if (tenths % 10 == 0)
        (void)snprintf(text, room, "%u", (unsigned)(tenths / 10));
    else
        (void)snprintf(text, room, "%u.%u", (unsigned)(tenths / 10), (unsigned)(tenths % 10));
}

static size_t count_levels(const mtm_cue_entry *entry)
{
    size_t count = 0;

    for (size_t p = 0; p < entry->part_count; p++)
        count += entry->part[p].level_count;
    return count;
}

/* "2.0", or "2.0/3.0" where what rises and what falls wait differently; "-" for none. */
static void wait_text(const mtm_cue_part *part, char *text, size_t room)
{
    if (!(part->up_wait_s > 0) && !(part->down_wait_s > 0))
        (void)snprintf(text, room, "-");
    else if (part->up_wait_s == part->down_wait_s)
        (void)snprintf(text, room, "%.1f s", part->up_wait_s);
    else
        (void)snprintf(text, room, "%.1f/%.1f s", part->up_wait_s, part->down_wait_s);
}

static void put_times(mtm_cue_type type, const mtm_cue_part *part, FILE *out)
{
    char wait[48];

    wait_text(part, wait, sizeof wait);
    if (type == MTM_CUE_GROUP)
        (void)fprintf(out, "%9s  %9s  %11s", "", "", "");
    else
        (void)fprintf(out, "%7.1f s  %7.1f s  %11s", part->up_s, part->down_s, wait);
}

/* Which cue comes next by itself, or instead of the next number. */
static void next_text(const mtm_cue_entry *entry, char *text, size_t room)
{
    char number[16];

    number_text(entry->link_tenths, number, sizeof number);
    if (entry->has_follow && entry->link_tenths != 0)
        (void)snprintf(text, room, "%s in %.1f s", number, entry->follow_s);
    else if (entry->has_follow)
        (void)snprintf(text, room, "in %.1f s", entry->follow_s);
    else
        (void)snprintf(text, room, "%s", entry->link_tenths != 0 ? number : "-");
}

/* A part of a cue, below it. */
static void put_part(const mtm_cue_entry *entry, const mtm_cue_part *part, FILE *out)
{
    (void)fprintf(out, "  part %6u  ", (unsigned)part->number);
    put_times(entry->type, part, out);
    (void)fprintf(out, "  %8zu", part->level_count);
    if (part->text != NULL)
        (void)fprintf(out, "  %5s  %-12s  %s", "", "", part->text);
    (void)fputc('\n', out);
}

static void put_entry(const mtm_cue_entry *entry, FILE *out)
{
    const char *text = entry->part[0].text;
    char number[16];
    char next[40];

    number_text(entry->number_tenths, number, sizeof number);
    next_text(entry, next, sizeof next);
    (void)fprintf(out, "%-5s  %6s  ", type_names[entry->type], number);
    put_times(entry->type, &entry->part[0], out);
    (void)fprintf(out, "  %8zu  %5zu  %-12s%s%s\n", count_levels(entry), entry->part_count - 1,
                  next, text != NULL ? "  " : "", text != NULL ? text : "");
    for (size_t p = 1; p < entry->part_count; p++)
        put_part(entry, &entry->part[p], out);
}

static void put_remarks(const mtm_cue_sheet *sheet, const char *path, FILE *out)
{
    size_t all = 0;

    for (int severity = MTM_CUE_NOTE; severity <= MTM_CUE_ERROR; severity++)
        all += mtm_cue_sheet_remarks_of(sheet, (mtm_cue_severity)severity);
    for (size_t i = 0; i < mtm_cue_sheet_remark_count(sheet); i++) {
        mtm_cue_remark remark = mtm_cue_sheet_remark(sheet, i);
        (void)fprintf(out, "%s:%zu: %s: %s: %s\n", path, remark.line,
                      mtm_cue_severity_name(remark.severity), remark.code, remark.text);
    }
    if (all > mtm_cue_sheet_remark_count(sheet))
        (void)fprintf(out, "and %zu more remarks\n", all - mtm_cue_sheet_remark_count(sheet));
}

static void write_table(const void *data, FILE *out)
{
    const struct cues_read *read = data;
    const mtm_cue_sheet *sheet = read->sheet;

    if (read->rig != NULL) {
        cues_channels_table(read, out);
        return;
    }
    (void)fprintf(out, "%-5s  %6s  %9s  %9s  %11s  %8s  %5s  %-12s  %s\n", "kind", "number", "up",
                  "down", "wait", "channels", "parts", "next", "text");
    for (size_t i = 0; i < mtm_cue_sheet_count(sheet); i++)
        put_entry(mtm_cue_sheet_at(sheet, i), out);
    (void)fprintf(out, "%zu slots are patched\n", mtm_cue_sheet_patch_count(sheet));
    put_remarks(sheet, read->path, out);
}

static cJSON *part_object(const mtm_cue_part *part)
{
    cJSON *object = cJSON_CreateObject();
    cJSON *levels = NULL;

    json_add_number(object, "part", part->number, 0);
    json_add_text(object, "text", part->text);
    json_add_number(object, "up_s", part->up_s, 1);
    json_add_number(object, "up_wait_s", part->up_wait_s, 1);
    json_add_number(object, "down_s", part->down_s, 1);
    json_add_number(object, "down_wait_s", part->down_wait_s, 1);
    levels = json_add_array(object, "levels");
    for (size_t i = 0; i < part->level_count; i++) {
        cJSON *pair = cJSON_CreateArray();
        json_append_number(pair, part->level[i].channel, 0);
        json_append_number(pair, part->level[i].level, 0);
        json_append(levels, pair);
    }
    return object;
}

static cJSON *entry_object(const mtm_cue_entry *entry)
{
    cJSON *object = cJSON_CreateObject();
    cJSON *parts = NULL;

    json_add_text(object, "kind", type_names[entry->type]);
    json_add_number(object, "number", entry->number_tenths / 10.0, 1);
    json_add_number(object, "follow_s", entry->has_follow ? entry->follow_s : NAN, 1);
    json_add_number(object, "link", entry->link_tenths != 0 ? entry->link_tenths / 10.0 : NAN, 1);
    parts = json_add_array(object, "parts");
    for (size_t p = 0; p < entry->part_count; p++)
        json_append(parts, part_object(&entry->part[p]));
    return object;
}

static void add_patch(const mtm_cue_sheet *sheet, cJSON *list)
{
    for (unsigned dimmer = 1; dimmer <= MTM_CUE_DIMMER_MAX; dimmer++) {
        mtm_cue_patch patch = mtm_cue_sheet_patch_of(sheet, (uint16_t)dimmer);
        if (patch.channel == 0)
            continue;
        cJSON *object = json_append_object(list);
        json_add_number(object, "channel", patch.channel, 0);
        unsigned universe = (dimmer - 1) / MTM_ADDRESS_MAX + 1;
        unsigned slot = (dimmer - 1) % MTM_ADDRESS_MAX + 1;
        json_add_number(object, "universe", universe, 0);
        json_add_number(object, "slot", slot, 0);
        json_add_number(object, "scale", patch.level, 0);
    }
}

static void add_remarks(const mtm_cue_sheet *sheet, cJSON *list)
{
    for (size_t i = 0; i < mtm_cue_sheet_remark_count(sheet); i++) {
        mtm_cue_remark remark = mtm_cue_sheet_remark(sheet, i);
        cJSON *object = json_append_object(list);
        json_add_number(object, "line", (double)remark.line, 0);
        json_add_text(object, "severity", mtm_cue_severity_name(remark.severity));
        json_add_text(object, "code", remark.code);
        json_add_text(object, "text", remark.text);
    }
}

static cJSON *write_json(const void *data)
{
    const struct cues_read *read = data;

    if (read->rig != NULL)
        return cues_channels_json(read);
    const mtm_cue_sheet *sheet = read->sheet;
    cJSON *root = cJSON_CreateObject();
    cJSON *cues = json_add_array(root, "cues");

    json_add_text(root, "file", read->path);
    json_add_text(root, "manufacturer", mtm_cue_sheet_manufacturer(sheet));
    json_add_text(root, "console", mtm_cue_sheet_console(sheet));
    for (size_t i = 0; i < mtm_cue_sheet_count(sheet); i++)
        json_append(cues, entry_object(mtm_cue_sheet_at(sheet, i)));
    add_patch(sheet, json_add_array(root, "patch"));
    add_remarks(sheet, json_add_array(root, "remarks"));
    return root;
}

static void write_csv(const void *data, FILE *out)
{
    const struct cues_read *read = data;
    const mtm_cue_sheet *sheet = read->sheet;

    if (read->rig != NULL) {
        cues_channels_csv(read, out);
        return;
    }
    (void)fprintf(out, "kind,number,part,channel,level\n");
    for (size_t i = 0; i < mtm_cue_sheet_count(sheet); i++) {
        const mtm_cue_entry *entry = mtm_cue_sheet_at(sheet, i);
        char number[16];
        number_text(entry->number_tenths, number, sizeof number);
        for (size_t p = 0; p < entry->part_count; p++) {
            for (size_t l = 0; l < entry->part[p].level_count; l++)
                (void)fprintf(out, "%s,%s,%u,%u,%u\n", type_names[entry->type], number,
                              (unsigned)entry->part[p].number,
                              (unsigned)entry->part[p].level[l].channel,
                              (unsigned)entry->part[p].level[l].level);
        }
    }
}

const struct writer cues_writers[] = {
    WRITER_TABLE(write_table), WRITER_JSON(write_json), WRITER_CSV(write_csv), {0}};
