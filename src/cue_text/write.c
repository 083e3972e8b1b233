/* SPDX-License-Identifier: MIT */
/* Cue text: the writer, which uses only what every receiver can be expected to read. */
#include "cue_text/cue_text.h"

#include "base/error.h"
#include "base/number.h"
#include "base/text.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct writer {
    const mtm_cue_sheet *sheet;
    const mtm_cue_write_options *options;
    mtmi_text text;
    mtm_cue_write_report report;
    uint16_t *channel; /* those that any cue or the patch uses, rising */
    size_t channel_count;
    uint8_t level[MTM_CUE_CHANNEL_MAX + 1]; /* as they stand */
    bool in_cue[MTM_CUE_CHANNEL_MAX + 1];
} writer;

/* "5", "7.5", "1:30", "1:02:03.4": tenths of a second only where there are some. */
static void add_time(writer *write, double seconds)
{
    unsigned long tenths = (unsigned long)floor(seconds * 10 + 0.5);
    unsigned long whole = tenths / 10;
    unsigned long hours = whole / 3600 < 99 ? whole / 3600 : 99;
    unsigned long minutes = (whole - hours * 3600) / 60;

    minutes = minutes < 99 ? minutes : 99;
    unsigned long left = whole - hours * 3600 - minutes * 60;
    write->report.times_rounded += fabs((double)tenths / 10 - seconds) > MTMI_NOISE ? 1 : 0;
    if (hours > 0)
        mtmi_text_add(&write->text, " %lu:%02lu:%02lu", hours, minutes, left);
    else if (minutes > 0)
        mtmi_text_add(&write->text, " %lu:%02lu", minutes, left);
    else
        mtmi_text_add(&write->text, " %lu", left);
    if (tenths % 10 != 0)
        mtmi_text_add(&write->text, ".%lu", tenths % 10);
}

bool mtmi_cue_to_ascii(const char *from, size_t most, char *to)
{
    size_t used = 0;
    bool changed = false;

    for (; mtmi_cue_is_delimiter(*from); from++)
        changed = true;
    for (; *from != '\0'; from++) {
        unsigned char c = (unsigned char)*from;
        if ((c & 0xc0) == 0x80)
            continue; /* the rest of a UTF-8 character */
        bool allowed = c >= 0x20 && c < 0x7f && c != '!';
        changed = changed || !allowed || used == most;
        if (used < most)
            to[used++] = allowed ? (char)c : c == '!' ? '.' : '?';
    }
    while (used > 0 && mtmi_cue_is_delimiter(to[used - 1])) {
        used--;
        changed = true;
    }
    to[used] = '\0';
    return changed;
}

static void add_text(writer *write, const char *indent, const char *text)
{
    char line[MTM_CUE_LINE_MAX + 1];

    if (text == NULL)
        return;
    size_t most = MTM_CUE_LINE_MAX - strlen(indent) - strlen("TEXT ");
    write->report.texts_changed += mtmi_cue_to_ascii(text, most, line) ? 1 : 0;
    if (line[0] != '\0')
        mtmi_text_add(&write->text, "%sTEXT %s" MTMI_CUE_LINE_END, indent, line);
}

static void add_times(writer *write, const char *indent, const char *keyword, double time_s,
                      double wait_s)
{
    mtmi_text_add(&write->text, "%s%s", indent, keyword);
    add_time(write, time_s);
    if (wait_s >= 0.05)
        add_time(write, wait_s);
    mtmi_text_add(&write->text, MTMI_CUE_LINE_END);
}

/* Lines that begin alike, filled up to 80 characters. */
typedef struct lines {
    const char *head;
    char line[MTM_CUE_LINE_MAX + 1];
    size_t used;
} lines;

static void end_line(writer *write, lines *out)
{
    if (out->used > 0)
        mtmi_text_add(&write->text, "%s%s" MTMI_CUE_LINE_END, out->head, out->line);
    out->used = 0;
}

__attribute__((format(printf, 3, 4))) static void add_words(writer *write, lines *out,
                                                            const char *format, ...)
{
    char words[24];
    va_list arguments;

    va_start(arguments, format);
    size_t length = (size_t)vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    if (strlen(out->head) + out->used + length > MTM_CUE_LINE_MAX)
        end_line(write, out);
    memcpy(out->line + out->used, words, length + 1);
    out->used += length;
}

