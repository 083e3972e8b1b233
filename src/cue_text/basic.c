/* SPDX-License-Identifier: MIT */
/* Cue text: basic keywords, which stand alone. */
#include "cue_text/reader.h"

#include <string.h>

static void read_ident(mtmi_cue_reader *read, char *rest)
{
    char *word = mtmi_cue_next_word(&rest);
    char *colon = word != NULL ? strchr(word, ':') : NULL;
    unsigned major = 0;
    unsigned minor = 0;

    if (read->instructions > 1)
        MTMI_CUE_REMARK(read, "ident-late", "IDENT comes before every other instruction");
    read->has_ident = true;
    if (colon != NULL)
        *colon = '\0';
    if (colon == NULL || !mtmi_cue_integer(word, &major) || !mtmi_cue_integer(colon + 1, &minor))
        MTMI_CUE_REMARK(read, "bad-number", "IDENT wants a version such as 3:0");
    else if (major != 3)
        MTMI_CUE_REMARK(read, "ident-version", "version %u:%u; read as if it were 3:0", major,
                        minor);
    mtmi_cue_expect_end(read, rest);
}

static void read_maker(mtmi_cue_reader *read, char *rest, char *into)
{
    const char *word = mtmi_cue_next_word(&rest);

    if (word == NULL || !mtmi_cue_identifier(word)) {
        MTMI_CUE_REMARK(read, "bad-identifier", "\"%.40s\" is not 1 to 10 letters and digits",
                        word != NULL ? word : "");
        return;
    }
    memcpy(into, word, strlen(word) + 1);
    mtmi_cue_expect_end(read, rest);
}

static void read_manufacturer(mtmi_cue_reader *read, char *rest)
{
    read_maker(read, rest, read->sheet->manufacturer);
}

static void read_console(mtmi_cue_reader *read, char *rest)
{
    read_maker(read, rest, read->sheet->console);
}

static bool has_kind(const mtm_cue_sheet *sheet, mtm_cue_type type)
{
    size_t at = mtmi_cue_find(sheet, type, 0, NULL);

    return at < sheet->count && sheet->cue[at]->type == type;
}

/* Erases what the receiver holds: here that can only be what came earlier in the same text. */
static void clear(mtmi_cue_reader *read, bool cues, bool groups, bool subs, bool patch)
{
    const bool wanted[] = {cues, groups, subs};
    bool late = patch && read->sheet->patch_count > 0;

    for (int type = MTM_CUE_CUE; type <= MTM_CUE_SUB; type++) {
        if (!wanted[type] || !has_kind(read->sheet, (mtm_cue_type)type))
            continue;
        late = true;
        mtmi_cue_clear(read->sheet, (mtm_cue_type)type);
    }
    if (patch)
        mtmi_cue_clear_patch(read->sheet);
    if (late)
        MTMI_CUE_REMARK(read, "clear-late", "what came before in this text is erased");
}

static void read_clear(mtmi_cue_reader *read, char *rest)
{
    static const struct {
        const char *name;
        bool cues, groups, subs, patch;
    } what[] = {{"ALL", true, true, true, true},
                {"CUES", true, false, false, false},
                {"GROUPS", false, true, false, false},
                {"SUBS", false, false, true, false},
                {"PATCH", false, false, false, true}};
    const char *word = mtmi_cue_next_word(&rest);

    for (size_t i = 0; word != NULL && i < sizeof what / sizeof what[0]; i++) {
        if (mtmi_cue_same_word(word, what[i].name)) {
            clear(read, what[i].cues, what[i].groups, what[i].subs, what[i].patch);
            mtmi_cue_expect_end(read, rest);
            return;
        }
    }
    MTMI_CUE_REMARK(read, "unknown-value",
                    "CLEAR \"%.40s\": known are ALL, CUES, GROUPS, PATCH, SUBS",
                    word != NULL ? word : "");
}

