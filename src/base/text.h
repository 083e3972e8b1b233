/* SPDX-License-Identifier: MIT */
/* Text: a string that grows; a failed allocation is remembered, not lost. */
#ifndef METAMER_BASE_TEXT_H
#define METAMER_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/** Zeroed is empty and ready. After a failed allocation, failed is set and nothing more is added.
 */
typedef struct mtmi_text {
    char *data; /**< NUL-terminated, or NULL while empty */
    size_t length;
    size_t capacity;
    bool failed;
} mtmi_text;

void mtmi_text_add(mtmi_text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
void mtmi_text_add_bytes(mtmi_text *text, const void *bytes, size_t count);
/** Bytes of the UTF-8 character at text (RFC 3629); 0 if there is none. Stops at a NUL. */
size_t mtmi_utf8_length(const char *text);
/** Letters of UTF-8 text (not bytes). */
int mtmi_text_letters(const char *letters);
/** Adds letters, cut at width with an ellipsis if there are more. */
void mtmi_text_add_cut(mtmi_text *text, const char *letters, int width);
/** Adds letters padded with blanks to width, cut there with an ellipsis if there are more. */
void mtmi_text_add_column(mtmi_text *text, const char *letters, int width);
/** Adds a cell of CSV, quoted where it must be (RFC 4180). */
void mtmi_text_add_cell(mtmi_text *text, const char *cell);
void mtmi_text_free(mtmi_text *text);

#endif
