/* SPDX-License-Identifier: MIT */
/* Cue text: the reader, which keeps going and remarks on what it does not understand. */
#include "cue_text/reader.h"

#include "base/error.h"

#include <stdlib.h>
#include <string.h>

static void take_secondary(mtmi_cue_reader *read, const mtmi_cue_keyword *keyword, char *rest)
{
    static const int bits[] = {[MTMI_BLOCK_CUE] = MTMI_IN_CUE,
                               [MTMI_BLOCK_GROUP] = MTMI_IN_GROUP,
                               [MTMI_BLOCK_SUB] = MTMI_IN_SUB};

    if (read->block == MTMI_BLOCK_FOREIGN) {
        read->foreign_lines++;
        return;
    }
    if (read->block == MTMI_BLOCK_DROPPED)
        return; /* told where it was opened */
    if (read->block == MTMI_BLOCK_NONE) {
        MTMI_CUE_REMARK(read, "secondary-outside-block", "%s outside a cue, group or submaster",
                        keyword->name);
        return;
    }
    if ((keyword->blocks & bits[read->block]) == 0) {
        MTMI_CUE_REMARK(read, "secondary-not-allowed", "%s does not belong into a %s",
                        keyword->name, read->block == MTMI_BLOCK_GROUP ? "group" : "submaster");
        return;
    }
    keyword->take(read, rest);
}

static void take_foreign(mtmi_cue_reader *read, const char *word)
{
    if (read->foreign_lines == 0)
        read->foreign_first = read->line;
    read->foreign_lines++;
    if (word[1] == '$')
        return; /* one line of whatever block is open */
    mtmi_cue_close_block(read);
    read->block = MTMI_BLOCK_FOREIGN;
}

static const mtmi_cue_keyword *find_keyword(const mtmi_cue_keyword *table, const char *word)
{
    while (table->name != NULL && !mtmi_cue_same_word(word, table->name))
        table++;
    return table->name != NULL ? table : NULL;
}

static void take_instruction(mtmi_cue_reader *read, char *line)
{
    char *rest = line;
    const char *word = mtmi_cue_next_word(&rest);

    if (word == NULL)
        return;
    if (read->done) {
        if (!read->told_after)
            MTMI_CUE_REMARK(read, "after-enddata", "what follows ENDDATA is not read");
        read->told_after = true;
        return;
    }
    if (read->instructions++ == 0)
        read->ident_line = read->line;
    if (word[0] == '$') {
        take_foreign(read, word);
        return;
    }
    const mtmi_cue_keyword *keyword = find_keyword(mtmi_cue_basic, word);
    if (keyword == NULL)
        keyword = find_keyword(mtmi_cue_blocks, word);
    if (keyword == NULL) {
        MTMI_CUE_REMARK(read, "unknown-keyword", "\"%.40s\" is no keyword of the standard", word);
    } else if (keyword->blocks != 0) {
        take_secondary(read, keyword, rest);
    } else {
        mtmi_cue_close_block(read);
        keyword->take(read, rest);
    }
}

/* True if the line, which may be indented, begins with TEXT. */
static bool is_text_line(const char *line)
{
    while (mtmi_cue_is_delimiter(*line))
        line++;
    char word[5] = {0};
    strncpy(word, line, 4);
    return mtmi_cue_same_word(word, "TEXT") && (line[4] == '\0' || mtmi_cue_is_delimiter(line[4]));
}

/* Characters that the format does not have become spaces, or '?' in a text. */
static void clean_line(mtmi_cue_reader *read, char *line, size_t length)
{
    bool told = false;
    bool in_text = is_text_line(line);

    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)line[i];
        if ((c >= 0x20 && c < 0x7f) || c == '\t')
            continue;
        if (!told)
            MTMI_CUE_REMARK(read, "non-ascii",
                            "the character 0x%02x at place %zu is not of the format", c, i + 1);
        told = true;
        line[i] = in_text ? '?' : ' ';
    }
}

