/* SPDX-License-Identifier: MIT */
/* Text output: columns of UTF-8 and cells of CSV. */
#include "cli/text_out.h"

#include <string.h>

static int is_letter_start(char c)
{
    return ((unsigned char)c & 0xc0) != 0x80;
}

int text_width(const char *text)
{
    int width = 0;

    for (; *text != '\0'; text++)
        width += is_letter_start(*text);
    return width;
}

void text_put(const char *text, int width, FILE *out)
{
    int letters = text_width(text);
    int keep = letters > width ? width - 1 : letters;
    int printed = 0;

    for (const char *c = text; *c != '\0'; c++) {
        if (is_letter_start(*c) && printed++ == keep)
            break;
        (void)fputc(*c, out);
    }
    if (letters > width)
        (void)fputs("…", out);
    if (letters < width)
        (void)fprintf(out, "%*s", width - letters, "");
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
