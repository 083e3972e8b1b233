/* SPDX-License-Identifier: MIT */
/* Roff: text for manual pages, man(7). */
#include "cli/out/roff.h"

#include <metamer/version.h>

#include <stdbool.h>

void roff_title(const char *name, int section, const char *heading, FILE *out)
{
    (void)fprintf(out, ".TH %s %d \"%s\" \"metamer %s\" \"%s\"\n", name, section, ROFF_DATE,
                  MTM_VERSION, heading);
}

void roff_text(const char *text, FILE *out)
{
    bool line_start = true;

    for (; *text != '\0'; text++) {
        if (line_start && (*text == '.' || *text == '\''))
            (void)fputs("\\&", out);
        line_start = *text == '\n';
        if (*text == '\\')
            (void)fputs("\\e", out);
        else if (*text == '-')
            (void)fputs("\\-", out);
        else if (text[0] == '\n' && text[1] == '\n') {
            (void)fputs("\n.PP\n", out);
            text++;
            line_start = true;
        } else
            (void)fputc(*text, out);
    }
}

void roff_verbatim(const char *text, FILE *out)
{
    (void)fputs(".PP\n.nf\n", out);
    roff_text(text, out);
    (void)fputs("\n.fi\n", out);
}
