/* SPDX-License-Identifier: MIT */
/* Text output: columns of UTF-8 and cells of CSV. */
#ifndef METAMER_CLI_OUT_TEXT_H
#define METAMER_CLI_OUT_TEXT_H

#include <metamer/fixture.h>

#include <stdio.h>

/** Columns that UTF-8 text takes on a terminal: two for the wide letters of East Asia, none for
 * marks that combine with the letter before. */
int text_width(const char *text);
/** Prints text padded to width columns, cut there with an ellipsis if longer. */
void text_put(const char *text, int width, FILE *out);
/** Prints text of at most width columns, cut as above and not padded. */
void text_put_cut(const char *text, int width, FILE *out);
/** Word number index of a text, of words split by blanks; "" past the last. */
void text_word(const char *text, int index, char *word, size_t room);
/** Bytes of the word that begins a text, up to a blank or the end of a line; a number and the unit
 *  behind it ("12 W", "45 %,") are one word. */
size_t text_unbroken(const char *text);
/** Columns for the names at the beginning of a table's lines: those of the longest, as far as rest
 *  columns behind them leave room. */
int text_name_columns(int longest, int rest, FILE *out);
/** Prints a name padded to those columns, behind an indent. One that is longer stands whole in a
 *  line of its own, and what follows below it: two names that begin alike are never cut alike. */
void text_put_name(const char *name, int indent, int width, FILE *out);
/** The greater of a width and that of a text. */
int text_widest(int width, const char *text);
/** Columns that a table keeps to: those of the terminal that out is, or 100. */
int text_line_columns(FILE *out);
/** Prints words in a line that has come to column at, each behind a blank unless at is indent, and
 *  goes on in lines that begin at column indent where one of width columns is full. Returns the
 *  column that it has come to. */
int text_put_wrapped(const char *text, int at, int indent, int width, FILE *out);
/** Prints a sentence in lines of at most text_line_columns, and ends the last. */
void text_put_sentence(const char *text, FILE *out);
/** Prints what say writes of a thing, each of its lines as a sentence; a line keeps its indent. */
void text_put_said(void (*say)(const void *of, FILE *out), const void *of, FILE *out);
/** What limits a fixture keeps to: "lime up to 30 %, headroom 10 %"; "" for none. */
void text_limits(const mtm_fixture *fixture, char *text, size_t room);
/** Room for that. */
#define TEXT_LIMITS_ROOM 1400
/** The value, or 0 where it would be printed as a minus before zeros. */
double text_clean(double value, int decimals);
/** Decimals, at least fewest and at most 4, that show a value above 0 with two digits. */
int text_decimals(double value, int fewest);
/** Prints a cell of CSV, quoted where it must be (RFC 4180). */
void text_put_csv(const char *text, FILE *out);
/** Prints a comma and a number behind it; nothing behind it where value is not finite. */
void text_put_csv_number(double value, int decimals, FILE *out);
/** Prints a number right-aligned in a column of this width, or "-" where it is not finite. */
void text_put_cell(double value, int width, int decimals, FILE *out);
/** The same with its sign, + or -. */
void text_put_signed_cell(double value, int width, int decimals, FILE *out);

/** By how many per cent part is more than whole, for one decimal; 0 for a whole of 0. */
double text_percent_more(double part, double whole);

#endif
