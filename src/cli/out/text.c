/* SPDX-License-Identifier: MIT */
/* Text output: columns of UTF-8 and cells of CSV. */
#include "cli/out/text.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

/* Where it cannot be asked for; and what a table needs at least to be one. */
#define LINE_COLUMNS 100
#define LINE_COLUMNS_MIN 60
#define NAME_COLUMNS_MIN 12

/* Code points from first to last, and the columns they take. */
struct span {
    uint32_t first, last;
    int columns;
};

/* Marks that combine, and the wide blocks of Unicode Standard Annex 11 (East Asian Width, W and F);
 * by whole blocks, which is enough for names. */
static const struct span spans[] = {
    {0x0300, 0x036f, 0},   {0x1100, 0x115f, 2},   {0x200b, 0x200f, 0}, {0x2e80, 0x303e, 2},
    {0x3041, 0xa4cf, 2},   {0xac00, 0xd7a3, 2},   {0xf900, 0xfaff, 2}, {0xfe00, 0xfe0f, 0},
    {0xfe30, 0xfe6f, 2},   {0xff00, 0xff60, 2},   {0xffe0, 0xffe6, 2}, {0x1f300, 0x1f64f, 2},
    {0x1f900, 0x1f9ff, 2}, {0x20000, 0x3fffd, 2},
};

static int columns_of(uint32_t point)
{
    for (size_t i = 0; i < sizeof spans / sizeof spans[0]; i++) {
        if (point >= spans[i].first && point <= spans[i].last)
            return spans[i].columns;
    }
    return 1;
}

/* The code point at *text, which moves behind it; bytes that are no UTF-8 stand for themselves. */
static uint32_t next_point(const char **text)
{
    uint32_t lead = (unsigned char)*(*text)++;
    int more = lead >= 0xf0 ? 3 : lead >= 0xe0 ? 2 : lead >= 0xc0 ? 1 : 0;
    uint32_t point = more > 0 ? lead & (0x3fU >> more) : lead;

    for (; more > 0 && ((unsigned char)**text & 0xc0) == 0x80; more--)
        point = point << 6 | ((unsigned char)*(*text)++ & 0x3f);
    return point;
}

int text_width(const char *text)
{
    int width = 0;

    while (*text != '\0')
        width += columns_of(next_point(&text));
    return width;
}

void text_put(const char *text, int width, FILE *out)
{
    bool cut = text_width(text) > width;
    int room = cut ? width - 1 : width;

    for (const char *next = text; *text != '\0'; text = next) {
        int columns = columns_of(next_point(&next));
        if (columns > room)
            break;
        room -= columns;
        (void)fwrite(text, 1, (size_t)(next - text), out);
    }
    if (cut)
        (void)fputs("…", out);
    (void)fprintf(out, "%*s", room, "");
}

void text_put_cut(const char *text, int width, FILE *out)
{
    int wanted = text_width(text);

    text_put(text, wanted < width ? wanted : width, out);
}

void text_word(const char *text, int index, char *word, size_t room)
{
    word[0] = '\0';
    for (; *text != '\0'; index--) {
        size_t length = strcspn(text, " ");
        if (index == 0) {
            (void)snprintf(word, room, "%.*s", (int)length, text);
            return;
        }
        text += length;
        text += strspn(text, " ");
    }
}

/* A blank stands before these in SI and in the trade. */
static const char *const units[] = {"%",      "A",   "Hz",    "K",   "V",  "VA",   "W",  "cd",
                                    "cd/klm", "h",   "kW",    "kVA", "lm", "lm/W", "lx", "m",
                                    "mA",     "min", "mired", "ms",  "nm", "s"};

static bool is_number(const char *text, size_t length)
{
    static const char signs[] = "(+-~"; /* and ±, by its bytes */

    while (length > 0 &&
           (memchr(signs, text[0], sizeof signs - 1) != NULL || (text[0] & 0x80) != 0)) {
        text++;
        length--;
    }
    return length > 0 && strspn(text, "0123456789.") >= length;
}

static bool is_unit(const char *text, size_t length)
{
    while (length > 0 && strchr(".,;:)", text[length - 1]) != NULL)
        length--;
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (strlen(units[i]) == length && memcmp(units[i], text, length) == 0)
            return true;
    return false;
}

size_t text_unbroken(const char *text)
{
    size_t length = strcspn(text, " \n");

    if (text[length] != ' ' || !is_number(text, length))
        return length;
    size_t next = strcspn(text + length + 1, " \n");
    return is_unit(text + length + 1, next) ? length + 1 + next : length;
}

int text_name_columns(int longest, int rest, FILE *out)
{
    int room = text_line_columns(out) - rest;

    room = room > NAME_COLUMNS_MIN ? room : NAME_COLUMNS_MIN;
    return longest < room ? longest : room;
}

void text_put_name(const char *name, int indent, int width, FILE *out)
{
    if (text_width(name) > width) {
        (void)fprintf(out, "%s\n%*s", name, indent, "");
        name = "";
    }
    text_put(name, width, out);
}

int text_widest(int width, const char *text)
{
    int columns = text_width(text);

    return columns > width ? columns : width;
}

