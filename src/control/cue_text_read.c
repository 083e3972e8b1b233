/* SPDX-License-Identifier: MIT */
/* Cue text: the reader, which keeps going and remarks on what it does not understand. */
#include "control/cue_draft.h"
#include "control/cue_text.h"

#include "base/error.h"

#include <stdlib.h>
#include <string.h>

/* What the lines that follow belong to. */
typedef enum block {
    BLOCK_NONE = 0,
    BLOCK_CUE,
    BLOCK_GROUP,
    BLOCK_SUB,
    BLOCK_FOREIGN, /* one maker's own */
    BLOCK_DROPPED  /* opened with a number that is none */
} block;

typedef struct reader {
    mtm_cue_sheet *sheet;
    const mtm_cue_read_options *options;
    size_t line;
    block block;
    bool done;       /* past ENDDATA */
    bool told_after; /* that something follows it */
    bool failed;     /* out of memory */
    size_t instructions;
    size_t ident_line; /* of the first instruction, for what misses an IDENT */
    bool has_ident;
    size_t foreign_lines;
    size_t foreign_first;
    bool told_default;
    bool seen[MTM_CUE_CHANNEL_MOST + 1]; /* channels of any cue */
    size_t seen_count;
    size_t fewest; /* channels of a cue, and where that was */
    size_t fewest_line;
    bool any_cue;
    mtmi_draft draft;
} reader;

#define REMARK(read, code, ...)                                                                    \
    do {                                                                                           \
        if (!mtmi_cue_remark_add((read)->sheet, (read)->line, (code), __VA_ARGS__))                \
            (read)->failed = true;                                                                 \
    } while (0)

/* The next word at *at, which is ended with a NUL; NULL at the end of the line. */
static char *next_word(char **at)
{
    char *word = *at;

    while (mtmi_cue_is_delimiter(*word))
        word++;
    if (*word == '\0')
        return NULL;
    char *end = word;
    while (*end != '\0' && !mtmi_cue_is_delimiter(*end))
        end++;
    *at = *end == '\0' ? end : end + 1;
    *end = '\0';
    return word;
}

/* More words than an instruction takes are passed over. */
static void expect_end(reader *read, char *rest)
{
    const char *extra = next_word(&rest);

    if (extra != NULL)
        REMARK(read, "odd-parameters", "\"%.40s\" is one parameter too many", extra);
}

static void check_pairs(reader *read)
{
    mtmi_draft *draft = &read->draft;
    size_t count = read->options != NULL ? read->options->pair_count : 0;

    for (size_t i = 0; i < count; i++) {
        uint16_t coarse = read->options->pair[i];
        bool known = false;
        if (coarse == 0 || coarse == MTM_CUE_CHANNEL_MOST)
            continue;
        uint16_t fine = (uint16_t)(coarse + 1);
        if (mtmi_draft_has(draft, coarse) == mtmi_draft_has(draft, fine))
            continue;
        bool alone = mtmi_draft_has(draft, coarse);
        REMARK(read, "pair-incomplete",
               alone ? "channel %u without its fine channel %u, which is taken as 0"
                     : "channel %u is missing, so its fine channel %u is left out",
               (unsigned)coarse, (unsigned)fine);
        if (!alone) {
            mtmi_draft_remove(draft, fine);
        } else {
            draft->current = draft->place[coarse].part;
            read->failed =
                !mtmi_draft_level(draft, (mtm_cue_level){fine, 0}, &known) || read->failed;
        }
    }
}

