/* SPDX-License-Identifier: MIT */
/* Cue text: blocks: cues, groups and submasters, and the keywords that belong to them. */
#include "cue_text/reader.h"

#include <string.h>

static void check_pairs(mtmi_cue_reader *read)
{
    mtmi_draft *draft = &read->draft;
    size_t count = read->options != NULL ? read->options->pair_count : 0;

    for (size_t i = 0; i < count; i++) {
        uint16_t coarse = read->options->pair[i];
        bool known = false;
        if (coarse == 0 || coarse == MTM_CUE_CHANNEL_MAX)
            continue;
        uint16_t fine = (uint16_t)(coarse + 1);
        if (mtmi_draft_has(draft, coarse) == mtmi_draft_has(draft, fine))
            continue;
        bool alone = mtmi_draft_has(draft, coarse);
        MTMI_CUE_REMARK(read, "pair-incomplete",
                        alone ? "channel %u without its fine channel %u, which is taken as 0"
                              : "channel %u is missing, so its fine channel %u is left out",
                        (unsigned)coarse, (unsigned)fine);
        if (!alone) {
            mtmi_draft_remove(draft, fine);
        } else {
            draft->current = draft->position[coarse].part;
            read->failed =
                !mtmi_draft_level(draft, (mtm_cue_level){fine, 0}, &known) || read->failed;
        }
    }
}

/* Which channels a cue has, to tell at the end whether some cues have fewer. */
static void note_channels(mtmi_cue_reader *read, const mtm_cue_entry *cue)
{
    if (cue->type != MTM_CUE_CUE)
        return;
    for (size_t p = 0; p < cue->part_count; p++) {
        for (size_t l = 0; l < cue->part[p].level_count; l++) {
            bool *seen = &read->seen[cue->part[p].level[l].channel];
            read->seen_count += *seen ? 0 : 1;
            *seen = true;
        }
    }
    if (!read->any_cue || read->draft.distinct < read->fewest) {
        read->fewest = read->draft.distinct;
        read->fewest_line = read->draft.line;
    }
    read->any_cue = true;
}

static void note_times(mtmi_cue_reader *read, const mtm_cue_entry *cue)
{
    bool missing = cue->type != MTM_CUE_GROUP && (!cue->part[0].has_up || !cue->part[0].has_down);

    if (!missing || read->told_default)
        return;
    read->told_default = true;
    MTMI_CUE_REMARK(read, "default-time-used", "no %s time: %s is taken, here and in what follows",
                    cue->part[0].has_up ? "DOWN" : "UP",
                    read->sheet->has_default_up || read->sheet->has_default_down ? "the default"
                                                                                 : "0");
}

static void store(mtmi_cue_reader *read, const mtm_cue_entry *cue)
{
    bool found = false;

    note_channels(read, cue);
    note_times(read, cue);
    (void)mtmi_cue_find(read->sheet, cue->type, cue->number_tenths, &found);
    if (found)
        MTMI_CUE_REMARK(read, "repeat", "%u.%u was given before; this one counts",
                        (unsigned)(cue->number_tenths / 10), (unsigned)(cue->number_tenths % 10));
    mtm_result result = mtm_cue_sheet_add(read->sheet, cue, NULL);
    if (result == MTM_LIMIT)
        MTMI_CUE_REMARK(read, "too-many",
                        "more than %d cues, groups and submasters; this one is dropped",
                        MTM_CUE_COUNT_MAX);
    else if (result != MTM_OK)
        read->failed = true;
}

void mtmi_cue_close_block(mtmi_cue_reader *read)
{
    mtmi_draft *draft = &read->draft;

    read->block = MTMI_BLOCK_NONE;
    if (!draft->open)
        return;
    size_t line = read->line;
    read->line = draft->line; /* remarks on the whole cue stand where it began */
    check_pairs(read);
    const mtm_cue_entry *cue =
        mtmi_draft_finish(draft, read->sheet->default_up_s, read->sheet->default_down_s);
    if (cue != NULL)
        store(read, cue);
    else
        read->failed = true;
    mtmi_draft_close(draft);
    read->line = line;
}

/* CUE, GROUP, SUB: number and perhaps a page. */
static void open_block(mtmi_cue_reader *read, char *rest, mtmi_cue_block opened, mtm_cue_type type)
{
    const char *word = mtmi_cue_next_word(&rest);
    const char *page_word = mtmi_cue_next_word(&rest);
    uint32_t tenths = 0;
    uint16_t page = 0;

    read->block = MTMI_BLOCK_DROPPED;
    if (word == NULL || !mtmi_cue_number(word, &tenths)) {
        MTMI_CUE_REMARK(read, "bad-number",
                        "\"%.40s\" is no number from 0.1 to 9999.9; what belongs to it "
                        "is dropped",
                        word != NULL ? word : "");
        return;
    }
    if (page_word != NULL && mtmi_cue_take_count(read, page_word, "page", &page))
        mtmi_cue_expect_end(read, rest);
    if (!mtmi_draft_open(&read->draft, type, tenths, page, read->line))
        read->failed = true;
    else
        read->block = opened;
}

static void read_cue(mtmi_cue_reader *read, char *rest)
{
    open_block(read, rest, MTMI_BLOCK_CUE, MTM_CUE_CUE);
}

static void read_group(mtmi_cue_reader *read, char *rest)
{
    open_block(read, rest, MTMI_BLOCK_GROUP, MTM_CUE_GROUP);
}

static void read_sub(mtmi_cue_reader *read, char *rest)
{
    open_block(read, rest, MTMI_BLOCK_SUB, MTM_CUE_SUB);
}

