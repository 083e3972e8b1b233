/* SPDX-License-Identifier: MIT */
/* CGATS text made such that LittleCMS's reader takes it. */
#ifndef METAMER_SPECTRUM_CGATS_AMEND_H
#define METAMER_SPECTRUM_CGATS_AMEND_H

#include "base/text.h"

/** True for text with a CGATS data section or heading. */
bool mtmi_is_cgats(const char *text);

/** True if text asks for another file to be read in its place. */
bool mtmi_cgats_includes(const char *text);

/** What was found on the way. */
typedef struct mtmi_cgats_amended {
    bool line_inserted;   /**< line numbers have moved */
    size_t heading_words; /**< outside of data and its format */
} mtmi_cgats_amended;

/**
 * Copies text and puts in the heading and the counts of fields and sets that some writers leave out
 * and the reader demands; counts that are there stay, right or wrong. Puts every cell in quotes,
 * for the reader (2.14) runs "1e-5" and "2A" together with what it read before, and rounds numbers.
 * The caller checks out->failed and frees.
 */
mtmi_cgats_amended mtmi_cgats_amend(const char *text, mtmi_text *out);

#endif
