/* SPDX-License-Identifier: MIT */
/* CSV: lines and fields of a table in memory, cut up in place. */
#ifndef METAMER_BASE_CSV_H
#define METAMER_BASE_CSV_H

#include <stdbool.h>

/** The separator that means any run of blanks and tabs. */
#define MTMI_CSV_BLANK ' '

/** Cuts the next line off at *next, which becomes NULL behind the last; false at the end. Lines end
 *  in LF, CR LF or CR. */
bool mtmi_csv_line(char **next, char **line);

/** Cuts one field off at *at, which becomes NULL behind the last. Quotes about it (RFC 4180) and
 *  blanks about it are taken off. */
char *mtmi_csv_field(char **at, char separator);

#endif
