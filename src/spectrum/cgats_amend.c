/* SPDX-License-Identifier: MIT */
/* CGATS text made such that LittleCMS's reader takes it: heading, counts that are missing, cells.
 */
#include "spectrum/cgats_amend.h"

#include <string.h>
#include <strings.h>

struct word {
    const char *text;
    size_t length; /* 0 at the end of the text */
};

/* The next word at *at: what stands between blanks, or between quotes; comments are skipped. */
static struct word next_word(const char **at)
{
    const char *begin = *at;

    for (;;) {
        begin += strspn(begin, " \t\r\n");
        if (*begin != '#')
            break;
        begin += strcspn(begin, "\r\n");
    }
    size_t length = strcspn(begin, " \t\r\n");
    if (*begin == '"' || *begin == '\'') {
        const char stop[] = {*begin, '\r', '\n', '\0'};

        length = 1 + strcspn(begin + 1, stop);
        length += begin[length] == *begin ? 1 : 0;
    }
    *at = begin + length;
    return (struct word){begin, length};
}

static bool is(struct word word, const char *name)
{
    return strlen(name) == word.length && strncasecmp(word.text, name, word.length) == 0;
}

/* Words up to the one named, which is taken too. */
static size_t count_until(const char **at, const char *name)
{
    size_t count = 0;

    for (struct word word = next_word(at); word.length > 0 && !is(word, name); word = next_word(at))
        count++;
    return count;
}

bool mtmi_is_cgats(const char *text)
{
    const char *at = text;
    struct word word = next_word(&at);

    if (word.length >= 5 && strncasecmp(word.text, "CGATS", 5) == 0)
        return true;
    for (; word.length > 0; word = next_word(&at)) {
        if (is(word, "BEGIN_DATA_FORMAT") || is(word, "BEGIN_DATA"))
            return true;
    }
    return false;
}

bool mtmi_cgats_includes(const char *text)
{
    for (const char *at = text; (at = strpbrk(at, ".$")) != NULL; at++) {
        if (strncasecmp(at + 1, "include", 7) == 0)
            return true;
    }
    return false;
}

/* What has been read and copied so far. */
struct amender {
    const char *copied; /* up to here */
    const char *at;
    mtmi_text *out;
    bool fields_stated, sets_stated;
    size_t fields;
    mtmi_cgats_amended found;
};

static void copy_to(struct amender *amender, const char *end)
{
    mtmi_text_add_bytes(amender->out, amender->copied, (size_t)(end - amender->copied));
    amender->copied = end;
}

static void insert_count(struct amender *amender, const char *before, const char *keyword,
                         size_t count)
{
    copy_to(amender, before);
    mtmi_text_add(amender->out, "%s %zu\n", keyword, count);
    amender->found.line_inserted = true;
}

/* Copies the cells up to END_DATA, each in quotes. */
static void quote_cells(struct amender *amender)
{
    for (struct word word = next_word(&amender->at); word.length > 0 && !is(word, "END_DATA");
         word = next_word(&amender->at)) {
        if (*word.text == '"' || *word.text == '\'')
            continue;
        const char *quote = memchr(word.text, '"', word.length) == NULL ? "\"" : "'";

        copy_to(amender, word.text);
        mtmi_text_add(amender->out, "%s", quote);
        copy_to(amender, word.text + word.length);
        mtmi_text_add(amender->out, "%s", quote);
    }
}

static void amend_data(struct amender *amender, const char *begin)
{
    const char *ahead = amender->at;
    size_t cells = count_until(&ahead, "END_DATA");

    if (!amender->sets_stated && amender->fields > 0 && cells % amender->fields == 0)
        insert_count(amender, begin, "NUMBER_OF_SETS", cells / amender->fields);
    quote_cells(amender);
    amender->fields_stated = amender->sets_stated = false; /* another table may follow */
}

/* The reader takes the first line for the kind of file, if it is one word; and gives up at a line
 * of comment that is longer. */
static void amend_heading(struct amender *amender)
{
    const char *at = amender->at;
    struct word first = next_word(&at);
    struct word second = next_word(&at);
    const char *line_end = first.text + first.length;

    line_end += strcspn(line_end, "\r\n");
    if (first.text == amender->at && second.text >= line_end)
        return;
    amender->copied = first.text;
    amender->found.line_inserted = true;
    if (second.length > 0 && second.text < line_end)
        mtmi_text_add(amender->out, "CGATS.17\n");
}

mtmi_cgats_amended mtmi_cgats_amend(const char *text, mtmi_text *out)
{
    struct amender amender = {.copied = text, .at = text, .out = out};

    amend_heading(&amender);
    for (struct word word = next_word(&amender.at); word.length > 0;
         word = next_word(&amender.at)) {
        amender.found.heading_words++;
        if (is(word, "NUMBER_OF_FIELDS")) {
            amender.fields_stated = true;
        } else if (is(word, "NUMBER_OF_SETS")) {
            amender.sets_stated = true;
        } else if (is(word, "BEGIN_DATA_FORMAT")) {
            amender.fields = count_until(&amender.at, "END_DATA_FORMAT");
            if (!amender.fields_stated)
                insert_count(&amender, word.text, "NUMBER_OF_FIELDS", amender.fields);
        } else if (is(word, "BEGIN_DATA")) {
            amend_data(&amender, word.text);
        }
    }
    copy_to(&amender, amender.at);
    return amender.found;
}