/* Which channels a cue has, to tell at the end whether some cues have fewer. */
static void note_channels(reader *read, const mtm_cue_entry *cue)
{
    if (cue->kind != MTM_CUE_CUE)
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

static void note_times(reader *read, const mtm_cue_entry *cue)
{
    bool missing = cue->kind != MTM_CUE_GROUP && (!cue->part[0].has_up || !cue->part[0].has_down);

    if (!missing || read->told_default)
        return;
    read->told_default = true;
    REMARK(read, "default-time-used", "no %s time: %s is taken, here and in what follows",
           cue->part[0].has_up ? "DOWN" : "UP",
           read->sheet->has_default_up || read->sheet->has_default_down ? "the default" : "0");
}

static void store(reader *read, const mtm_cue_entry *cue)
{
    bool found = false;

    note_channels(read, cue);
    note_times(read, cue);
    (void)mtmi_cue_find(read->sheet, cue->kind, cue->number_tenths, &found);
    if (found)
        REMARK(read, "repeat", "%u.%u was given before; this one counts",
               (unsigned)(cue->number_tenths / 10), (unsigned)(cue->number_tenths % 10));
    mtm_result result = mtm_cue_sheet_add(read->sheet, cue, NULL);
    if (result == MTM_LIMIT)
        REMARK(read, "too-many", "more than %d cues, groups and submasters; this one is dropped",
               MTM_CUE_COUNT_MOST);
    else if (result != MTM_OK)
        read->failed = true;
}

static void close_block(reader *read)
{
    mtmi_draft *draft = &read->draft;

    read->block = BLOCK_NONE;
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

static void read_ident(reader *read, char *rest)
{
    char *word = next_word(&rest);
    char *colon = word != NULL ? strchr(word, ':') : NULL;
    unsigned major = 0;
    unsigned minor = 0;

    if (read->instructions > 1)
        REMARK(read, "ident-late", "IDENT comes before every other instruction");
    read->has_ident = true;
    if (colon != NULL)
        *colon = '\0';
    if (colon == NULL || !mtmi_cue_integer(word, &major) || !mtmi_cue_integer(colon + 1, &minor))
        REMARK(read, "bad-number", "IDENT wants a version such as 3:0");
    else if (major != 3)
        REMARK(read, "ident-version", "version %u:%u; read as if it were 3:0", major, minor);
    expect_end(read, rest);
}

static void read_maker(reader *read, char *rest, char *place)
{
    const char *word = next_word(&rest);

    if (word == NULL || !mtmi_cue_identifier(word)) {
        REMARK(read, "bad-identifier", "\"%.40s\" is not 1 to 10 letters and digits",
               word != NULL ? word : "");
        return;
    }
    memcpy(place, word, strlen(word) + 1);
    expect_end(read, rest);
}

static void read_manufacturer(reader *read, char *rest)
{
    read_maker(read, rest, read->sheet->manufacturer);
}

static void read_console(reader *read, char *rest)
{
    read_maker(read, rest, read->sheet->console);
}

static char upper(char c)
{
    return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

/* Case aside. */
static bool same_word(const char *a, const char *b)
{
    while (*a != '\0' && upper(*a) == upper(*b)) {
        a++;
        b++;
    }
    return *a == *b;
}

static bool has_kind(const mtm_cue_sheet *sheet, mtm_cue_kind kind)
{
    size_t at = mtmi_cue_find(sheet, kind, 0, NULL);

    return at < sheet->count && sheet->cue[at]->kind == kind;
}

/* Erases what the receiver holds: here that can only be what came earlier in the same text. */
static void clear(reader *read, bool cues, bool groups, bool subs, bool patch)
{
    const bool wanted[] = {cues, groups, subs};
    bool late = patch && read->sheet->patch_count > 0;

    for (int kind = MTM_CUE_CUE; kind <= MTM_CUE_SUB; kind++) {
        if (!wanted[kind] || !has_kind(read->sheet, (mtm_cue_kind)kind))
            continue;
        late = true;
        mtmi_cue_clear(read->sheet, (mtm_cue_kind)kind);
    }
    if (patch)
        mtmi_cue_clear_patch(read->sheet);
    if (late)
        REMARK(read, "clear-late", "what came before in this text is erased");
}

static void read_clear(reader *read, char *rest)
{
    static const struct {
        const char *name;
        bool cues, groups, subs, patch;
    } what[] = {{"ALL", true, true, true, true},
                {"CUES", true, false, false, false},
                {"GROUPS", false, true, false, false},
                {"SUBS", false, false, true, false},
                {"PATCH", false, false, false, true}};
    const char *word = next_word(&rest);

    for (size_t i = 0; word != NULL && i < sizeof what / sizeof what[0]; i++) {
        if (same_word(word, what[i].name)) {
            clear(read, what[i].cues, what[i].groups, what[i].subs, what[i].patch);
            expect_end(read, rest);
            return;
        }
    }
    REMARK(read, "unknown-value", "CLEAR \"%.40s\": known are ALL, CUES, GROUPS, PATCH, SUBS",
           word != NULL ? word : "");
}

/* A level; remarks where it is none, or a strange one. */
static bool take_level(reader *read, const char *word, uint8_t *level)
{
    mtmi_cue_strange strange = MTMI_CUE_PLAIN;

    if (!mtmi_cue_level(word, level, &strange)) {
        REMARK(read, "bad-level", "\"%.40s\" is no level: 0 to 100, or H00 to HFF", word);
        return false;
    }
    if (strange == MTMI_CUE_WIDE_HEX)
        REMARK(read, "level-wide-hex", "\"%.40s\" is taken as 16 bits, so as H%02X", word,
               (unsigned)*level);
    if (strange == MTMI_CUE_WORD)
        REMARK(read, "level-word", "\"%.40s\" is taken as full", word);
    return true;
}

/* A channel, dimmer, page or part: 1 to 65535. */
static bool take_count(reader *read, const char *word, const char *what, uint16_t *number)
{
    unsigned value = 0;

    if (!mtmi_cue_integer(word, &value) || value == 0) {
        REMARK(read, "bad-number", "\"%.40s\" is no %s: 1 to 65535", word, what);
        return false;
    }
    *number = (uint16_t)value;
    return true;
}

static bool take_time(reader *read, const char *word, const char *what, double *seconds)
{
    if (word != NULL && mtmi_cue_time(word, seconds))
        return true;
    REMARK(read, "bad-time", "\"%.40s\" is no time of %s: seconds, mm:ss or hh:mm:ss",
           word != NULL ? word : "", what);
    return false;
}

static void patch_one(reader *read, mtm_cue_patch patch)
{
    mtm_cue_patch before = read->sheet->patch_of[patch.dimmer];

    if (before.channel != 0)
        REMARK(read, "repeat", "dimmer %u was patched to channel %u before", (unsigned)patch.dimmer,
               (unsigned)before.channel);
    if (mtm_cue_sheet_patch(read->sheet, patch, NULL) != MTM_OK)
        read->failed = true;
}

/* PATCH page channel<dimmer@level ... */
static void read_patch(reader *read, char *rest)
{
    const char *page = next_word(&rest);
    uint16_t number = 0;

    if (page == NULL || !take_count(read, page, "page", &number)) {
        if (page == NULL)
            REMARK(read, "odd-parameters", "PATCH wants a page, then channel<dimmer@level");
        return;
    }
    for (const char *channel = next_word(&rest); channel != NULL; channel = next_word(&rest)) {
        const char *dimmer = next_word(&rest);
        const char *level = dimmer != NULL ? next_word(&rest) : NULL;
        mtm_cue_patch patch = {0};
        if (level == NULL) {
            REMARK(read, "odd-parameters", "a patch of channel \"%.40s\" without %s", channel,
                   dimmer == NULL ? "dimmer and level" : "level");
            return;
        }
        if (take_count(read, channel, "channel", &patch.channel) &&
            take_count(read, dimmer, "dimmer", &patch.dimmer) &&
            take_level(read, level, &patch.level))
            patch_one(read, patch);
    }
}

static void set_default(reader *read, char *rest)
{
    const char *which = next_word(&rest);
    bool up = which != NULL && same_word(which, "UP");
    double seconds = 0;

    if (!up && (which == NULL || !same_word(which, "DOWN"))) {
        REMARK(read, "unknown-value", "SET DEFAULT \"%.40s\": known are UP and DOWN",
               which != NULL ? which : "");
        return;
    }
    if (!take_time(read, next_word(&rest), "SET DEFAULT", &seconds))
        return;
    if (up) {
        read->sheet->has_default_up = true;
        read->sheet->default_up_s = seconds;
    } else {
        read->sheet->has_default_down = true;
        read->sheet->default_down_s = seconds;
    }
    expect_end(read, rest);
}

static void read_set(reader *read, char *rest)
{
    const char *name = next_word(&rest);
    uint16_t number = 0;

    if (name != NULL && same_word(name, "DEFAULT")) {
        set_default(read, rest);
    } else if (name != NULL && (same_word(name, "CHANNELS") || same_word(name, "PATCH"))) {
        const char *value = next_word(&rest); /* checked only: nothing here depends on it */
        if (value == NULL)
            REMARK(read, "odd-parameters", "SET %.40s wants a number", name);
        else if (take_count(read, value, "number", &number))
            expect_end(read, rest);
    } else {
        REMARK(read, "unknown-value", "SET \"%.40s\": known are CHANNELS, PATCH, DEFAULT",
               name != NULL ? name : "");
    }
}

static void read_enddata(reader *read, char *rest)
{
    expect_end(read, rest);
    read->done = true;
}

/* CUE, GROUP, SUB: number and perhaps a page. */
static void open_block(reader *read, char *rest, block opened, mtm_cue_kind kind)
{
    const char *word = next_word(&rest);
    const char *page_word = next_word(&rest);
    uint32_t tenths = 0;
    uint16_t page = 0;

    read->block = BLOCK_DROPPED;
    if (word == NULL || !mtmi_cue_number(word, &tenths)) {
        REMARK(read, "bad-number",
               "\"%.40s\" is no number from 0.1 to 9999.9; what belongs to it "
               "is dropped",
               word != NULL ? word : "");
        return;
    }
    if (page_word != NULL && take_count(read, page_word, "page", &page))
        expect_end(read, rest);
    if (!mtmi_draft_open(&read->draft, kind, tenths, page, read->line))
        read->failed = true;
    else
        read->block = opened;
}

static void read_cue(reader *read, char *rest)
{
    open_block(read, rest, BLOCK_CUE, MTM_CUE_CUE);
}

static void read_group(reader *read, char *rest)
{
    open_block(read, rest, BLOCK_GROUP, MTM_CUE_GROUP);
}

static void read_sub(reader *read, char *rest)
{
    open_block(read, rest, BLOCK_SUB, MTM_CUE_SUB);
}

static mtm_cue_part *current_part(reader *read)
{
    return &read->draft.part[read->draft.current].part;
}

/* CHAN channel@level ...: a bad pair is dropped, not the line. */
static void read_chan(reader *read, char *rest)
{
    bool any = false;

    for (const char *channel = next_word(&rest); channel != NULL; channel = next_word(&rest)) {
        const char *word = next_word(&rest);
        mtm_cue_level level = {0};
        bool known = false;
        any = true;
        if (word == NULL) {
            REMARK(read, "odd-parameters", "channel \"%.40s\" without a level", channel);
            return;
        }
        if (!take_count(read, channel, "channel", &level.channel) ||
            !take_level(read, word, &level.level))
            continue;
        if (!mtmi_draft_level(&read->draft, level, &known))
            read->failed = true;
        if (known)
            REMARK(read, "repeat", "channel %u was given before in this block",
                   (unsigned)level.channel);
    }
    if (!any)
        REMARK(read, "odd-parameters", "CHAN wants channel@level");
}

/* UP and DOWN: a time and perhaps a wait. */
static bool read_times(reader *read, char *rest, const char *what, bool has, double *time_s,
                       double *wait_s)
{
    double time = 0;
    double wait = 0;

    if (!take_time(read, next_word(&rest), what, &time))
        return has;
    const char *word = next_word(&rest);
    if (word != NULL && !take_time(read, word, what, &wait))
        wait = 0;
    if (has)
        REMARK(read, "repeat", "%s was given before", what);
    *time_s = time;
    *wait_s = wait;
    expect_end(read, rest);
    return true;
}

static void read_up(reader *read, char *rest)
{
    mtm_cue_part *part = current_part(read);

    part->has_up = read_times(read, rest, "UP", part->has_up, &part->up_s, &part->up_wait_s);
}

static void read_down(reader *read, char *rest)
{
    mtm_cue_part *part = current_part(read);

    part->has_down =
        read_times(read, rest, "DOWN", part->has_down, &part->down_s, &part->down_wait_s);
}

static void read_followon(reader *read, char *rest)
{
    double seconds = 0;

    if (!take_time(read, next_word(&rest), "FOLLOWON", &seconds))
        return;
    if (read->draft.cue.has_follow)
        REMARK(read, "repeat", "FOLLOWON was given before");
    read->draft.cue.has_follow = true;
    read->draft.cue.follow_s = seconds;
    expect_end(read, rest);
}

static void read_link(reader *read, char *rest)
{
    const char *word = next_word(&rest);
    uint32_t tenths = 0;

    if (word == NULL || !mtmi_cue_number(word, &tenths)) {
        REMARK(read, "bad-number", "\"%.40s\" is no cue from 0.1 to 9999.9",
               word != NULL ? word : "");
        return;
    }
    if (read->draft.cue.link_tenths != 0)
        REMARK(read, "repeat", "LINK was given before");
    read->draft.cue.link_tenths = tenths;
    expect_end(read, rest);
}

static void read_part(reader *read, char *rest)
{
    const char *word = next_word(&rest);
    uint16_t number = 0;
    bool known = false;

    if (word == NULL) {
        REMARK(read, "odd-parameters", "PART wants a number");
        return;
    }
    if (!take_count(read, word, "part", &number))
        return;
    if (!mtmi_draft_part_open(&read->draft, number, &known))
        read->failed = true;
    if (known)
        REMARK(read, "repeat", "part %u was opened before; it goes on", (unsigned)number);
    expect_end(read, rest);
}

/* The raw rest of the line, from its first character that is no delimiter. */
static void read_text(reader *read, char *rest)
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
        REMARK(read, "repeat", "TEXT was given before");
}

/* Which secondary keyword fits which block. */
enum { IN_CUE = 1, IN_GROUP = 2, IN_SUB = 4 };

static const struct keyword {
    const char *name;
    void (*take)(reader *read, char *rest);
    int blocks; /* 0: basic or primary: closes the open block */
} keywords[] = {
    {"CLEAR", read_clear, 0},
    {"CONSOLE", read_console, 0},
    {"ENDDATA", read_enddata, 0},
    {"IDENT", read_ident, 0},
    {"MANUFACTURER", read_manufacturer, 0},
    {"PATCH", read_patch, 0},
    {"SET", read_set, 0},
    {"CUE", read_cue, 0},
    {"GROUP", read_group, 0},
    {"SUB", read_sub, 0},
    {"CHAN", read_chan, IN_CUE | IN_GROUP | IN_SUB},
    {"DOWN", read_down, IN_CUE | IN_SUB},
    {"FOLLOWON", read_followon, IN_CUE},
    {"LINK", read_link, IN_CUE},
    {"PART", read_part, IN_CUE | IN_GROUP},
    {"TEXT", read_text, IN_CUE | IN_GROUP | IN_SUB},
    {"UP", read_up, IN_CUE | IN_SUB},
};

static void take_secondary(reader *read, const struct keyword *keyword, char *rest)
{
    static const int bits[] = {
        [BLOCK_CUE] = IN_CUE, [BLOCK_GROUP] = IN_GROUP, [BLOCK_SUB] = IN_SUB};

    if (read->block == BLOCK_FOREIGN) {
        read->foreign_lines++;
        return;
    }
    if (read->block == BLOCK_DROPPED)
        return; /* told where it was opened */
    if (read->block == BLOCK_NONE) {
        REMARK(read, "secondary-outside-block", "%s outside a cue, group or submaster",
               keyword->name);
        return;
    }
    if ((keyword->blocks & bits[read->block]) == 0) {
        REMARK(read, "secondary-not-allowed", "%s does not belong into a %s", keyword->name,
               read->block == BLOCK_GROUP ? "group" : "submaster");
        return;
    }
    keyword->take(read, rest);
}

static void take_foreign(reader *read, const char *word)
{
    if (read->foreign_lines == 0)
        read->foreign_first = read->line;
    read->foreign_lines++;
    if (word[1] == '$')
        return; /* one line of whatever block is open */
    close_block(read);
    read->block = BLOCK_FOREIGN;
}

static void take_instruction(reader *read, char *line)
{
    char *rest = line;
    const char *word = next_word(&rest);

    if (word == NULL)
        return;
    if (read->done) {
        if (!read->told_after)
            REMARK(read, "after-enddata", "what follows ENDDATA is not read");
        read->told_after = true;
        return;
    }
    if (read->instructions++ == 0)
        read->ident_line = read->line;
    if (word[0] == '$') {
        take_foreign(read, word);
        return;
    }
    for (size_t i = 0; i < sizeof keywords / sizeof keywords[0]; i++) {
        if (!same_word(word, keywords[i].name))
            continue;
        if (keywords[i].blocks != 0) {
            take_secondary(read, &keywords[i], rest);
        } else {
            close_block(read);
            keywords[i].take(read, rest);
        }
        return;
    }
    REMARK(read, "unknown-keyword", "\"%.40s\" is no keyword of the standard", word);
}

/* True if the line, which may be indented, begins with TEXT. */
static bool is_text_line(const char *line)
{
    while (mtmi_cue_is_delimiter(*line))
        line++;
    char word[5] = {0};
    strncpy(word, line, 4);
    return same_word(word, "TEXT") && (line[4] == '\0' || mtmi_cue_is_delimiter(line[4]));
}

/* Characters that the format does not have become spaces, or '?' in a text. */
static void clean_line(reader *read, char *line, size_t length)
{
    bool told = false;
    bool in_text = is_text_line(line);

    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)line[i];
        if ((c >= 0x20 && c < 0x7f) || c == '\t')
            continue;
        if (!told)
            REMARK(read, "non-ascii", "the character 0x%02x at place %zu is not of the format", c,
                   i + 1);
        told = true;
        line[i] = in_text ? '?' : ' ';
    }
}