static void patch_one(mtmi_cue_reader *read, mtm_cue_patch patch)
{
    mtm_cue_patch before = read->sheet->patch_of[patch.dimmer];

    if (before.channel != 0)
        MTMI_CUE_REMARK(read, "repeat", "dimmer %u was patched to channel %u before",
                        (unsigned)patch.dimmer, (unsigned)before.channel);
    if (mtm_cue_sheet_patch(read->sheet, patch, NULL) != MTM_OK)
        read->failed = true;
}

/* PATCH page channel<dimmer@level ... */
static void read_patch(mtmi_cue_reader *read, char *rest)
{
    const char *page = mtmi_cue_next_word(&rest);
    uint16_t number = 0;

    if (page == NULL || !mtmi_cue_take_count(read, page, "page", &number)) {
        if (page == NULL)
            MTMI_CUE_REMARK(read, "odd-parameters",
                            "PATCH wants a page, then channel<dimmer@level");
        return;
    }
    for (const char *channel = mtmi_cue_next_word(&rest); channel != NULL;
         channel = mtmi_cue_next_word(&rest)) {
        const char *dimmer = mtmi_cue_next_word(&rest);
        const char *level = dimmer != NULL ? mtmi_cue_next_word(&rest) : NULL;
        mtm_cue_patch patch = {0};
        if (level == NULL) {
            MTMI_CUE_REMARK(read, "odd-parameters", "a patch of channel \"%.40s\" without %s",
                            channel, dimmer == NULL ? "dimmer and level" : "level");
            return;
        }
        if (mtmi_cue_take_count(read, channel, "channel", &patch.channel) &&
            mtmi_cue_take_count(read, dimmer, "dimmer", &patch.dimmer) &&
            mtmi_cue_take_level(read, level, &patch.level))
            patch_one(read, patch);
    }
}

static void set_default(mtmi_cue_reader *read, char *rest)
{
    const char *which = mtmi_cue_next_word(&rest);
    bool up = which != NULL && mtmi_cue_same_word(which, "UP");
    double seconds = 0;

    if (!up && (which == NULL || !mtmi_cue_same_word(which, "DOWN"))) {
        MTMI_CUE_REMARK(read, "unknown-value", "SET DEFAULT \"%.40s\": known are UP and DOWN",
                        which != NULL ? which : "");
        return;
    }
    if (!mtmi_cue_take_time(read, mtmi_cue_next_word(&rest), "SET DEFAULT", &seconds))
        return;
    if (up) {
        read->sheet->has_default_up = true;
        read->sheet->default_up_s = seconds;
    } else {
        read->sheet->has_default_down = true;
        read->sheet->default_down_s = seconds;
    }
    mtmi_cue_expect_end(read, rest);
}

static void read_set(mtmi_cue_reader *read, char *rest)
{
    const char *name = mtmi_cue_next_word(&rest);
    uint16_t number = 0;

    if (name != NULL && mtmi_cue_same_word(name, "DEFAULT")) {
        set_default(read, rest);
    } else if (name != NULL &&
               (mtmi_cue_same_word(name, "CHANNELS") || mtmi_cue_same_word(name, "PATCH"))) {
        const char *value =
            mtmi_cue_next_word(&rest); /* checked only: nothing here depends on it */
        if (value == NULL)
            MTMI_CUE_REMARK(read, "odd-parameters", "SET %.40s wants a number", name);
        else if (mtmi_cue_take_count(read, value, "number", &number))
            mtmi_cue_expect_end(read, rest);
    } else {
        MTMI_CUE_REMARK(read, "unknown-value", "SET \"%.40s\": known are CHANNELS, PATCH, DEFAULT",
                        name != NULL ? name : "");
    }
}

static void read_enddata(mtmi_cue_reader *read, char *rest)
{
    mtmi_cue_expect_end(read, rest);
    read->done = true;
}

const mtmi_cue_keyword mtmi_cue_basic[] = {
    {"CLEAR", read_clear, 0},
    {"CONSOLE", read_console, 0},
    {"ENDDATA", read_enddata, 0},
    {"IDENT", read_ident, 0},
    {"MANUFACTURER", read_manufacturer, 0},
    {"PATCH", read_patch, 0},
    {"SET", read_set, 0},
    {NULL, NULL, 0},
};