int text_line_columns(FILE *out)
{
    struct winsize size = {0};
    int descriptor = fileno(out);

    if (descriptor < 0 || isatty(descriptor) != 1 || ioctl(descriptor, TIOCGWINSZ, &size) != 0 ||
        size.ws_col == 0)
        return LINE_COLUMNS;
    return size.ws_col > LINE_COLUMNS_MIN ? size.ws_col : LINE_COLUMNS_MIN;
}

int text_put_wrapped(const char *text, int at, int indent, int width, FILE *out)
{
    while (*text != '\0') {
        size_t length = text_unbroken(text);
        char word[256];
        (void)snprintf(word, sizeof word, "%.*s", (int)length, text);
        int columns = length < sizeof word ? text_width(word) : (int)length;
        if (at > indent && at + 1 + columns > width) {
            (void)fprintf(out, "\n%*s", indent, "");
            at = indent;
        }
        (void)fprintf(out, "%s%.*s", at > indent ? " " : "", (int)length, text);
        at += columns + (at > indent);
        text += length;
        text += strspn(text, " ");
    }
    return at;
}

void text_put_sentence(const char *text, FILE *out)
{
    (void)text_put_wrapped(text, 0, 0, text_line_columns(out), out);
    (void)fputc('\n', out);
}

void text_put_said(void (*say)(const void *of, FILE *out), const void *of, FILE *out)
{
    char *text = NULL;
    size_t size = 0;
    FILE *said = open_memstream(&text, &size);

    if (said != NULL)
        say(of, said);
    if (said == NULL || fclose(said) != 0)
        say(of, out); /* without memory for it the lines are long */
    else
        for (char *line = text, *end; (end = strchr(line, '\n')) != NULL; line = end + 1) {
            int indent = (int)strspn(line, " ");
            *end = '\0';
            (void)fprintf(out, "%*s", indent, "");
            (void)text_put_wrapped(line + indent, indent, indent, text_line_columns(out), out);
            (void)fputc('\n', out);
        }
    free(text);
}

static void add_limit(char *text, size_t room, const char *what, double share, const char *behind)
{
    size_t used = strlen(text);

    if (used < room)
        (void)snprintf(text + used, room - used, "%s%s %g %%%s", used > 0 ? ", " : "", what,
                       100 * share, behind);
}

void text_limits(const mtm_fixture *fixture, char *text, size_t room)
{
    const mtm_limits *limits = mtm_fixture_limits(fixture);

    text[0] = '\0';
    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        char what[80];
        (void)snprintf(what, sizeof what, "%.60s up to", mtm_fixture_emitter(fixture, k)->name);
        if (limits->most_level[k] > 0)
            add_limit(text, room, what, limits->most_level[k], "");
        else if (limits->left_out[k] && strlen(text) < room)
            (void)snprintf(text + strlen(text), room - strlen(text), "%s%.60s dark",
                           text[0] != '\0' ? ", " : "", mtm_fixture_emitter(fixture, k)->name);
    }
    if (limits->lowest_level > 0)
        add_limit(text, room, "emitters from", limits->lowest_level, " on");
    if (limits->most_purity > 0)
        add_limit(text, room, "purity up to", limits->most_purity, "");
    if (limits->headroom > 0)
        add_limit(text, room, "headroom", limits->headroom, "");
    if (limits->no_ultraviolet && strlen(text) < room)
        (void)snprintf(text + strlen(text), room - strlen(text), "%sno ultraviolet",
                       text[0] != '\0' ? ", " : "");
}

double text_clean(double value, int decimals)
{
    return fabs(value) < 0.5 * pow(10, -decimals) ? 0 : value;
}

int text_decimals(double value, int fewest)
{
    int decimals = fewest;

    while (decimals < 4 && value * pow(10, decimals) < 10)
        decimals++;
    return decimals;
}

void text_put_csv(const char *text, FILE *out)
{
    if (strpbrk(text, ",\"\r\n") == NULL) {
        (void)fputs(text, out);
        return;
    }
    (void)fputc('"', out);
    for (; *text != '\0'; text++) {
        if (*text == '"')
            (void)fputc('"', out);
        (void)fputc(*text, out);
    }
    (void)fputc('"', out);
}

void text_put_csv_number(double value, int decimals, FILE *out)
{
    (void)fputc(',', out);
    if (isfinite(value))
        (void)fprintf(out, "%.*f", decimals, text_clean(value, decimals));
}

void text_put_cell(double value, int width, int decimals, FILE *out)
{
    if (isfinite(value))
        (void)fprintf(out, "%*.*f", width, decimals, text_clean(value, decimals));
    else
        (void)fprintf(out, "%*s", width, "-");
}

void text_put_signed_cell(double value, int width, int decimals, FILE *out)
{
    if (isfinite(value))
        (void)fprintf(out, "%+*.*f", width, decimals, text_clean(value, decimals));
    else
        (void)fprintf(out, "%*s", width, "-");
}

double text_percent_more(double part, double whole)
{
    return text_clean(whole > 0 ? 100 * (part / whole - 1) : 0, 1);
}
