/* SPDX-License-Identifier: MIT */
/* Cue text: words of a line, and values with their remarks. */
#include "cue_text/reader.h"

char *mtmi_cue_next_word(char **at)
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
void mtmi_cue_expect_end(mtmi_cue_reader *read, char *rest)
{
    const char *extra = mtmi_cue_next_word(&rest);

    if (extra != NULL)
        MTMI_CUE_REMARK(read, "odd-parameters", "\"%.40s\" is one parameter too many", extra);
}

static char upper(char c)
{
    return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

bool mtmi_cue_same_word(const char *a, const char *b)
{
    while (*a != '\0' && upper(*a) == upper(*b)) {
        a++;
        b++;
    }
    return *a == *b;
}

/* A level; remarks where it is none, or a strange one. */
bool mtmi_cue_take_level(mtmi_cue_reader *read, const char *word, uint8_t *level)
{
    mtmi_cue_strange strange = MTMI_CUE_PLAIN;

    if (!mtmi_cue_level(word, level, &strange)) {
        MTMI_CUE_REMARK(read, "bad-level", "\"%.40s\" is no level: 0 to 100, or H00 to HFF", word);
        return false;
    }
    if (strange == MTMI_CUE_WIDE_HEX)
        MTMI_CUE_REMARK(read, "level-wide-hex", "\"%.40s\" is taken as 16 bits, so as H%02X", word,
                        (unsigned)*level);
    if (strange == MTMI_CUE_WORD)
        MTMI_CUE_REMARK(read, "level-word", "\"%.40s\" is taken as full", word);
    return true;
}

bool mtmi_cue_take_count(mtmi_cue_reader *read, const char *word, const char *what,
                         uint16_t *number)
{
    unsigned value = 0;

    if (!mtmi_cue_integer(word, &value) || value == 0) {
        MTMI_CUE_REMARK(read, "bad-number", "\"%.40s\" is no %s: 1 to 65535", word, what);
        return false;
    }
    *number = (uint16_t)value;
    return true;
}

bool mtmi_cue_take_time(mtmi_cue_reader *read, const char *word, const char *what, double *seconds)
{
    if (word != NULL && mtmi_cue_time(word, seconds))
        return true;
    MTMI_CUE_REMARK(read, "bad-time", "\"%.40s\" is no time of %s: seconds, mm:ss or hh:mm:ss",
                    word != NULL ? word : "", what);
    return false;
}