static void take_line(reader *read, char *line, size_t length)
{
    read->line++;
    if (length > MTM_CUE_LINE_MOST)
        REMARK(read, "line-too-long", "%zu characters; a line has at most %d", length,
               MTM_CUE_LINE_MOST);
    clean_line(read, line, length);
    char *comment = strchr(line, '!');
    if (comment != NULL)
        *comment = '\0';
    take_instruction(read, line);
}

static void take_lines(reader *read, char *text, size_t length)
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

static void take_end(reader *read)
{
    close_block(read);
    if (!read->done)
        REMARK(read, "no-enddata", "no ENDDATA: the text was possibly cut short");
    if (!read->has_ident) {
        read->line = read->ident_line > 0 ? read->ident_line : 1;
        REMARK(read, "ident-missing", "no IDENT; version 3:0 is assumed");
    }
    if (read->any_cue && read->fewest < read->seen_count) {
        read->line = read->fewest_line;
        REMARK(read, "partial-cue",
               "this cue has %zu of the %zu channels that cues use; whether the others stay or go "
               "out is the receiver's choice",
               read->fewest, read->seen_count);
    }
    if (read->foreign_lines > 0) {
        read->line = read->foreign_first;
        REMARK(read, "manufacturer-skipped", "skipped %zu manufacturer lines, from here on",
               read->foreign_lines);
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
    reader *read = NULL;
    char *copy = NULL;
    mtm_cue_sheet *sheet = NULL;

    if (length > MTM_CUE_TEXT_MOST)
        return mtmi_fail(error, MTM_LIMIT, "cue text of %zu characters; at most %zu are read",
                         length, MTM_CUE_TEXT_MOST);
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