static mtm_cue_part *current_part(mtmi_cue_reader *read)
{
    return &read->draft.part[read->draft.current].part;
}

/* CHAN channel@level ...: a bad pair is dropped, not the line. */
static void read_chan(mtmi_cue_reader *read, char *rest)
{
    bool any = false;

    for (const char *channel = mtmi_cue_next_word(&rest); channel != NULL;
         channel = mtmi_cue_next_word(&rest)) {
        const char *word = mtmi_cue_next_word(&rest);
        mtm_cue_level level = {0};
        bool known = false;
        any = true;
        if (word == NULL) {
            MTMI_CUE_REMARK(read, "odd-parameters", "channel \"%.40s\" without a level", channel);
            return;
        }
        if (!mtmi_cue_take_count(read, channel, "channel", &level.channel) ||
            !mtmi_cue_take_level(read, word, &level.level))
            continue;
        if (!mtmi_draft_level(&read->draft, level, &known))
            read->failed = true;
        if (known)
            MTMI_CUE_REMARK(read, "repeat", "channel %u was given before in this block",
                            (unsigned)level.channel);
    }
    if (!any)
        MTMI_CUE_REMARK(read, "odd-parameters", "CHAN wants channel@level");
}

/* UP and DOWN: a time and perhaps a wait. */
static bool read_times(mtmi_cue_reader *read, char *rest, const char *what, bool has,
                       double *time_s, double *wait_s)
{
    double time = 0;
    double wait = 0;

    if (!mtmi_cue_take_time(read, mtmi_cue_next_word(&rest), what, &time))
        return has;
    const char *word = mtmi_cue_next_word(&rest);
    if (word != NULL && !mtmi_cue_take_time(read, word, what, &wait))
        wait = 0;
    if (has)
        MTMI_CUE_REMARK(read, "repeat", "%s was given before", what);
    *time_s = time;
    *wait_s = wait;
    mtmi_cue_expect_end(read, rest);
    return true;
}

static void read_up(mtmi_cue_reader *read, char *rest)
{
    mtm_cue_part *part = current_part(read);

    part->has_up = read_times(read, rest, "UP", part->has_up, &part->up_s, &part->up_wait_s);
}

static void read_down(mtmi_cue_reader *read, char *rest)
{
    mtm_cue_part *part = current_part(read);

    part->has_down =
        read_times(read, rest, "DOWN", part->has_down, &part->down_s, &part->down_wait_s);
}

static void read_followon(mtmi_cue_reader *read, char *rest)
{
    double seconds = 0;

    if (!mtmi_cue_take_time(read, mtmi_cue_next_word(&rest), "FOLLOWON", &seconds))
        return;
    if (read->draft.cue.has_follow)
        MTMI_CUE_REMARK(read, "repeat", "FOLLOWON was given before");
    read->draft.cue.has_follow = true;
    read->draft.cue.follow_s = seconds;
    mtmi_cue_expect_end(read, rest);
}

static void read_link(mtmi_cue_reader *read, char *rest)
{
    const char *word = mtmi_cue_next_word(&rest);
    uint32_t tenths = 0;

    if (word == NULL || !mtmi_cue_number(word, &tenths)) {
        MTMI_CUE_REMARK(read, "bad-number", "\"%.40s\" is no cue from 0.1 to 9999.9",
                        word != NULL ? word : "");
        return;
    }
    if (read->draft.cue.link_tenths != 0)
        MTMI_CUE_REMARK(read, "repeat", "LINK was given before");
    read->draft.cue.link_tenths = tenths;
    mtmi_cue_expect_end(read, rest);
}

static void read_part(mtmi_cue_reader *read, char *rest)
{
    const char *word = mtmi_cue_next_word(&rest);
    uint16_t number = 0;
    bool known = false;

    if (word == NULL) {
        MTMI_CUE_REMARK(read, "odd-parameters", "PART wants a number");
        return;
    }
    if (!mtmi_cue_take_count(read, word, "part", &number))
        return;
    if (!mtmi_draft_part_open(&read->draft, number, &known))
        read->failed = true;
    if (known)
        MTMI_CUE_REMARK(read, "repeat", "part %u was opened before; it goes on", (unsigned)number);
    mtmi_cue_expect_end(read, rest);
}

/* The raw rest of the line, from its first character that is no delimiter. */
static void read_text(mtmi_cue_reader *read, char *rest)
{
    bool known = false;

    while (mtmi_cue_is_delimiter(*rest))
        rest++;
    size_t length = strlen(rest);
    while (length > 0 && mtmi_cue_is_delimiter(rest[length - 1]))
        length--;
    if (!mtmi_draft_text(&read->draft, rest, length, &known))
        read->failed = true;
    if (known)
        MTMI_CUE_REMARK(read, "repeat", "TEXT was given before");
}

const mtmi_cue_keyword mtmi_cue_blocks[] = {
    {"CUE", read_cue, 0},
    {"GROUP", read_group, 0},
    {"SUB", read_sub, 0},
    {"CHAN", read_chan, MTMI_IN_CUE | MTMI_IN_GROUP | MTMI_IN_SUB},
    {"DOWN", read_down, MTMI_IN_CUE | MTMI_IN_SUB},
    {"FOLLOWON", read_followon, MTMI_IN_CUE},
    {"LINK", read_link, MTMI_IN_CUE},
    {"PART", read_part, MTMI_IN_CUE | MTMI_IN_GROUP},
    {"TEXT", read_text, MTMI_IN_CUE | MTMI_IN_GROUP | MTMI_IN_SUB},
    {"UP", read_up, MTMI_IN_CUE | MTMI_IN_SUB},
    {NULL, NULL, 0},
};