static void add_chan(writer *write, lines *out, uint16_t channel, uint8_t level)
{
    bool fine = write->options->coarse_only && write->sheet->is_coarse[channel - 1];

    add_words(write, out, " %u@H%02X", (unsigned)channel, fine ? 0U : (unsigned)level);
}

/* The levels of a part, and in a cue's own those that no part mentions, in order of channels. */
static void add_levels(writer *write, const char *head, const mtm_cue_part *part, bool fill)
{
    lines out = {.head = head};
    size_t next = 0;

    for (size_t i = 0; fill && i < write->channel_count; i++) {
        uint16_t channel = write->channel[i];
        while (next < part->level_count && part->level[next].channel < channel) {
            add_chan(write, &out, part->level[next].channel, part->level[next].level);
            next++;
        }
        if (!write->in_cue[channel])
            add_chan(write, &out, channel, write->level[channel]);
    }
    for (; next < part->level_count; next++)
        add_chan(write, &out, part->level[next].channel, part->level[next].level);
    end_line(write, &out);
}

static void mark(writer *write, const mtm_cue_entry *cue, bool in)
{
    for (size_t p = 0; p < cue->part_count; p++) {
        for (size_t l = 0; l < cue->part[p].level_count; l++)
            write->in_cue[cue->part[p].level[l].channel] = in;
    }
}

static void add_number(writer *write, const char *keyword, uint32_t tenths)
{
    mtmi_text_add(&write->text, "%s %u", keyword, (unsigned)(tenths / 10));
    if (tenths % 10 != 0)
        mtmi_text_add(&write->text, ".%u", (unsigned)(tenths % 10));
    mtmi_text_add(&write->text, MTMI_CUE_LINE_END);
}

static void add_part(writer *write, const mtm_cue_entry *cue, size_t index, bool fill)
{
    const mtm_cue_part *part = &cue->part[index];
    const char *indent = index == 0 ? "  " : "    ";

    if (index > 0)
        mtmi_text_add(&write->text, "  PART %u" MTMI_CUE_LINE_END, (unsigned)part->number);
    add_text(write, indent, part->text);
    if (cue->type != MTM_CUE_GROUP && part->has_up)
        add_times(write, indent, "UP", part->up_s, part->up_wait_s);
    if (cue->type != MTM_CUE_GROUP && part->has_down)
        add_times(write, indent, "DOWN", part->down_s, part->down_wait_s);
    if (index == 0 && cue->has_follow)
        add_times(write, indent, "FOLLOWON", cue->follow_s, 0);
    if (index == 0 && cue->link_tenths != 0)
        add_number(write, "  LINK", cue->link_tenths);
    add_levels(write, index == 0 ? "  CHAN" : "    CHAN", part, fill && index == 0);
}

static void add_cue(writer *write, const mtm_cue_entry *cue)
{
    static const char *const keywords[] = {"CUE", "GROUP", "SUB"};
    bool fill = cue->type == MTM_CUE_CUE && !write->options->as_given;

    mtmi_text_add(&write->text, MTMI_CUE_LINE_END);
    add_number(write, keywords[cue->type], cue->number_tenths);
    if (fill && write->options->missing == MTM_CUE_ZERO)
        memset(write->level, 0, sizeof write->level);
    mark(write, cue, true);
    for (size_t p = 0; p < cue->part_count; p++)
        add_part(write, cue, p, fill);
    mark(write, cue, false);
    if (cue->type == MTM_CUE_CUE)
        mtmi_cue_apply(cue, write->level);
}

static void add_note(writer *write)
{
    char line[MTM_CUE_LINE_MAX + 1];

    if (write->options->note == NULL)
        return;
    (void)mtmi_cue_to_ascii(write->options->note, MTM_CUE_LINE_MAX - 2, line);
    mtmi_text_add(&write->text, "! %s" MTMI_CUE_LINE_END, line);
}

/* For people: what the format itself cannot say. */
static void add_pairs(writer *write)
{
    lines out = {.head = "! Coarse and fine:"};

    for (unsigned channel = 1; channel <= write->sheet->coarse_most; channel++) {
        if (write->sheet->is_coarse[channel])
            add_words(write, &out, " %u/%u", channel, channel + 1);
    }
    end_line(write, &out);
}

