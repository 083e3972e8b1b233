/* SPDX-License-Identifier: MIT */
/* Safe words: names as they come, made fit to be set in one line. */
#ifndef METAMER_CANVAS_SAFE_H
#define METAMER_CANVAS_SAFE_H

#include "base/text.h"

/** Letters of words that are set at all; the rest is an ellipsis. */
#define MTMI_WORDS_LETTERS_MAX 400

/** Adds words to out: control characters and those that turn the direction of what follows are
 *  written out ("\n", "\u202e"), bytes that are no UTF-8 too ("\xff"), and what is longer than
 *  MTMI_WORDS_LETTERS_MAX is cut with an ellipsis. Unicode Standard Annex 9, 2; Unicode
 *  character database, general categories Cc, Zl, Zp. */
void mtmi_safe_words(const char *words, mtmi_text *out);
/** The same of words of any length, whose ends of lines stay. */
void mtmi_safe_paragraph(const char *words, mtmi_text *out);

#endif