static void take_line(mtmi_cue_reader *read, char *line, size_t length)
{
    read->line++;
    if (length > MTM_CUE_LINE_MAX)
        MTMI_CUE_REMARK(read, "line-too-long", "%zu characters; a line has at most %d", length,
                        MTM_CUE_LINE_MAX);
    clean_line(read, line, length);
    char *comment = strchr(line, '!');
    if (comment != NULL)
        *comment = '\0';
    take_instruction(read, line);
}

static void take_lines(mtmi_cue_reader *read, char *text, size_t length)
{
    size_t start = 0;

    while (start < length && !read->failed) {
        size_t end = start;
        while (end < length && text[end] != '\r' && text[end] != '\n')
            end++;
        size_t after = end + 1;
        if (end + 1 < length && text[end] == '\r' && text[end + 1] == '\n')
            after++;
        text[end] = '\0'; /* there is a place for it at the end too */
        take_line(read, text + start, end - start);
        start = after;
    }
}

static void take_end(mtmi_cue_reader *read)
{
    mtmi_cue_close_block(read);
    if (!read->done)
        MTMI_CUE_REMARK(read, "no-enddata", "no ENDDATA: the text was possibly cut short");
    if (!read->has_ident) {
        read->line = read->ident_line > 0 ? read->ident_line : 1;
        MTMI_CUE_REMARK(read, "ident-missing", "no IDENT; version 3:0 is assumed");
    }
    if (read->any_cue && read->fewest < read->seen_count) {
        read->line = read->fewest_line;
        MTMI_CUE_REMARK(
            read, "partial-cue",
            "this cue has %zu of the %zu channels that cues use; whether the others stay or go "
            "out is the receiver's choice",
            read->fewest, read->seen_count);
    }
    if (read->foreign_lines > 0) {
        read->line = read->foreign_first;
        MTMI_CUE_REMARK(read, "manufacturer-skipped",
                        "skipped %zu manufacturer lines, from here on", read->foreign_lines);
    }
}

/* Text without a byte order mark, in a block that may be changed. */
static char *copy_text(const char *text, size_t *length)
{
    size_t mark = *length >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    char *copy = malloc(*length - mark + 1);

    if (copy != NULL) {
        *length -= mark;
        if (*length > 0)
            memcpy(copy, text + mark, *length);
        copy[*length] = '\0';
    }
    return copy;
}

mtm_result mtm_cue_text_read(const char *text, size_t length, const mtm_cue_read_options *options,
                             mtm_cue_sheet **out, mtm_error *error)
{
    if (text == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "cue text and a place for the sheet are needed");
    for (size_t i = 0; options != NULL && i < options->pair_count; i++) {
        if (options->pair == NULL || options->pair[i] < 1 ||
            options->pair[i] >= MTM_CUE_CHANNEL_MAX)
            return mtmi_fail(error, MTM_INVALID,
                             "a pair begins with a channel from 1 to %d, and stands in a list",
                             MTM_CUE_CHANNEL_MAX - 1);
    }
    mtmi_cue_reader *read = NULL;
    char *copy = NULL;
    mtm_cue_sheet *sheet = NULL;

    if (length > MTM_CUE_TEXT_MAX)
        return mtmi_fail(error, MTM_LIMIT,
                         "cue text of %zu characters; at most %zu are read: split it", length,
                         MTM_CUE_TEXT_MAX);
    mtm_result result = mtm_cue_sheet_create(&sheet, error);
    if (result != MTM_OK)
        return result;
    read = calloc(1, sizeof *read);
    copy = copy_text(text, &length);
    if (read == NULL || copy == NULL) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    read->sheet = sheet;
    read->options = options;
    take_lines(read, copy, length);
    take_end(read);
    mtmi_cue_remark_sort(sheet);
    if (read->failed) {
        result = mtmi_fail_memory(error);
        goto done;
    }
    *out = sheet;
    sheet = NULL;
done:
    if (read != NULL)
        mtmi_draft_close(&read->draft);
    free(read);
    free(copy);
    mtm_cue_sheet_free(sheet);
    return result;
}
