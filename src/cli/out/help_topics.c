/* SPDX-License-Identifier: MIT */
/* Help on files for a terminal: one kind of file, from the tables that the manual page of section 5
 * is made from. */
#include "cli/out/file_formats.h"
#include "cli/out/help.h"
#include "cli/out/text.h"

#include <string.h>

#define WIDTH 80
#define INDENT 8

static void put_lines(const char *text, int at, int indent, FILE *out)
{
    (void)text_put_wrapped(text, at, indent, WIDTH, out);
    (void)fputc('\n', out);
}

/* Paragraphs, split by empty lines. */
static void put_paragraphs(const char *text, FILE *out)
{
    char paragraph[2048];

    while (*text != '\0') {
        const char *end = strstr(text, "\n\n");
        size_t length = end != NULL ? (size_t)(end - text) : strlen(text);
        (void)snprintf(paragraph, sizeof paragraph, "%.*s", (int)length, text);
        put_lines(paragraph, 0, 0, out);
        text += length + (end != NULL ? 2 : 0);
        if (*text != '\0')
            (void)fputc('\n', out);
    }
}

/* A name at column 2, what it holds behind it. */
static int put_name(const char *name, const char *value, FILE *out)
{
    (void)fprintf(out, "  %s", name);
    int at = 2 + text_width(name);
    if (value[0] == '\0')
        return at;
    (void)fputs("  ", out);
    return text_put_wrapped(value, at + 2, at + 2 < 30 ? at + 2 : INDENT, WIDTH, out);
}

static void put_key(const struct file_key *key, FILE *out)
{
    char text[1024];

    (void)snprintf(
        text, sizeof text, "%s; %s%s", key->value,
        key->missing == NULL ? "needed" : "if missing: ", key->missing != NULL ? key->missing : "");
    (void)put_name(key->name, text, out);
    size_t used = (size_t)snprintf(text, sizeof text, "%s", key->meaning);
    for (size_t i = 0; key->choice_at != NULL && key->choice_at(i) != NULL && used < sizeof text;
         i++)
        used += (size_t)snprintf(text + used, sizeof text - used, "%s%s", i == 0 ? ": " : ", ",
                                 key->choice_at(i));
    (void)fprintf(out, "\n%*s", INDENT, "");
    put_lines(text, INDENT, INDENT, out);
    file_example(key, text, sizeof text);
    (void)fprintf(out, "%*s", INDENT, "");
    put_lines(text, INDENT, INDENT, out);
}

static void put_object(const struct file_object *object, FILE *out)
{
    (void)fprintf(out, "\n%s\n", object->title);
    if (object->about[0] != '\0')
        put_lines(object->about, 0, 0, out);
    for (const struct file_key *key = object->keys; key->name != NULL; key++)
        put_key(key, out);
}

/* A list with bars between. */
static void put_list(const char *title, const char *list, FILE *out)
{
    char text[256];
    size_t used = (size_t)snprintf(text, sizeof text, "%s", title);

    for (; *list != '\0' && used + 3 < sizeof text; list++) {
        if (*list == '|')
            text[used++] = ',';
        text[used++] = *list == '|' ? ' ' : *list;
    }
    text[used] = '\0';
    (void)fprintf(out, "%*s", INDENT, "");
    put_lines(text, INDENT, INDENT, out);
}

static void put_names(const struct file_names *names, FILE *out)
{
    struct file_name row;

    (void)fprintf(out, "\n%s\n", names->title);
    if (names->about[0] != '\0')
        put_lines(names->about, 0, 0, out);
    for (size_t i = 0; names->row_at(i, &row); i++) {
        (void)put_name(row.name, row.value, out);
        (void)fprintf(out, "\n%*s", INDENT, "");
        put_lines(row.meaning, INDENT, INDENT, out);
        if (row.more != NULL)
            put_list("headings: ", row.more, out);
    }
}

static void put_format(const struct file_format *format, FILE *out)
{
    (void)fprintf(out, "Files of kind %s\n", format->name);
    put_lines(format->about, 0, 0, out);
    if (format->example != NULL)
        (void)fprintf(out, "\nExample\n%s\n", format->example);
    for (const struct file_object *object = format->objects; object->title != NULL; object++)
        put_object(object, out);
}

/* What holds a colour, wherever it stands. */
static void put_colours(FILE *out)
{
    for (const struct file_object *object = file_show_objects; object->title != NULL; object++) {
        if (strcmp(object->title, "A colour") == 0)
            put_object(object, out);
    }
}

bool help_topic(const char *topic, bool behind, FILE *out)
{
    bool known = false;

    for (size_t i = 0; file_topic_at(i) != NULL; i++)
        known = known || strcmp(file_topic_at(i), topic) == 0;
    if (!known)
        return false;
    if (behind)
        (void)fputc('\n', out);
    for (const struct file_format *format = file_formats; format->name != NULL; format++) {
        if (file_format_is(format, topic))
            put_format(format, out);
    }
    if (strcmp(topic, "colours") == 0)
        put_colours(out);
    for (const struct file_names *names = file_names; names->topic != NULL; names++) {
        if (strcmp(names->topic, topic) == 0)
            put_names(names, out);
    }
    if (strcmp(topic, "readings") == 0) {
        (void)fprintf(out, "\nReadings as a table\n");
        put_paragraphs(file_about_tables, out);
    }
    return true;
}
