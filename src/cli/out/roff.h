/* SPDX-License-Identifier: MIT */
/* Roff: text for manual pages, man(7). */
#ifndef METAMER_CLI_OUT_ROFF_H
#define METAMER_CLI_OUT_ROFF_H

#include <stdio.h>

/** The day on which the pages were last gone through; a page is the same whenever it is made. */
#define ROFF_DATE "2026-11-26"

/** The line that opens a page: its name in capitals, its section and what the section holds. */
void roff_title(const char *name, int section, const char *heading, FILE *out);
/** Paragraphs: backslashes and hyphens escaped, no line that begins with a dot or quote, an empty
 *  line begins a paragraph. */
void roff_text(const char *text, FILE *out);
/** Lines that are shown as they stand, between empty lines. */
void roff_verbatim(const char *text, FILE *out);

#endif