/* One line a channel's dimmers would be shorter, but dimmers in order are easier to check. */
static void add_patch(writer *write)
{
    lines out = {.head = "PATCH 1"};

    for (size_t dimmer = 1; dimmer <= write->sheet->dimmer_most; dimmer++) {
        const mtm_cue_patch *patch = &write->sheet->patch_of[dimmer];
        if (patch->channel != 0)
            add_words(write, &out, " %u<%u@H%02X", (unsigned)patch->channel, (unsigned)dimmer,
                      (unsigned)patch->level);
    }
    end_line(write, &out);
}

static bool add_head(writer *write)
{
    const mtm_cue_sheet *sheet = write->sheet;

    mtmi_text_add(&write->text, "IDENT 3:0" MTMI_CUE_LINE_END);
    add_note(write);
    add_pairs(write);
    if (write->options->rig != NULL &&
        !mtmi_cue_add_carried(sheet, write->options->rig, &write->text,
                              &write->report.texts_changed))
        return false;
    if (sheet->manufacturer[0] != '\0')
        mtmi_text_add(&write->text, "MANUFACTURER %s" MTMI_CUE_LINE_END, sheet->manufacturer);
    if (sheet->console[0] != '\0')
        mtmi_text_add(&write->text, "CONSOLE %s" MTMI_CUE_LINE_END, sheet->console);
    if (write->options->clear_all)
        mtmi_text_add(&write->text, "CLEAR ALL" MTMI_CUE_LINE_END);
    if (write->channel_count > 0)
        mtmi_text_add(&write->text, "SET CHANNELS %u" MTMI_CUE_LINE_END,
                      (unsigned)write->channel[write->channel_count - 1]);
    if (sheet->has_default_up)
        add_times(write, "", "SET DEFAULT UP", sheet->default_up_s, 0);
    if (sheet->has_default_down)
        add_times(write, "", "SET DEFAULT DOWN", sheet->default_down_s, 0);
    add_patch(write);
    return true;
}

static bool list_channels(writer *write)
{
    unsigned most = mtmi_cue_channels(write->sheet, write->in_cue);

    write->channel = malloc((most + 1) * sizeof *write->channel);
    if (write->channel == NULL)
        return false;
    for (unsigned channel = 1; channel <= most; channel++) {
        if (write->in_cue[channel])
            write->channel[write->channel_count++] = (uint16_t)channel;
        write->in_cue[channel] = false;
    }
    return true;
}

static mtm_result write_all(writer *write, mtm_error *error)
{
    if (!list_channels(write) || !add_head(write))
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < write->sheet->count; i++) {
        add_cue(write, write->sheet->cue[i]);
        if (write->text.length > MTM_CUE_TEXT_MAX)
            return mtmi_fail(error, MTM_LIMIT,
                             "the cue text would be larger than %zu characters: fewer cues, or "
                             "cues as given, are needed",
                             MTM_CUE_TEXT_MAX);
    }
    mtmi_text_add(&write->text, MTMI_CUE_LINE_END "ENDDATA" MTMI_CUE_LINE_END);
    return write->text.failed ? mtmi_fail_memory(error) : MTM_OK;
}

mtm_result mtm_cue_text_write(const mtm_cue_sheet *sheet, const mtm_cue_write_options *options,
                              char **text, size_t *length, mtm_cue_write_report *report,
                              mtm_error *error)
{
    if (sheet == NULL || options == NULL || text == NULL || length == NULL)
        return mtmi_fail(error, MTM_INVALID,
                         "a sheet, options and a place for the text are needed");
    if ((unsigned)options->missing > MTM_CUE_ZERO)
        return mtmi_fail(error, MTM_INVALID, "channels left out have no such rule: %d",
                         (int)options->missing);
    writer *write = calloc(1, sizeof *write);

    if (write == NULL)
        return mtmi_fail_memory(error);
    write->sheet = sheet;
    write->options = options;
    mtm_result result = write_all(write, error);
    if (result == MTM_OK) {
        *text = write->text.data;
        *length = write->text.length;
        if (report != NULL)
            *report = write->report;
        write->text = (mtmi_text){0};
    }
    mtmi_text_free(&write->text);
    free(write->channel);
    free(write);
    return result;
}
