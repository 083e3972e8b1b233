/* SPDX-License-Identifier: MIT */
/* Text output: columns of UTF-8 and cells of CSV. */
#ifndef METAMER_CLI_TEXT_OUT_H
#define METAMER_CLI_TEXT_OUT_H

#include <stdio.h>

/** Letters of UTF-8 text (not bytes). */
int text_width(const char *text);
/** Prints text padded to width letters, cut there with an ellipsis if longer. */
void text_put(const char *text, int width, FILE *out);
/** Prints a cell of CSV, quoted where it must be (RFC 4180). */
void text_put_csv(const char *text, FILE *out);

#endif
