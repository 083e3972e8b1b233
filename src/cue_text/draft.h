/* SPDX-License-Identifier: MIT */
/* Cue text: the cue, group or submaster that the reader is in. */
#ifndef METAMER_CUE_TEXT_DRAFT_H
#define METAMER_CUE_TEXT_DRAFT_H

#include "cue_text/cue_text.h"

/** A part as it grows. */
typedef struct mtmi_draft_part {
    mtm_cue_part part; /* text and level stay NULL until it is done */
    char *text;
    mtm_cue_level *level; /* in order of coming; channel 0: taken out again */
    size_t count;
    size_t capacity;
} mtmi_draft_part;

/** Where a channel of the open cue stands. */
typedef struct mtmi_draft_position {
    uint32_t serial; /* of the cue; another: not in it */
    uint32_t part;
    uint32_t index;
} mtmi_draft_position;

/** Zeroed: no cue was open yet. Large, so keep it on the heap. */
typedef struct mtmi_draft {
    bool open;
    size_t line;
    mtm_cue_entry cue;
    mtmi_draft_part *part; /* the cue's own first */
    size_t count;
    size_t capacity;
    size_t current;
    size_t distinct; /* channels */
    uint32_t serial;
    mtmi_draft_position position[MTM_CUE_CHANNEL_MAX + 1];
    mtmi_draft_position part_place[65536]; /* by part number; index is not used */
} mtmi_draft;

/** Opens a cue; false if out of memory. The one before must have been taken out. */
bool mtmi_draft_open(mtmi_draft *draft, mtm_cue_type type, uint32_t number_tenths, uint16_t page,
                     size_t line);
/** Goes on in a part; *known says whether it was there already. */
bool mtmi_draft_part_open(mtmi_draft *draft, uint16_t number, bool *known);
/** Sets a level in the current part, wherever the channel stood; *known says if it did. */
bool mtmi_draft_level(mtmi_draft *draft, mtm_cue_level level, bool *known);
bool mtmi_draft_has(const mtmi_draft *draft, uint16_t channel);
/** Takes a channel out. */
void mtmi_draft_remove(mtmi_draft *draft, uint16_t channel);
/** Copies length characters as the current part's text; *known says if it had one. */
bool mtmi_draft_text(mtmi_draft *draft, const char *text, size_t length, bool *known);
/** Puts parts and levels in order and fills in times; the cue is borrowed until the next call. */
const mtm_cue_entry *mtmi_draft_finish(mtmi_draft *draft, double default_up_s,
                                       double default_down_s);
/** Lets go of the open cue. */
void mtmi_draft_close(mtmi_draft *draft);

#endif
