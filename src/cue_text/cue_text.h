/* SPDX-License-Identifier: MIT */
/* Cue text: what sheet, reader and writer share. */
#ifndef METAMER_CUE_TEXT_CUE_TEXT_H
#define METAMER_CUE_TEXT_CUE_TEXT_H

#include "base/text.h"

#include <metamer/cue_text.h>

/** A remark as kept. */
typedef struct mtmi_cue_remark {
    size_t line;
    size_t serial; /* the order in which they came up */
    const mtm_cue_code *code;
    char text[120];
} mtmi_cue_remark;

struct mtm_cue_sheet {
    mtm_cue_entry **cue; /* each with all it points to; sorted by type and number */
    size_t count;
    size_t capacity;

    mtm_cue_patch patch_of[MTM_CUE_DIMMER_MAX + 1]; /* by dimmer; channel 0: none */
    size_t patch_count;
    size_t dimmer_most; /* none above is patched */
    bool is_coarse[MTM_CUE_CHANNEL_MAX + 1];
    unsigned coarse_most; /* none above is coarse */

    char manufacturer[11];
    char console[11];
    bool has_default_up;
    bool has_default_down;
    double default_up_s;
    double default_down_s;

    mtmi_cue_remark *remark;
    size_t remark_count;
    size_t remark_capacity;
    size_t severities[3];
};

/** Index of a cue, or where it would stand; found may be NULL. */
size_t mtmi_cue_find(const mtm_cue_sheet *sheet, mtm_cue_type type, uint32_t number_tenths,
                     bool *found);
/** Removes all of a type. */
void mtmi_cue_clear(mtm_cue_sheet *sheet, mtm_cue_type type);
void mtmi_cue_clear_patch(mtm_cue_sheet *sheet);

/** Marks every channel that a cue or the patch uses; returns the highest. used has
 *  MTM_CUE_CHANNEL_MAX + 1 places. */
unsigned mtmi_cue_channels(const mtm_cue_sheet *sheet, bool *used);
/** Puts a cue's own levels over those that stand. */
void mtmi_cue_apply(const mtm_cue_entry *cue, uint8_t *level);

/** Adds a remark; false if out of memory. */
bool mtmi_cue_remark_add(mtm_cue_sheet *sheet, size_t line, const char *code, const char *format,
                         ...) __attribute__((format(printf, 4, 5)));

/** Puts the remarks in the order of lines, those of one line as they came up. */
void mtmi_cue_remark_sort(mtm_cue_sheet *sheet);

/** What ends a line that is written. */
#define MTMI_CUE_LINE_END "\r\n"

/** What fits of a text, most characters of the format at most, for which to has room and for a NUL;
 *  true if anything had to change. */
bool mtmi_cue_to_ascii(const char *from, size_t most, char *to);
/** Adds the channel list as remarks: a line for each slot of a rig's units that the patch of a
 * sheet has, by channels. changed counts those that were cut or changed. False if out of memory. */
bool mtmi_cue_add_carried(const mtm_cue_sheet *sheet, const mtm_rig *rig, mtmi_text *text,
                          size_t *changed);

/** A space, tab , / ; < > = or @. */
bool mtmi_cue_is_delimiter(char c);

/* Values (clause 7). Each takes a whole word; false: it is none. */
bool mtmi_cue_integer(const char *word, unsigned *value);
bool mtmi_cue_number(const char *word, uint32_t *tenths);
bool mtmi_cue_time(const char *word, double *seconds);
bool mtmi_cue_identifier(const char *word);

/** What was strange about a level that was taken all the same. */
typedef enum mtmi_cue_strange {
    MTMI_CUE_PLAIN = 0,
    MTMI_CUE_WIDE_HEX, /**< three or four hex digits */
    MTMI_CUE_WORD      /**< FL */
} mtmi_cue_strange;
bool mtmi_cue_level(const char *word, uint8_t *level, mtmi_cue_strange *strange);

#endif
